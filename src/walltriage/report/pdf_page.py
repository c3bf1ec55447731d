"""Paper for reports: fonts, lines of text broken to a width, the shapes of a drawing, footers.

Everything is in points with y growing downward from the top of the page.
"""

from __future__ import annotations

import unicodedata
from datetime import UTC, datetime
from functools import cache
from pathlib import Path

from fpdf import FPDF

from walltriage.report.blocks import Document
from walltriage.report.drawing import Dot, Drawing, Label, Shape, Stroke

FONTS = Path(__file__).resolve().parent / "fonts"
FAMILY = "body"
MARGIN, FOOT_SIZE, LEADING = 44.0, 6.8, 1.3
_GRAY = {"ink": 20, "soft": 84, "faint": 160, "paper": 255}
Style = str
"""Empty or "B", as the library names weights."""


class Page(FPDF):
    """A PDF being written, with the standing notes of the current sheet at each page's foot."""

    def __init__(self, document: Document) -> None:
        super().__init__(unit="pt", format="letter")
        self.coded: set[str] = set()
        """Characters that had to be printed as codes so far."""
        self.set_auto_page_break(False)
        self.set_margins(MARGIN, MARGIN, MARGIN)
        self.c_margin = 0
        self.add_font(FAMILY, "", FONTS / "DejaVuSansCondensed.ttf")
        self.add_font(FAMILY, "B", FONTS / "DejaVuSansCondensed-Bold.ttf")
        self.set_lang("en-US")
        self.set_title(self.shown(document.title))
        self.set_subject(document.kind)
        self.set_creator("walltriage")
        made = datetime.fromisoformat(document.made_on).replace(tzinfo=UTC)
        self.set_creation_date(made)
        self.made = made
        self.foot_lines: list[tuple[str, Style]] = []

    @property
    def inner_width(self) -> float:
        """The width between the margins."""
        return float(self.w - 2 * MARGIN)

    @property
    def bottom(self) -> float:
        """Where content ends, above the standing notes."""
        return float(self.h - 30 - len(self.foot_lines) * FOOT_SIZE * LEADING - 8)

    def start_sheet(self, notes: tuple[str, ...]) -> None:
        """A new page, whose foot (and that of all pages up to the next sheet) bears the notes."""
        bold = [note == notes[-1] and len(notes) > 1 for note in notes]
        lines = [
            (line, "B" if heavy else "")
            for note, heavy in zip(notes, bold, strict=True)
            for line in self.broken(note, self.inner_width - 30, FOOT_SIZE, "B" if heavy else "")
        ]
        self.add_page()  # first sets the foot of the page before, with that sheet's notes
        self.foot_lines = lines

    def footer(self) -> None:
        """The standing notes and the page's number; called by the library when a page is full."""
        y = self.bottom + 8
        if self.foot_lines:
            self.rule(MARGIN, y - 4, self.inner_width, 0.5)
        for line, style in self.foot_lines:
            y += FOOT_SIZE * LEADING
            self.put(MARGIN, y, line, FOOT_SIZE, style)
        number = str(self.page_no())
        self.put(self.w - MARGIN - self.wide(number, 7.5), self.h - 30, number, 7.5)

    def finished(self) -> bytes:
        """The file's bytes; the font files, which the library leaves open, are closed."""
        content = bytes(self.output())
        for font in self.fonts.values():
            font.ttfont.close()  # type: ignore[union-attr]
        return content

    def shown(self, text: str) -> str:
        """The text with every character the font lacks told as its code."""
        known = _known()
        return "".join(c if ord(c) in known else self._code(c) for c in text)

    def _code(self, character: str) -> str:
        if unicodedata.category(character) in ("Cf", "Mn"):
            return ""  # joins or marks letters, and is nothing by itself
        self.coded.add(character)
        return f"[U+{ord(character):04X}]"

    def wide(self, text: str, size: float, style: Style = "") -> float:
        """The width of a text, all of whose characters the font has."""
        widths = _widths(style)
        return sum(widths.get(c, 0.6) for c in text) * size

    def broken(self, text: str, width: float, size: float, style: Style = "") -> list[str]:
        """The text as lines no wider than ``width``; long words are cut."""
        lines, current, used = [], "", 0.0
        space = self.wide(" ", size, style)
        for word in self.shown(text).split(" "):
            for piece in self._pieces(word, width, size, style):
                piece_width = self.wide(piece, size, style)
                if current and used + space + piece_width > width:
                    lines.append(current)
                    current, used = "", 0.0
                used += piece_width + (space if current else 0)
                current = f"{current} {piece}" if current else piece
        return [*lines, current] if current or not lines else lines

    def _pieces(self, word: str, width: float, size: float, style: Style) -> list[str]:
        if self.wide(word, size, style) <= width:
            return [word]
        pieces, current, used = [], "", 0.0
        for character in word:
            step = self.wide(character, size, style)
            if current and used + step > width:
                pieces.append(current)
                current, used = "", 0.0
            current, used = current + character, used + step
        return [*pieces, current]

    def put(self, x: float, y: float, text: str, size: float, style: Style = "") -> None:
        """One line of text on its baseline; right-to-left letters are joined and ordered."""
        self.set_font(FAMILY, style, size)
        if not any(unicodedata.bidirectional(c) in ("R", "AL", "AN") for c in text):
            self.text(x, y, text)
            return
        self.set_text_shaping(True, direction=None)
        self.set_xy(x, y - size * 0.95)
        self.cell(self.wide(text, size, style), size * 1.2, text, align="L")
        self.set_text_shaping(False)

    def rule(self, x: float, y: float, width: float, weight: float = 0.5, gray: int = 150) -> None:
        """A level line."""
        self.set_draw_color(gray)
        self.set_line_width(weight)
        self.line(x, y, x + width, y)

    def draw(self, drawing: Drawing, x: float, y: float, width: float) -> None:
        """A drawing scaled to a width."""
        scale = width / drawing.width
        for item in drawing.items:
            if isinstance(item, Label):
                self._label(item, x, y, scale)
                continue
            self.set_line_width(item.width * scale)
            dash = item.dash
            gap = dash[1] if len(dash) > 1 else 0
            self.set_dash_pattern(dash[0] * scale if dash else 0, gap * scale)
            if isinstance(item, Stroke):
                self.set_draw_color(_GRAY[item.tone])
                self.line(x + item.x1 * scale, y + item.y1 * scale, x + item.x2 * scale,
                          y + item.y2 * scale)  # fmt: skip
                continue
            style = self._paint(item)
            if isinstance(item, Shape):
                points = [(x + px * scale, y + py * scale) for px, py in item.points]
                self.polygon(points, style=style)
            else:
                self.circle(x + item.x * scale, y + item.y * scale, item.r * scale, style=style)
        self.set_dash_pattern()
        self.set_text_color(_GRAY["ink"])

    def _paint(self, item: Shape | Dot) -> str:
        if item.fill:
            self.set_fill_color(_GRAY[item.fill])
        if item.stroke:
            self.set_draw_color(_GRAY[item.stroke])
        return ("F" if item.fill else "") + ("D" if item.stroke else "")

    def _label(self, label: Label, x: float, y: float, scale: float) -> None:
        style, size = "B" if label.bold else "", label.size * scale
        text = self.shown(label.text)
        shift = {"start": 0.0, "middle": 0.5, "end": 1.0}[label.anchor]
        left = x + label.x * scale - shift * self.wide(text, size, style)
        self.set_text_color(_GRAY[label.tone])
        self.put(left, y + label.y * scale, text, size, style)


@cache
def _metrics(style: Style) -> tuple[dict[int, str], dict[str, float]]:
    """The characters a font has, and their widths at size 1."""
    from fontTools.ttLib import TTFont

    name = "DejaVuSansCondensed-Bold.ttf" if style == "B" else "DejaVuSansCondensed.ttf"
    with TTFont(FONTS / name, lazy=True) as font:
        cmap, advance = font.getBestCmap(), font["hmtx"].metrics
        em = font["head"].unitsPerEm
    return cmap, {chr(point): advance[glyph][0] / em for point, glyph in cmap.items()}


def _widths(style: Style) -> dict[str, float]:
    return _metrics(style)[1]


@cache
def _known() -> frozenset[int]:
    """Code points that both weights have."""
    return frozenset(_metrics("")[0]) & frozenset(_metrics("B")[0])
