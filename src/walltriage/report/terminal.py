"""Blocks on a terminal: linear text that a screen reader can follow, and nothing decided here."""

from __future__ import annotations

import os
import sys
from typing import TextIO

from rich.console import Console
from rich.padding import Padding
from rich.table import Table as Grid
from rich.text import Text

from walltriage.language import say
from walltriage.report import for_screen
from walltriage.report.blocks import (
    Banner,
    Blanks,
    Block,
    Cell,
    Figure,
    Items,
    Paragraph,
    Section,
    Table,
    said,
)
from walltriage.report.metric import in_measure_of
from walltriage.report.subject import Request

RULE_WIDTH = 72
_STYLE = {
    "likely_bearing": "bold red",
    "likely_non_bearing": "bold green",
    "cannot_tell": "bold yellow",
}
_TONE = {"plain": "", "strong": "bold", "quiet": "dim"}


def make_console(file: TextIO | None = None, width: int | None = None) -> Console:
    """A console that never reads markup, emoji codes or numbers out of people's text."""
    stream = file or sys.stdout
    plain = bool(os.environ.get("NO_COLOR")) or not stream.isatty()
    return Console(
        file=stream,
        width=width,
        markup=False,
        emoji=False,
        highlight=False,
        no_color=plain or None,
        force_terminal=False if plain else None,
        soft_wrap=False,
    )


def print_finding(console: Console, request: Request, taken: int = 0) -> None:
    """Print every wall of the request's finding, as deep as it says, on a screen of which so many
    lines are taken."""
    sheets = in_measure_of(request.finding.given, said(for_screen.sheets(request, taken)))
    for sheet in sheets:
        if sheet.title:
            _line(console, sheet.title)
            _line(console, "=" * min(RULE_WIDTH, console.width))
        for section in sheet.sections:
            print_section(console, section)


def print_section(console: Console, section: Section) -> None:
    """A heading and its blocks, with a blank line after them."""
    if section.title:
        _line(console, section.title, "bold")
    for block in section.blocks:
        _block(console, block)
    console.print()


def _block(console: Console, block: Block) -> None:
    if isinstance(block, Paragraph):
        _line(console, block.text, say(_TONE[block.tone]))
    elif isinstance(block, Banner):
        wall = f"{block.wall}: " if block.wall else ""
        _line(console, f"{wall}{block.words.upper()}", say(_STYLE[block.verdict]))
        for line in block.lines:
            _line(console, line.text, say(_TONE[line.tone]))
    elif isinstance(block, Items):
        _items(console, block)
    elif isinstance(block, Table):
        _table(console, block)
    elif isinstance(block, Figure):
        for text in block.drawing.letters or (block.drawing.desc,):
            _line(console, text)
    elif isinstance(block, Blanks):
        for blank in block.fields:
            _line(console, f"{blank.label}: {blank.value}")


def _items(console: Console, block: Items) -> None:
    for number, item in enumerate(block.items, 1):
        mark = {"numbers": f"{number}.", "boxes": "[ ]", "dots": "-"}[block.style]
        grid = Grid.grid(padding=(0, 1))
        grid.add_column(width=max(len(mark), 2), no_wrap=True, justify="right")
        grid.add_column(ratio=1)
        grid.add_row(Text(mark), Text(item.text))
        console.print(grid)
        if item.more:
            _line(console, item.more, "dim", 4)


def _table(console: Console, block: Table) -> None:
    """The columns of paper, without lines between them."""
    grid = Grid.grid(padding=(0, 2))
    for share in block.shares:
        grid.add_column(ratio=share)
    for row in block.rows:
        grid.add_row(*(Text(_word(cell)) for cell in row))
    console.print(grid)


def _word(cell: Cell) -> str:
    return cell if isinstance(cell, str) else f"[{cell.word}]"


def _line(console: Console, text: str, style: str = "", indent: int = 0) -> None:
    shown = Text(text, style=style)
    console.print(Padding(shown, (0, 0, 0, indent), expand=False) if indent else shown)
