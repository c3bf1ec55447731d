"""The whole house: what its lines collect, and what becomes of a set of walls."""

from __future__ import annotations

from collections.abc import Iterable

from walltriage.language import say
from walltriage.report import house_words as told
from walltriage.report.blocks import Block, Item, Items, Paragraph, Section
from walltriage.report.subject import Request


def house_sections(request: Request) -> list[Section]:
    """What became of a set of walls that was asked about, and what the drawn lines collect.

    For a page that has the loads of the walls in a table.
    """
    tabled = {
        wall.id
        for wall in request.finding.walls
        if wall.numbers is not None and wall.numbers.load is not None
    }
    lines = told.house_lines(request.finding, tabled)
    house = [Section(say("What its lines collect"), (_list(lines),))] if lines else []
    return [*together(request), *house]


def together(request: Request) -> list[Section]:
    """A set of walls that would go; a buyer reads no numbers of it."""
    removal = request.finding.removal
    if removal is None:
        return []
    title, meaning = told.TOGETHER_WORDS[removal.together]
    blocks: list[Block] = [
        Paragraph(title.capitalize(), "strong"),
        Paragraph(meaning),
        _list(told.removal_verdicts(removal)),
    ]
    if removal.reasons:
        blocks += [Paragraph(say("Why no clearer"), "strong"), _list(removal.reasons)]
    lines = told.removal_numbers(removal, request.audience)
    if lines and request.audience != "buyer":
        blocks += [Paragraph(removal.numbers.note, "strong"), _list(lines)]
    return [Section(told.removal_title(removal), tuple(blocks))]


def _list(texts: Iterable[str]) -> Items:
    return Items(tuple(Item(text) for text in texts))
