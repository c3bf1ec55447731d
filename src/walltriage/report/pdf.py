"""A report as PDF: blocks become strips, and strips are set one under the other.

A strip is the smallest thing that stays whole at a page's end: a line of text, a row's line, a
drawing.  So a cell of ten thousand letters runs over as many pages as it needs.
"""

from __future__ import annotations

import logging
from dataclasses import replace
from itertools import product

from walltriage.report.blocks import Document, Section, Sheet
from walltriage.report.pdf_page import MARGIN, Page
from walltriage.report.pdf_strips import GUTTER, Maker, Strip, height

SIZES = (8.6, 8.2, 7.8, 7.4, 7.0)
"""Sizes of type, the usual one first; the smaller ones keep a sheet on one page."""


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


class _Setter(Maker):
    """Sets one sheet in one size of type."""

    def __init__(self, page: Page, size: float, y: float = MARGIN) -> None:
        super().__init__(page, size)
        self.y = y

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
        high = height(self._head(sheet))
        for group in _groups(sheet.sections):
            if group[0].width == "half":
                high += max(height(column) for column in self._balanced(group))
            else:
                high += height(list(self.section(group[0], self.page.inner_width)))
        return self.y + high <= self.page.bottom

    def _head(self, sheet: Sheet) -> list[Strip]:
        wide = self.page.inner_width
        title = self.text(sheet.title, wide, self.size + 3, "B")
        banner = [self.banner(sheet.banner, wide), Strip(5)] if sheet.banner else []
        return [*(replace(strip, keep=True) for strip in title), Strip(4), *banner]

    def _balanced(self, sections: list[Section]) -> tuple[list[Strip], list[Strip]]:
        """Two columns of nearly one height, each in the order of the sections."""
        wide = (self.page.inner_width - GUTTER) / 2
        made = [list(self.section(section, wide)) for section in sections]
        heights = [height(strips) for strips in made]
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
        high = max(height(column) for column in columns)
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


def _groups(sections: tuple[Section, ...]) -> list[list[Section]]:
    """Full sections alone, halves that follow each other together."""
    groups: list[list[Section]] = []
    for section in sections:
        if section.width == "half" and groups and groups[-1][0].width == "half":
            groups[-1].append(section)
        else:
            groups.append([section])
    return groups
