"""The sheet on the whole house: what its lines collect, and what becomes of a set of walls."""

from __future__ import annotations

from collections.abc import Iterable

from walltriage.report import house_words as told
from walltriage.report.blocks import Block, Item, Items, Paragraph, Section, Sheet
from walltriage.report.subject import Request


def house_sheets(request: Request) -> list[Sheet]:
    """One sheet where a plan was drawn, or a set of walls was asked about; else none."""
    sections = [*_together(request), *_house(request)]
    if not sections:
        return []
    return [Sheet(told.HOUSE_TITLE, tuple(sections), has_size=True)]


def _together(request: Request) -> list[Section]:
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
        blocks += [Paragraph("Why no clearer", "strong"), _list(removal.reasons)]
    lines = told.removal_numbers(removal, request.audience)
    if lines:
        blocks += [Paragraph(removal.numbers.note, "strong"), _list(lines)]
    return [Section(told.removal_title(removal), tuple(blocks))]


def _house(request: Request) -> list[Section]:
    lines = told.house_lines(request.finding)
    return [Section("What its lines collect", (_list(lines),))] if lines else []


def _list(texts: Iterable[str]) -> Items:
    return Items(tuple(Item(text) for text in texts))
