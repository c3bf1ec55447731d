"""What each report says, before any format: contents, standing notes, words never used."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from tests.conftest import RULES
from tests.unit.report.hostile import CONTROL, TURNED, with_text
from tests.unit.report.test_metric import texts
from walltriage.case.model import ROLES
from walltriage.report import words
from walltriage.report.blocks import Figure, Items, Paragraph, Table
from walltriage.report.pages import PRELIMINARY_NOTE, build

NEVER = re.compile(
    r"safe to (remove|cut|take)|go ahead|can be removed|free to (cut|remove)|no risk|guarantee",
    re.I,
)
NAMES = ("bungalow", "truss_house", "two_walls")


def titles(document):
    """The headings of all sections."""
    return [section.title for sheet in document.sheets for section in sheet.sections]


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("audience", ROLES)
@pytest.mark.parametrize("depth", [1, 2, 3])
def test_no_report_gives_leave(make, name, audience, depth):
    """No report at any depth uses words that could be read as permission."""
    document = build(make(name, audience, depth, numbers=True))
    assert not [text for text in texts(document) if NEVER.search(text)]


def test_fixed_texts_give_no_leave():
    """Nor do the shipped texts, whichever of them a case would print."""
    assert not NEVER.search((RULES / "report_texts.yaml").read_text(encoding="utf-8"))


@pytest.mark.parametrize("audience", ROLES)
def test_standing_notes(make, audience):
    """Sheets with a verdict carry the limits, sheets with a size the preliminary note."""
    document = build(make("bungalow", audience, 3, numbers=True))
    for sheet in document.sheets:
        told = " ".join(texts(sheet))
        if re.search("likely (non-)?bearing|cannot tell|in 100", told, re.I):
            assert words.LIMITS_SENTENCE in document.notes(sheet), sheet.title
        if "lb/ft" in told or "the wall may carry" in told:
            assert PRELIMINARY_NOTE in document.notes(sheet), sheet.title
    assert any(sheet.has_size for sheet in document.sheets) == (audience != "buyer")


def test_no_size_no_preliminary_note(make):
    """Without numbers nothing is called preliminary."""
    document = build(make("bungalow", "firm", 3))
    assert not any(sheet.has_size for sheet in document.sheets)


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("bungalow", "Price with an engineer first."),
        ("truss_house", "May be priced as a partition, on condition."),
        ("two_walls", "Do not price this yet."),
    ],
)
def test_trade_answer(make, name, says):
    """Each verdict gets its answer to the trade's question."""
    page = build(make(name, "trade")).sheets[0]
    assert page.sections[0].blocks[0].lines[0].text == says


def test_urgent_is_never_priced(make):
    """An urgent referral comes before whatever the verdict is."""
    request = make("truss_house", "trade")
    wall = request.finding.walls[0]
    urgent = replace(wall, referral=replace(wall.referral, level="urgent"))
    request = replace(request, finding=replace(request.finding, walls=(urgent,)))
    says = build(request).sheets[0].sections[0].blocks[0].lines[0].text
    assert says == "Do not price this yet. Call an engineer now."


def test_what_may_brace_is_no_partition(make):
    """A wall that carries nothing, and may brace the house, is never priced as a partition."""
    request = make("truss_house", "trade")
    wall = request.finding.walls[0]
    paths = tuple(
        replace(path, status="open") if path.id == "bracing" else path for path in wall.load_paths
    )
    wall = replace(wall, load_paths=paths)
    request = replace(request, finding=replace(request.finding, walls=(wall,)))
    says = build(request).sheets[0].sections[0].blocks[0].lines[0].text
    assert says == "Not as a partition. Price with an engineer first."


def test_buyer_contents(make):
    """What it means for the offer on one sheet, what to do on the other, for both walls."""
    document = build(make("two_walls", "buyer"))
    assert [sheet.title for sheet in document.sheets] == [
        "What it means for the offer",
        "What nobody knows yet, and what to do",
    ]
    one, other = make("two_walls", "buyer").subjects()
    assert titles(document) == [
        f"Wall: {one.name}",
        f"Wall: {other.name}",
        "What the words mean",
        f"In the house: {one.name}",
        f"In the house: {other.name}",
        "What class of work this could be",
        "What could rest on them",
        f"The reasons that count most: {one.name}",
        f"The reasons that count most: {other.name}",
        "These answers cannot all be right: look again",
        "What would settle it",
        "Noted beside the answers",
        "Ask the seller",
        "Ask the inspector",
        "Ask the engineer",
        "Before anyone cuts, drills or leans on it",
    ]
    assert "Follow one joist over the wall with a light." in " ".join(texts(document))


def test_a_buyer_reads_a_fact_once_a_page(make):
    """No paragraph or entry of a list stands twice on one sheet, however many walls there are."""
    for name in NAMES:
        for sheet in build(make(name, "buyer")).sheets:
            told = [
                item.text
                for section in sheet.sections
                for block in section.blocks
                if isinstance(block, Items)
                for item in block.items
                if "reasons" not in section.title
            ]
            assert len(told) == len(set(told)), sheet.title


def test_ruled_out_paths_bring_no_work(make):
    """A wall on which no roof stands is not told about leading roof load elsewhere."""
    told = " ".join(texts(build(make("truss_house", "buyer"))))
    assert "A partition comes out" in told
    assert "Roof load led another way" not in told


def test_contradictions_are_shown_with_both_answers(make):
    """Answers that clash stand side by side, in words."""
    document = build(make("two_walls", "firm"))
    clash = next(
        section
        for sheet in document.sheets
        for section in sheet.sections
        if section.title.startswith("These answers cannot")
    )
    more = clash.blocks[0].items[0].more
    assert "ceiling joists along the wall" in more
    assert "joists end or lap on the wall" in more


def test_firm_observations(make):
    """Every answer stands there with who, when, how sure and from where; the unknown in a line."""
    document = build(make("bungalow", "firm"))
    blocks = [
        block for sheet in document.sheets for section in sheet.sections for block in section.blocks
    ]
    tables = [b for b in blocks if isinstance(b, Table) and b.caption.startswith("Answers about")]
    unknown = " ".join(
        b.text for b in blocks if isinstance(b, Paragraph) and b.text.startswith("Asked, and not")
    )
    rows = {row[0]: row[1:] for table in tables for row in table.rows}
    request = make("bungalow", "firm")
    wall = request.finding.given.walls[0]
    answers = [*request.finding.given.house.values(), *wall.answers.values()]
    not_known = [answer for answer in answers if answer.value == "unknown" and not answer.note]
    assert not_known
    assert unknown.count("?") == len(not_known)
    assert len(rows) + len(not_known) == len(answers)
    assert rows["What do the joists do at the wall?"] == (
        "joists end or lap on the wall",
        "fairly sure",
        "Mara Quill, 2026-03-14",
        "the attic",
        "boards side by side over the wall",
    )
    assert rows["Does a slanted brace from the roof land on the wall?"][:2] == (
        "could not be reached",
        "—",
    )


def test_firm_confirms_the_least_sure_first(make):
    """The site list names each weighed answer at the place where it was seen."""
    [table] = [
        section.blocks[0]
        for sheet in build(make("bungalow", "firm")).sheets
        for section in sheet.sections
        if section.title.startswith("To verify on site")
    ]
    rows = {where: confirm for where, _, confirm in table.rows}
    assert rows["The attic"].startswith("joists end or lap on the wall (fairly sure, by Mara Quill")
    order = [where for where in rows if where in ("Outside", "The rooms", "The attic", "Below")]
    assert order == ["Outside", "The rooms", "The attic", "Below"]


def test_firm_carries_data(make):
    """The result and the answers travel along; buyer and trade get none."""
    assert [d.file_name for d in build(make(audience="firm")).data] == ["finding.json", "case.json"]
    assert build(make(audience="buyer")).data == ()


def test_depths(make):
    """Depth 2 adds all evidence with its weight, depth 3 every rule and its conditions."""
    one, two, three = (" ".join(texts(build(make(depth=depth)))) for depth in (1, 2, 3))
    assert " dB" not in one
    assert " dB" in two
    assert "clue_joists_at_wall" not in one + two
    assert "clue_joists_at_wall" in three
    assert "because answer joists_at_wall = some_end" in three
    assert "Not when: only where somebody could see" in three


def test_every_evidence_is_in_the_firm_packet(make):
    """The tables hold each reason that weighed, with its weight; at depth 3 down to the least."""
    request = make("bungalow", "firm", 3)
    document = build(request)
    cells = {
        (row[0].partition(" Not when:")[0], row[1])
        for sheet in document.sheets
        for section in sheet.sections
        for block in section.blocks
        if isinstance(block, Table) and block.columns[0] == "Evidence"
        for row in block.rows
    }
    for path in request.finding.walls[0].load_paths:
        for item in path.evidence:
            weight = "decisive" if item.decibans is None else f"{item.decibans:+.1f} dB"
            assert (item.text, weight) in cells


def test_a_firm_reads_every_number(make):
    """Results, beams with checks; at depth 3 factors, steps and the chart of the evidence."""
    document = build(make("bungalow", "firm", 3, numbers=True))
    told = list(texts(document))
    assert any(text.startswith("Beams that pass the checks") for text in told)
    assert any(text.startswith("Shoring lines 3 ft from the wall") for text in told)
    assert "Beams and their checks, demand over limit" in told
    factors = next(text for text in told if text.startswith("CM 1 (dry inside a house) x Cdepth "))
    assert "x CD 1 (load duration, D + L) x CL 1 (the joists hold the top)" in factors
    assert any(text.startswith("Fb' = Fb x CM x ") for text in told)
    figures = [
        block.drawing.name
        for sheet in document.sheets
        for section in sheet.sections
        for block in section.blocks
        if isinstance(block, Figure)
    ]
    assert figures == ["plan", "section", "evidence"]


BEAM = re.compile(r"\d-2x\d+|LVL|glulam \d|\b\d+ studs|Temporary lines")


@pytest.mark.parametrize("audience", ["buyer", "trade"])
@pytest.mark.parametrize("depth", [1, 2, 3])
def test_no_beam_on_a_page_for_others(make, audience, depth):
    """A buyer reads of no beam at all, a trade of a class of work: sizes are the engineer's."""
    told = list(texts(build(make("bungalow", audience, depth, numbers=True))))
    assert not [text for text in told if BEAM.search(text)]
    carries = any(text.startswith("If it bears, the wall may") for text in told)
    assert carries == (audience == "trade")
    assert any("Class of work" in text for text in told) == (audience == "trade")


def test_texts_are_made_harmless_once(make):
    """No control character or direction mark survives the building of the pages."""
    document = build(make("bungalow", "firm", 3, change=with_text(CONTROL + TURNED)))
    for text in texts(document):
        assert not re.search("[\x00-\x1f\x7f\u200e\u200f\u202a-\u202e\u2066-\u2069]", text)
    assert any("esc\\x1b[31m" in text for text in texts(document))


@pytest.mark.parametrize("audience", ["buyer", "trade"])
def test_notes_stand_on_the_pages(make, audience):
    """What somebody noted beside an answer is on the page, shortened; the rest is counted."""
    request = make("truss_house", audience)
    assert not [text for text in texts(build(request)) if "Noted beside" in text]
    wall = request.finding.walls[0]
    rows = tuple(
        replace(row, note=f"note {n} " + "x " * 200) for n, row in enumerate(wall.observed)
    )
    finding = replace(request.finding, walls=(replace(wall, observed=rows),))
    told = [text for text in texts(build(replace(request, finding=finding))) if "note " in text]
    assert [text.split(" x")[0] for text in told][:4] == ["note 0", "note 1", "note 2", "note 3"]
    assert max(map(len, told)) <= 160
    left = texts(build(replace(request, finding=finding)))
    assert f"{len(rows) - 4} more in the record." in left
