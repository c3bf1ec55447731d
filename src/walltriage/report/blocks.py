"""A report as plain data: sheets of sections of blocks, built once and rendered three ways.

Nothing here knows HTML, Markdown or PDF, and a renderer decides nothing about content.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, fields, is_dataclass, replace
from functools import cache
from operator import is_
from typing import TYPE_CHECKING, Any, Literal, TypeVar

from walltriage.inference.finding import PathStatus, Verdict
from walltriage.language import say
from walltriage.plaintext import printable

if TYPE_CHECKING:  # a screen shows no drawings
    from _typeshed import DataclassInstance

    from walltriage.report.drawing import PlanDrawing

Width = Literal["third", "half", "full"]


@dataclass(frozen=True, slots=True)
class Mark:
    """A status in a table cell: told by its word and by a pattern, never by colour alone."""

    kind: PathStatus
    word: str


Cell = str | Mark


@dataclass(frozen=True, slots=True)
class Paragraph:
    text: str
    tone: Literal["plain", "strong", "quiet"] = "plain"


@dataclass(frozen=True, slots=True)
class Item:
    """An entry of a list: what, and (smaller) more about it."""

    text: str
    more: str = ""


@dataclass(frozen=True, slots=True)
class Items:
    """A list; boxes are to be ticked by hand."""

    items: tuple[Item, ...]
    style: Literal["dots", "numbers", "boxes"] = "dots"


@dataclass(frozen=True, slots=True)
class Table:
    """A table with a caption; ``shares`` are relative column widths."""

    caption: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    shares: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Figure:
    drawing: PlanDrawing
    small: bool = False


@dataclass(frozen=True, slots=True)
class Blank:
    """A line to fill in by hand, or one that was filled in with ``value``."""

    label: str
    unit: str = ""
    value: str = ""


@dataclass(frozen=True, slots=True)
class Blanks:
    fields: tuple[Blank, ...]


@dataclass(frozen=True, slots=True)
class Banner:
    """A verdict as people meet it, beside a flag that is filled, striped or empty.

    ``wall`` names the wall where several stand under one heading.
    """

    verdict: Verdict
    words: str
    lines: tuple[Paragraph, ...]
    wall: str = ""


@dataclass(frozen=True, slots=True)
class Data:
    """Machine-readable text carried along under a file name; ASCII, printed as it is."""

    file_name: str
    caption: str
    text: str


Block = Paragraph | Items | Table | Figure | Blanks | Banner


@dataclass(frozen=True, slots=True)
class Section:
    """A heading, or none, and what stands under it; halves and thirds stand side by side."""

    title: str
    blocks: tuple[Block, ...]
    width: Width = "full"


@dataclass(frozen=True, slots=True)
class Sheet:
    """What begins on a page of its own.

    ``has_verdict`` and ``has_size`` call for the standing notes; ``one_page`` asks
    for type small enough to keep the sheet on one page, where that is legible, and
    ``small`` asks for small type, as in an appendix.
    """

    title: str
    sections: tuple[Section, ...]
    has_verdict: bool = True
    has_size: bool = False
    one_page: bool = False
    small: bool = False


@dataclass(frozen=True, slots=True)
class Letterhead:
    """Who hands the report over; ``logo`` holds an image file, PNG, JPEG or SVG."""

    name: str
    lines: tuple[str, ...] = ()
    logo: bytes | None = None
    logo_format: Literal["png", "jpg", "svg"] = "png"


@dataclass(frozen=True, slots=True)
class Document:
    """A whole report."""

    title: str
    kind: str
    made_on: str
    rules: str
    limits: str
    preliminary: str
    sheets: tuple[Sheet, ...]
    data: tuple[Data, ...] = field(default=())
    letterhead: Letterhead | None = None

    def notes(self, sheet: Sheet) -> tuple[str, ...]:
        """The standing notes that a page of this sheet must carry."""
        preliminary = (self.preliminary,) if sheet.has_size else ()
        return ((self.limits,) if sheet.has_verdict else ()) + preliminary


Part = TypeVar("Part")


def said(part: Part) -> Part:
    """The same data in the language in use, with every text made harmless to print."""
    return mapped(part, lambda text: printable(say(text)))


def mapped(
    part: Part, change: Callable[[str], str], label: Callable[[str], str] | None = None
) -> Part:
    """The same data with every text changed, but for what other programs read.

    ``label``, if given, changes the labels in drawings.  What nothing changes in is the very
    same: most of a report is numbers and places.
    """
    if isinstance(part, str):
        text = change(part)
        return part if text == part else text  # type: ignore[return-value]
    if isinstance(part, tuple):
        items = tuple([mapped(item, change, label) for item in part])
        return part if all(map(is_, items, part)) else items  # type: ignore[return-value]
    if is_dataclass(part) and not isinstance(part, type | Data):
        of_text = label if label is not None and _is_label(part) else change
        changed: dict[str, Any] = {}
        for name in _names(type(part)):
            before = getattr(part, name)
            after = mapped(before, of_text, label)
            if after is not before:
                changed[name] = after
        return replace(part, **changed) if changed else part
    return part


@cache
def _names(kind: type[DataclassInstance]) -> tuple[str, ...]:
    return tuple(item.name for item in fields(kind))


def _is_label(part: object) -> bool:
    from walltriage.report.drawing import Label

    return isinstance(part, Label)
