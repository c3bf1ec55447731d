"""The few shapes that the charts are made of."""

from __future__ import annotations

import math
from xml.sax.saxutils import escape

WIDTH = 760
EDGE = 16
INK, SOFT, GRID, GOAL = "#222222", "#666666", "#dddddd", "#b00020"
REPORTER_COLOURS = {
    "perfect": "#2f7d4f",
    "guided": "#7a4fa3",
    "careful": "#1b6ca8",
    "usual": "#222222",
    "poor": "#b5502f",
}
VERDICT_COLOURS = {
    "likely_non_bearing": "#4a8f5c", "cannot_tell": "#c8c8c8", "likely_bearing": "#b5502f",
}  # fmt: skip


class Chart:
    """Shapes one after the other, closed to one SVG picture with a title and a note below."""

    def __init__(self, title: str, height: float) -> None:
        self._parts: list[str] = []
        self._height = height
        self.text(EDGE, 24, title, size=15, bold=True)
        self._title = title

    def text(
        self, x: float, y: float, words: str, *, size: int = 12, anchor: str = "start",
        colour: str = INK, bold: bool = False,
    ) -> None:  # fmt: skip
        """Words with their foot at (x, y)."""
        weight = ' font-weight="bold"' if bold else ""
        self._parts.append(
            f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size}" text-anchor="{anchor}" '
            f'fill="{colour}"{weight}>{escape(words)}</text>'
        )

    def line(
        self, x1: float, y1: float, x2: float, y2: float, *, colour: str = INK,
        wide: float = 1, dash: str = "",
    ) -> None:  # fmt: skip
        """A straight line."""
        dashes = f' stroke-dasharray="{dash}"' if dash else ""
        self._parts.append(
            f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="{colour}" '
            f'stroke-width="{wide:g}"{dashes}/>'
        )

    def bar(self, x: float, y: float, wide: float, high: float, colour: str) -> None:
        """A filled rectangle."""
        self._parts.append(
            f'<rect x="{x:.1f}" y="{y:.1f}" width="{wide:.1f}" height="{high:.1f}" '
            f'fill="{colour}"/>'
        )

    def dot(self, x: float, y: float, colour: str, *, hollow: bool = False) -> None:
        """A small circle; hollow for "none seen"."""
        fill = "white" if hollow else colour
        self._parts.append(
            f'<circle cx="{x:.1f}" cy="{y:.1f}" r="3.5" fill="{fill}" stroke="{colour}" '
            'stroke-width="1.5"/>'
        )

    def note(self, lines: list[str]) -> None:
        """Small print at the foot of the picture."""
        for index, line in enumerate(reversed(lines)):
            self.text(EDGE, self._height - 10 - 14 * index, line, size=10, colour=SOFT)

    def svg(self) -> str:
        """The whole picture."""
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH}" height="{self._height:g}" '
            f'viewBox="0 0 {WIDTH} {self._height:g}" font-family="sans-serif" role="img">'
            f"<title>{escape(self._title)}</title>"
            f'<rect width="{WIDTH}" height="{self._height:g}" fill="white"/>'
        )
        return "\n".join([head, *self._parts, "</svg>", ""])


def percent(share: float) -> str:
    """A share in as few figures as tell it: 0.02 %, 1 %, 50 %."""
    return f"{share * 100:.3g} %"


def log_odds_db(chance: float) -> float:
    """A chance on the scale of decibans."""
    return 10 * math.log10(chance / (1 - chance))
