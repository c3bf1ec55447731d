"""The Markdown file, read back by an independent CommonMark parser."""

from __future__ import annotations

import pytest
from markdown_it import MarkdownIt

from tests.unit.report.hostile import ALL, LONG, MARKDOWN, MARKUP, SCRIPTS, with_text
from walltriage.case.model import ROLES
from walltriage.report.blocks import Table
from walltriage.report.markdown import escaped, markdown
from walltriage.report.pages import build

READER = MarkdownIt("commonmark", {"html": True}).enable(["table", "strikethrough"])


def tokens(text):
    """All tokens, inline ones too."""
    for token in READER.parse(text):
        yield token
        yield from token.children or ()


@pytest.mark.parametrize("audience", ROLES)
@pytest.mark.parametrize("text", ALL)
def test_hostile_text_is_text(make, audience, text):
    """No HTML, link, picture, code or rule comes out of what people typed."""
    document = markdown(build(make(audience=audience, depth=2, change=with_text(text))))
    kinds = [token.type for token in tokens(document)]
    assert not set(kinds) & {"html_block", "html_inline", "link_open", "image", "code_inline"}
    assert kinds.count("hr") == 1
    assert kinds.count("fence") == (2 if audience == "firm" else 0)


@pytest.mark.parametrize("text", [MARKUP, MARKDOWN, SCRIPTS, LONG, "1. one", "- a", "# b", "> c"])
def test_text_comes_back(text):
    """Escaped text reads back as it was, at the start of a line and in a table."""
    inline = next(token for token in READER.parse(escaped(text)) if token.type == "inline")
    assert "".join(child.content for child in inline.children) == text
    row = READER.parse(f"| a |\n| --- |\n| {escaped(text)} |\n")
    cell = [token for token in row if token.type == "inline"][1]
    assert "".join(child.content for child in cell.children) == text


def test_no_address_becomes_a_link():
    """Readers that turn bare addresses into links find none."""
    linking = MarkdownIt("commonmark").enable("table")
    text = escaped("http://a.example/x https://b.example www.c.example d@e.example")
    assert "://" not in text
    assert "www." not in text
    rendered = linking.render(text)
    assert "<a" not in rendered
    assert "http://a.example/x https://b.example www.c.example d@e.example" in rendered


def test_all_tables_are_tables(make):
    """Each table of the document is read as one, with all its cells."""
    document = build(make("two_walls", "firm", 3))
    tables = [
        block
        for sheet in document.sheets
        for section in sheet.sections
        for block in section.blocks
        if isinstance(block, Table)
    ]
    cells = sum(len(table.rows) * len(table.columns) for table in tables)
    kinds = [token.type for token in tokens(markdown(document))]
    assert kinds.count("td_open") >= cells
    assert kinds.count("table_open") >= len(tables)


def test_drawings_are_told(make):
    """What a drawing shows is said in words."""
    text = markdown(build(make()))
    assert "Drawing in words.* Plan seen from above" in text
    assert "Drawing in words.* Schematic section" in text


@pytest.mark.parametrize("audience", ROLES)
def test_lists_end_where_they_end(make, audience):
    """What follows a list is no part of its last entry: no entry runs on over a line."""
    open_lists, run_on = 0, []
    for token in tokens(markdown(build(make(audience=audience)))):
        open_lists += {"list_item_open": 1, "list_item_close": -1}.get(token.type, 0)
        if open_lists and token.type == "softbreak":
            run_on.append(token)
    assert not run_on
