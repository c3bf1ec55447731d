"""The strips that blocks become: a line of text, a row's line, a drawing, a banner."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace

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
    Table,
)
from walltriage.report.pdf_page import LEADING, Page

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


class Maker:
    """Makes strips for a page in one size of type."""

    def __init__(self, page: Page, size: float) -> None:
        self.page, self.size = page, size

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

    def banner(self, banner: Banner, width: float) -> Strip:
        """Verdict, meaning, chance and referral beside a flag: filled, striped or empty."""
        inner = width - 24
        strips = [
            *self.text(banner.words, inner, 15, "B"),
            Strip(2),
            *self.text(banner.meaning, inner),
            *self.text(banner.chance, inner),
            *self.text(banner.referral, inner, 0, "B"),
        ]
        high = height(strips) + 8

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


def height(strips: list[Strip]) -> float:
    """The height of strips set one under the other."""
    return sum(strip.height for strip in strips)
