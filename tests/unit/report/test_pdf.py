"""The PDF, opened and read back by an independent library."""

from __future__ import annotations

import io
import json
import re
from dataclasses import replace

import pytest

from tests.unit.report.hostile import ALL, LONG, MARKUP, with_text
from walltriage.case.model import ROLES
from walltriage.report import words
from walltriage.report.blocks import Document, Item, Items, Letterhead, Section, Sheet, Table
from walltriage.report.finding_json import finding_line
from walltriage.report.pages import PRELIMINARY_NOTE, build

pypdf = pytest.importorskip("pypdf")

from walltriage.report.pdf import pdf  # noqa: E402


def read(document):
    """The written file, opened again."""
    return pypdf.PdfReader(io.BytesIO(pdf(document)), strict=True)


def text_of(page):
    """A page's text with all white space made one blank."""
    return re.sub(r"\s+", " ", page.extract_text())


def plain(title, *blocks):
    """A document of one sheet."""
    sheet = Sheet(title, (Section("Part", tuple(blocks)),))
    return Document("T", "kind", "2026-03-15", "rules", "Limits.", "Preliminary.", (sheet,))


@pytest.mark.parametrize(
    ("name", "audience", "pages"),
    [
        ("bungalow", "buyer", 2),
        ("truss_house", "buyer", 2),
        ("two_walls", "buyer", 2),
        ("bungalow", "trade", 1),
        ("truss_house", "trade", 1),
        ("two_walls", "trade", 2),
    ],
)
def test_page_counts(make, name, audience, pages):
    """The buyer gets two pages in all, the trade one a wall."""
    assert len(read(build(make(name, audience))).pages) == pages


@pytest.mark.parametrize("audience", ROLES)
def test_notes_on_each_page(make, audience):
    """Every printed page with a verdict or a size carries its note, overflow pages too."""
    document = build(make("two_walls", audience, 3, numbers=True))
    reader = read(document)
    limits = preliminary = 0
    for page in reader.pages:
        text = text_of(page)
        if re.search(r"likely (non-)?bearing|cannot tell|in 100\b| dB\b", text, re.I):
            assert words.LIMITS_SENTENCE in text
            limits += 1
        if "the wall may carry" in text or "M / S" in text:
            assert PRELIMINARY_NOTE in text
            preliminary += 1
    assert limits > 2
    assert bool(preliminary) == (audience != "buyer"), "a buyer's pages hold no size"


def test_all_text_is_there(make):
    """What the pages say can be read back: cells, lists, headings, blanks."""
    document = build(make("bungalow", "firm", numbers=True))
    told = re.sub(r"\s+", "", "".join(page.extract_text() for page in read(document).pages))
    for sheet in document.sheets:
        for section in sheet.sections:
            assert re.sub(r"\s+", "", section.title) in told
            for block in section.blocks:
                if isinstance(block, Items):
                    for item in block.items:
                        assert re.sub(r"\s+", "", item.text) in told
                        assert re.sub(r"\s+", "", item.more) in told


def test_no_page_is_empty(make):
    """No page holds nothing but its foot."""
    for audience in ROLES:
        for page in read(build(make("two_walls", audience, 3))).pages:
            body = text_of(page).replace(words.LIMITS_SENTENCE, "").strip()
            assert len(body) > 60


def test_properties(make):
    """Title, language, letter paper, fonts embedded, an outline entry for each sheet."""
    document = build(make("bungalow", "firm"))
    reader = read(document)
    assert reader.metadata.title == "Bungalow on Alder Lane"
    assert reader.root_object["/Lang"] == "en-US"
    assert (reader.pages[0].mediabox.width, reader.pages[0].mediabox.height) == (612, 792)
    assert [entry.title for entry in reader.outline] == [sheet.title for sheet in document.sheets]
    for page in reader.pages:
        for font in page["/Resources"]["/Font"].values():
            child = font.get_object()["/DescendantFonts"][0].get_object()
            assert {"/FontFile2", "/FontFile3"} & set(child["/FontDescriptor"].get_object())


def test_same_input_same_bytes(make):
    """Nothing of the clock or the machine gets in."""
    document = build(make("bungalow", "firm"))
    assert pdf(document) == pdf(document)


def test_attachments(make):
    """The firm's file carries the result and the answers for other programs."""
    request = make("two_walls", "firm", change=with_text(MARKUP))
    attached = read(build(request)).attachments
    assert attached["finding.json"][0].decode("ascii") == finding_line(request.finding)
    assert json.loads(attached["case.json"][0])["name"] == MARKUP


@pytest.mark.parametrize("text", ALL)
@pytest.mark.parametrize("audience", ROLES)
def test_hostile_text_is_text(make, text, audience):
    """Whatever people typed, the file opens and holds no script, link or form."""
    content = pdf(build(make(audience=audience, depth=2, change=with_text(text))))
    assert not re.search(rb"/(JavaScript|JS|URI|Launch|AcroForm)\b", content)
    reader = pypdf.PdfReader(io.BytesIO(content), strict=True)
    assert all("/Annots" not in page for page in reader.pages)


def test_letters_that_no_font_has_are_codes_and_named_once(make):
    """Scripts the font has are printed; where the machine has no font, codes stand there."""
    document = build(
        make(audience="firm", change=with_text("Küche Łódź Привет \U0001f9f1\ue000 x"))
    )
    told = "".join(text_of(page) for page in read(document).pages)
    assert "Küche Łódź Привет" in told
    assert "[U+E000] x" in told
    note = re.findall(r"printed as codes in square brackets: ([^.]*)\.", told)
    assert len(note) == 1
    assert "U+E000" in note[0]


def test_right_to_left_letters_are_printed():
    """Hebrew and Arabic letters are drawn by a shaping engine, not as codes."""
    told = text_of(read(plain("שלום", Items((Item("مرحبا and שלום"),)))).pages[0])
    assert "[U+" not in told
    assert "and" in told


def test_long_cells_run_over_pages():
    """A cell of ten thousand letters is printed whole; the heading row is there on each page."""
    rows = ((LONG, "b"), ("short", "end of table"))
    table = Table("c", ("First column", "Second"), rows, (50, 50))
    pages = [text_of(page) for page in read(plain("Sheet", table)).pages]
    assert len(pages) > 2
    assert sum(page.count("W") for page in pages) == 10_000
    assert all("First column" in page for page in pages)
    assert "end of table" in pages[-1]


def test_tagged_for_screen_readers(make):
    """The file says it is PDF/UA-1, is tagged, and its drawings have words in their place."""
    content = pdf(build(make("bungalow", "buyer")))
    reader = pypdf.PdfReader(io.BytesIO(content), strict=True)
    assert reader.root_object["/MarkInfo"]["/Marked"]
    assert b"pdfuaid:part>1<" in reader.root_object["/Metadata"].get_object().get_data().replace(
        b" ", b""
    )
    kinds, words_for = set(), []
    waiting = [reader.root_object["/StructTreeRoot"].get_object()]
    while waiting:
        node = waiting.pop()
        kinds.add(node.get("/S"))
        if node.get("/S") == "/Figure" and "/Alt" in node:
            words_for.append(node["/Alt"])
        below = node.get("/K", [])
        below = below.get_object() if hasattr(below, "get_object") else below
        for child in below if isinstance(below, list) else [below]:
            child = child.get_object()
            if hasattr(child, "get") and "/S" in child:
                waiting.append(child)
    assert {"/H1", "/H2", "/H3", "/Table", "/TH", "/L", "/Figure"} <= kinds
    assert any(told.startswith("Plan") or "plan" in told.lower() for told in words_for)


def test_letterhead(make):
    """A firm's name, lines and logo head the first page, and the name stands in the properties."""
    document = replace(build(make("bungalow", "firm")), letterhead=Letterhead(
        "Alder & Finch Engineers", ("12 Quarry Street", "License 4471"), LOGO, "svg",
    ))  # fmt: skip
    reader = read(document)
    told = text_of(reader.pages[0])
    assert "Alder & Finch Engineers" in told
    assert "License 4471" in told
    assert reader.metadata.author == "Alder & Finch Engineers"
    assert "Alder & Finch" not in text_of(reader.pages[1])


LOGO = b"""<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 40 40'>
<circle cx='20' cy='20' r='15'/></svg>"""
