"""How many lines blocks take on a screen, and the fullest version that has room there."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from textwrap import wrap

from walltriage.report.blocks import (
    Banner,
    Blanks,
    Block,
    Figure,
    Items,
    Paragraph,
    Section,
    Sheet,
    Table,
)

WIDTH = 80
MARK, INDENT = 3, 4
"""Columns that a list's mark takes, and what is said behind an entry."""
Version = Callable[[], tuple[Sheet, ...]]


def fullest(versions: Iterable[Version], room: int | None, width: int = WIDTH) -> tuple[Sheet, ...]:
    """The first version of at most ``room`` lines, else the last; the first without a limit."""
    sheets: tuple[Sheet, ...] = ()
    for version in versions:
        sheets = version()
        if room is None or lines(sheets, width) <= room:
            break
    return sheets


def lines(sheets: Iterable[Sheet], width: int = WIDTH) -> int:
    """Lines of these sheets on a terminal of so many columns."""
    return sum(
        2 * bool(sheet.title) + sum(_section(section, width) for section in sheet.sections)
        for sheet in sheets
    )


def _section(section: Section, width: int) -> int:
    """A heading, its blocks and the blank line behind them."""
    heading = _text(section.title, width) if section.title else 0
    return heading + sum(_block(block, width) for block in section.blocks) + 1


def _block(block: Block, width: int) -> int:
    if isinstance(block, Paragraph):
        return _text(block.text, width)
    if isinstance(block, Banner):
        words = f"{block.wall}: {block.words}"
        return _text(words, width) + sum(_text(one.text, width) for one in block.lines)
    if isinstance(block, Items):
        return sum(
            _text(item.text, width - MARK) + (_text(item.more, width - INDENT) if item.more else 0)
            for item in block.items
        )
    if isinstance(block, Table):
        return sum(_row(row, block.shares, width) for row in block.rows)
    if isinstance(block, Figure):
        return sum(_text(text, width) for text in block.drawing.letters or (block.drawing.desc,))
    assert isinstance(block, Blanks)
    return sum(_text(f"{blank.label}: {blank.value}", width) for blank in block.fields)


def _row(row: Iterable[object], shares: tuple[int, ...], width: int) -> int:
    parts = (width * share // sum(shares) - 2 for share in shares)
    return max(_text(str(cell), part) for cell, part in zip(row, parts, strict=True))


def _text(text: str, width: int) -> int:
    return max(len(wrap(text, max(width, 10))), 1)
