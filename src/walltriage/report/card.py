"""One entry of the knowledge base laid out for a person, and its two renderings."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass
from textwrap import wrap

from walltriage.language import say

WIDTH = 88
LABEL = 14
KIND_WORDS = (
    "question", "load path", "condition", "source", "word", "fact", "clue", "base rate", "sign",
    "scope", "contradiction", "gate", "verdict", "caution", "referral",
)  # fmt: skip
STATUS_WORDS = ("draft", "reviewed", "retired")
LABEL_WORDS = (
    "look", "why", "place", "asked", "trust", "applies", "range", "read by", "says", "settled by",
    "counts", "signs", "path", "clues", "source", "limits", "when", "status", "fires on",
    "quiet on", "edition", "known", "note", "cited by", "used by", "concludes", "question",
    "condition", "of 100", "weight", "refer", "look again", "withholds", "shown", "level", "file",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Grid:
    """A small table: a caption, column heads, rows of text."""

    caption: str
    head: Sequence[str]
    rows: Sequence[Sequence[str]]


@dataclass(frozen=True, slots=True)
class Card:
    """What is told of one entry: labelled texts, then tables, then drawn text as it is."""

    id: str
    kind: str
    title: str
    file: str
    line: int
    facts: tuple[tuple[str, str], ...] = ()
    grids: tuple[Grid, ...] = ()
    drawing: str = ""


def as_text(card: Card, root: str = "") -> str:
    """The card in plain text lines for a terminal; ``root`` goes before its file name."""
    lines = [f"{say(card.kind)} {card.id}", *wrap(card.title, WIDTH), ""]
    for label, text in card.facts:
        body = wrap(text, WIDTH - LABEL) or [""]
        lines += [f"{say(label):<{LABEL}}{body[0]}", *(" " * LABEL + more for more in body[1:])]
    for grid in card.grids:
        lines += ["", grid.caption, *_columns(grid)]
    if card.drawing:
        lines += ["", *card.drawing.rstrip().splitlines()]
    return "\n".join([*lines, "", f"{os.path.join(root, card.file)}:{card.line}"])


def _columns(grid: Grid) -> list[str]:
    table = [list(grid.head), *map(list, grid.rows)]
    widths = [max(len(row[i]) for row in table) for i in range(len(grid.head))]
    return [
        "  " + "  ".join(c.ljust(width) for c, width in zip(row, widths, strict=True)).rstrip()
        for row in table
    ]


def as_markdown(card: Card, level: int = 3) -> str:
    """The card as a section of a Markdown page."""
    lines = [f"{'#' * level} `{card.id}`", "", f"{_escaped(card.title)}", ""]
    lines += [f"* **{say(label)}:** {_escaped(text)}" for label, text in card.facts]
    lines.append(f"* **{say('file')}:** `{card.file}`")
    for grid in card.grids:
        lines += ["", _escaped(grid.caption), "", _row(grid.head), _row(["---"] * len(grid.head))]
        lines += [_row(row) for row in grid.rows]
    if card.drawing:
        lines += ["", "```text", *card.drawing.rstrip().splitlines(), "```"]
    return "\n".join([*lines, ""])


def _row(cells: Sequence[str]) -> str:
    return "| " + " | ".join(_escaped(cell) for cell in cells) + " |"


def _escaped(text: str) -> str:
    joined = " ".join(text.split())
    for mark in ("\\", "|", "<", "*", "_"):
        joined = joined.replace(mark, f"\\{mark}")
    return joined


def as_data(card: Card) -> dict[str, object]:
    """The card as plain data for JSON."""
    return {
        "id": card.id,
        "kind": card.kind,
        "title": card.title,
        "at": f"{card.file}:{card.line}",
        "facts": [{"label": label, "text": text} for label, text in card.facts],
        "tables": [
            {"caption": g.caption, "head": list(g.head), "rows": [list(r) for r in g.rows]}
            for g in card.grids
        ],
        "drawing": card.drawing,
    }
