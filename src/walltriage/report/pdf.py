"""A report as PDF: blocks become strips, and strips are set one under the other.

A strip is the smallest thing that stays whole at a page's end: a line of text, a row's line, a
drawing.  So a cell of ten thousand letters runs over as many pages as it needs.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from itertools import product

from walltriage.report.blocks import (
    Banner,
    Blanks,
    Block,
    Cell,
    Document,
    Figure,
    Items,
    Mark,
    Paragraph,
    Section,
    Sheet,
    Table,
)
from walltriage.report.pdf_page import LEADING, MARGIN, Page

SIZES = (8.6, 8.2, 7.8, 7.4, 7.0)
"""Sizes of type, the usual one first; the smaller ones keep a sheet on one page."""
GUTTER, COLUMN_GAP = 18.0, 10.0
FIGURE_WIDTH = 250.0
Draw = Callable[[float, float], None]


@dataclass(frozen=True, slots=True)
class Strip:
    """``draw`` sets it at (x, top); ``keep``: never the last on a page; ``head``: strips set
    again when a page begins with this one."""

    height: float
    draw: Draw | None = None
    keep: bool = False
    head: tuple[Strip, ...] = field(default=())


def pdf(document: Document) -> bytes:
    """The file."""
    logging.getLogger("fontTools").setLevel(logging.ERROR)  # subsetting is told at length
    page = Page(document)
    for number, sheet in enumerate(document.sheets):
        page.start_sheet(document.notes(sheet))
        head = _Setter(page, SIZES[0])
        if number == 0:
            head.run(head.title(document))
        page.start_section(page.shown(sheet.title))
        setter = head
        if sheet.one_page:
            tries = [_Setter(page, size, head.y) for size in SIZES]
            setter = next((s for s in tries if s.fits(sheet)), head)
        setter.sheet(sheet)
    if page.coded:
        setter.run([Strip(6), *setter.text(_coded_note(page.coded), page.inner_width, 6.8)])
    for data in document.data:
        page.embed_file(
            bytes=data.text.encode("ascii"), basename=data.file_name, desc=data.caption,
            mime_type="application/json", modification_date=page.made,
        )  # fmt: skip
    return page.finished()


def _coded_note(coded: set[str]) -> str:
    codes = ", ".join(f"U+{ord(c):04X}" for c in sorted(coded)[:40])
    return f"Characters this file's font lacks are printed as codes in square brackets: {codes}."


class _Setter:
    """Sets one sheet in one size of type."""

    def __init__(self, page: Page, size: float, y: float = MARGIN) -> None:
        self.page, self.size, self.y = page, size, y

    # setting strips

    def run(self, strips: list[Strip], x: float = MARGIN) -> None:
        """One strip under the other, over as many pages as it takes."""
        for index, strip in enumerate(strips):
            ahead, last = strip.height, index
            while strips[last].keep and last + 1 < len(strips):
                last += 1
                ahead += strips[last].height
            if strip.draw is None and (self.y == MARGIN or self.y + ahead > self.page.bottom):
                continue  # white space neither begins a page nor calls for one
            if self.y + ahead > self.page.bottom and self.y > MARGIN:
                self.page.add_page()
                self.y = MARGIN
                for again in strip.head:
                    self._set(again, x)
            self._set(strip, x)

    def _set(self, strip: Strip, x: float) -> None:
        if strip.draw is not None:
            strip.draw(x, self.y)
        self.y += strip.height

    def sheet(self, sheet: Sheet) -> None:
        """Title, banner, and the sections; halves side by side."""
        self.run(self._head(sheet))
        for group in _groups(sheet.sections):
            if group[0].width == "half":
                self._columns(group)
            else:
                self.run(list(self.section(group[0], self.page.inner_width)))

    def fits(self, sheet: Sheet) -> bool:
        """Whether the sheet, set in this size, ends on the page it begins on."""
        high = _height(self._head(sheet))
        for group in _groups(sheet.sections):
            if group[0].width == "half":
                high += max(_height(column) for column in self._balanced(group))
            else:
                high += _height(list(self.section(group[0], self.page.inner_width)))
        return self.y + high <= self.page.bottom

    def _head(self, sheet: Sheet) -> list[Strip]:
        wide = self.page.inner_width
        title = self.text(sheet.title, wide, self.size + 3, "B")
        banner = [self._banner(sheet.banner, wide), Strip(5)] if sheet.banner else []
        return [*(replace(strip, keep=True) for strip in title), Strip(4), *banner]

    def _balanced(self, sections: list[Section]) -> tuple[list[Strip], list[Strip]]:
        """Two columns of nearly one height, each in the order of the sections."""
        wide = (self.page.inner_width - GUTTER) / 2
        made = [list(self.section(section, wide)) for section in sections]
        heights = [_height(strips) for strips in made]
        sides = min(
            product((0, 1), repeat=len(made)),
            key=lambda sides: max(
                sum(h for h, side in zip(heights, sides, strict=True) if side == s) for s in (0, 1)
            ),
        )
        columns: tuple[list[Strip], list[Strip]] = ([], [])
        for strips, side in zip(made, sides, strict=True):
            columns[side].extend(strips)
        return columns

    def _columns(self, sections: list[Section]) -> None:
        """Sections side by side; one under the other when they are longer than a page."""
        wide = (self.page.inner_width - GUTTER) / 2
        columns = self._balanced(sections)
        high = max(_height(column) for column in columns)
        if high > self.page.bottom - MARGIN:
            for section in sections:
                self.run(list(self.section(section, self.page.inner_width)))
            return
        if self.y + high > self.page.bottom:
            self.page.add_page()
            self.y = MARGIN
        top, foot = self.y, self.y
        for column, x in zip(columns, (MARGIN, MARGIN + wide + GUTTER), strict=True):
            self.y = top
            self.run(column, x)
            foot = max(foot, self.y)
        self.y = foot

    # making strips

    def title(self, document: Document) -> list[Strip]:
        """The head of the whole report."""
        wide = self.page.inner_width
        return [
            *self.text(document.kind, wide, self.size, "B"),
            *self.text(document.title, wide, 15, "B"),
            *self.text(f"Made on {document.made_on}. {document.rules}.", wide, 6.8),
            Strip(6),
        ]

    def text(self, text: str, width: float, size: float = 0, style: str = "") -> list[Strip]:
        """Text as one strip a line."""
        size = size or self.size
        return [
            self._line(line, size, style) for line in self.page.broken(text, width, size, style)
        ]

    def _line(self, line: str, size: float, style: str = "", shift: float = 0) -> Strip:
        high = size * LEADING
        return Strip(high, lambda x, y: self.page.put(x + shift, y + size, line, size, style))

    def section(self, section: Section, width: float) -> Iterator[Strip]:
        """A ruled heading and the blocks under it."""
        yield Strip(5, lambda x, y: self.page.rule(x, y + 1, width), keep=True)
        for strip in self.text(section.title, width, self.size + 0.6, "B"):
            yield replace(strip, keep=True)
        yield Strip(1.5, keep=True)
        for block in section.blocks:
            yield from self.block(block, width)
        yield Strip(4)

    def block(self, block: Block, width: float) -> Iterator[Strip]:
        """The strips of one block; data is embedded and not printed."""
        if isinstance(block, Paragraph):
            yield from self.text(block.text, width, 0, "B" if block.tone == "strong" else "")
            yield Strip(1.5)
        elif isinstance(block, Items):
            yield from self._items(block, width)
        elif isinstance(block, Table):
            yield from self._table(block, width)
        elif isinstance(block, Figure):
            yield from self._figure(block, width)
        elif isinstance(block, Blanks):
            yield from self._blanks(block, width)

    def _items(self, block: Items, width: float) -> Iterator[Strip]:
        shift, small = 13.0, self.size - 0.8
        for number, item in enumerate(block.items, 1):
            lines = [(line, self.size) for line in
                     self.page.broken(item.text, width - shift, self.size)]  # fmt: skip
            if item.more:
                more = self.page.broken(item.more, width - shift, small)
                lines += [(line, small) for line in more]
            for index, (line, size) in enumerate(lines):
                strip = self._line(line, size, shift=shift)
                strip = self._marked(strip, block, number) if index == 0 else strip
                yield replace(strip, keep=index == 0 and len(lines) > 1)
            yield Strip(1.2)

    def _marked(self, strip: Strip, block: Items, number: int) -> Strip:
        def draw(x: float, y: float) -> None:
            page, size = self.page, self.size
            page.set_draw_color(20)
            page.set_fill_color(20)
            if block.style == "numbers":
                page.put(x, y + size, f"{number}.", size - 0.6)
            elif block.style == "boxes":
                page.set_line_width(0.7)
                page.rect(x + 1, y + size * 0.32, size * 0.72, size * 0.72, style="D")
            else:
                page.circle(x + 4, y + size * 0.68, 1.1, style="F")
            if strip.draw is not None:
                strip.draw(x, y)

        return replace(strip, draw=draw)

    def _table(self, block: Table, width: float) -> Iterator[Strip]:
        widths = [width * share / sum(block.shares) for share in block.shares]
        head = tuple(self._row(block.columns, widths, self.size - 0.8, "B", 20))
        for strip in head:
            yield replace(strip, keep=True)
        for row in block.rows:
            for strip in self._row(row, widths, self.size - 0.3, "", 170):
                yield replace(strip, head=head)
        yield Strip(2)

    def _row(
        self, cells: tuple[Cell, ...], widths: list[float], size: float, style: str, gray: int
    ) -> Iterator[Strip]:
        """One strip for each line of the row, and one with the rule under it."""
        columns = []
        for cell, wide in zip(cells, widths, strict=True):
            word = cell.word if isinstance(cell, Mark) else cell
            columns.append(self.page.broken(word, wide - COLUMN_GAP, size, style))
        for index in range(max(len(column) for column in columns)):
            shown = [column[index] if index < len(column) else "" for column in columns]
            yield self._row_line(shown, cells if index == 0 else (), widths, size, style)
        total = sum(widths)
        empty = 9 if "" in cells else 2.5  # room to write in an empty cell
        yield Strip(empty, lambda x, y: self.page.rule(x, y + empty - 1.2, total, 0.5, gray))

    def _row_line(
        self, texts: list[str], cells: tuple[Cell, ...], widths: list[float], size: float,
        style: str,
    ) -> Strip:  # fmt: skip
        def draw(x: float, y: float) -> None:
            for index, text in enumerate(texts):
                cell = cells[index] if cells else ""
                if isinstance(cell, Mark):
                    self._mark(cell, text, x, y, size)
                elif text:
                    self.page.put(x, y + size, text, size, style)
                x += widths[index]

        return Strip(size * LEADING + 0.6, draw)

    def _mark(self, mark: Mark, text: str, x: float, y: float, size: float) -> None:
        """The word in a box: filled, dotted or thin."""
        page = self.page
        style = "" if mark.kind == "ruled_out" else "B"
        wide, solid = page.wide(text, size, style) + 8, mark.kind == "established"
        page.set_draw_color(20 if style else 120)
        page.set_fill_color(20)
        page.set_line_width(1 if style else 0.5)
        page.set_dash_pattern(*((1.2, 1.4) if mark.kind == "open" else (0, 0)))
        page.rect(x, y + size * 0.05, wide, size * 1.22, style="FD" if solid else "D")
        page.set_dash_pattern()
        page.set_text_color(255 if solid else 20)
        page.put(x + 4, y + size, text, size, style)
        page.set_text_color(20)

    def _figure(self, block: Figure, width: float) -> Iterator[Strip]:
        drawing = block.drawing
        wide = min(width, FIGURE_WIDTH if width < 300 else 330.0)
        high = drawing.height * wide / drawing.width
        shift = (width - wide) / 2
        yield Strip(high + 3, lambda x, y: self.page.draw(drawing, x + shift, y, wide), keep=True)
        yield from self.text(drawing.caption, width, self.size - 0.8)

    def _blanks(self, block: Blanks, width: float) -> Iterator[Strip]:
        pairs = [block.fields[i : i + 2] for i in range(0, len(block.fields), 2)]
        for pair in pairs:
            yield self._blank_line(pair, (width - GUTTER) / 2)

    def _blank_line(self, pair: tuple[tuple[str, str], ...], wide: float) -> Strip:
        def draw(x: float, y: float) -> None:
            for label, unit in pair:
                page, base = self.page, y + self.size + 4
                text, unit = page.shown(label), page.shown(unit)
                page.put(x, base, text, self.size)
                start = page.wide(text, self.size) + 6
                end = wide - (page.wide(unit, self.size) + 6 if unit else 0)
                page.rule(x + start, base + 1.5, max(end - start, 30), 0.6, 80)
                page.put(x + end + 6, base, unit, self.size)
                x += wide + GUTTER

        return Strip(self.size + 9, draw)

    def _banner(self, banner: Banner, width: float) -> Strip:
        """Verdict, meaning, chance and referral beside a flag: filled, striped or empty."""
        inner = width - 24
        strips = [
            *self.text(banner.words, inner, 15, "B"),
            Strip(2),
            *self.text(banner.meaning, inner),
            *self.text(banner.chance, inner),
            *self.text(banner.referral, inner, 0, "B"),
        ]
        high = _height(strips) + 8

        def draw(x: float, y: float) -> None:
            self._flag(banner, x, y + 2, 10, high - 8)
            at = y
            for strip in strips:
                if strip.draw is not None:
                    strip.draw(x + 22, at)
                at += strip.height
            self.page.rule(x, y + high - 1, width, 1.4, 20)

        return Strip(high, draw)

    def _flag(self, banner: Banner, x: float, y: float, wide: float, high: float) -> None:
        page = self.page
        page.set_draw_color(20)
        page.set_fill_color(20)
        page.set_line_width(1.2)
        solid = banner.verdict == "likely_bearing"
        page.rect(x, y, wide, high, style="FD" if solid else "D")
        if banner.verdict == "cannot_tell":
            step = 5.0
            while step < high:
                page.line(x, y + step, x + wide, y + max(step - wide, 0))
                step += 5


def _groups(sections: tuple[Section, ...]) -> list[list[Section]]:
    """Full sections alone, halves that follow each other together."""
    groups: list[list[Section]] = []
    for section in sections:
        if section.width == "half" and groups and groups[-1][0].width == "half":
            groups[-1].append(section)
        else:
            groups.append([section])
    return groups


def _height(strips: list[Strip]) -> float:
    return sum(strip.height for strip in strips)
