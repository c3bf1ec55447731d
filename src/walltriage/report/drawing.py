"""Drawings as plain shapes, so that SVG and PDF draw the very same thing.

Four tones only, all of one ink: a drawing stays legible in grey print, and meaning is told by
pattern and label.  Coordinates are units of about a point, y growing downward.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

Tone = Literal["ink", "soft", "faint", "paper"]
Anchor = Literal["start", "middle", "end"]
Point = tuple[float, float]
WIDTH = 480.0
"""All drawings are this wide: on a phone a label of 14 units stays over 10 pixels high."""
LETTER = 0.56
"""Width of an average letter in units of its size, on the safe side."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """A straight line; ``dash`` is lengths drawn and left out in turn."""

    x1: float
    y1: float
    x2: float
    y2: float
    width: float = 1.2
    tone: Tone = "ink"
    dash: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Shape:
    """A closed polygon."""

    points: tuple[Point, ...]
    fill: Tone | None = None
    stroke: Tone | None = "ink"
    width: float = 1.2
    dash: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Dot:
    """A circle."""

    x: float
    y: float
    r: float
    fill: Tone | None = None
    stroke: Tone | None = "ink"
    width: float = 1.2
    dash: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Label:
    """One line of text; ``y`` is its baseline."""

    x: float
    y: float
    text: str
    size: float = 14
    anchor: Anchor = "middle"
    bold: bool = False
    tone: Tone = "ink"


Item = Stroke | Shape | Dot | Label


@dataclass(frozen=True, slots=True)
class PlanDrawing:
    """A drawing with its text alternative: ``title`` names it, ``desc`` tells all it shows.

    ``caption`` is what stands under it for people who see it.
    """

    name: str
    title: str
    desc: str
    height: float
    items: tuple[Item, ...]
    caption: str = ""
    width: float = WIDTH
    letters: tuple[str, ...] = ()
    """The drawing in plain letters for a terminal, where it can be told so."""


def rect(x: float, y: float, wide: float, high: float, /, **look: object) -> Shape:
    """An upright rectangle."""
    corners = ((x, y), (x + wide, y), (x + wide, y + high), (x, y + high))
    return Shape(corners, **look)  # type: ignore[arg-type]


def hatch(
    x: float, y: float, width: float, height: float, step: float = 6, tone: Tone = "ink"
) -> Iterator[Stroke]:
    """Slanted lines that fill an upright rectangle, cut at its edges."""
    offset = step
    while offset < width + height:
        x1, y1 = (x + offset, y) if offset <= width else (x + width, y + offset - width)
        x2, y2 = (x, y + offset) if offset <= height else (x + offset - height, y + height)
        yield Stroke(x1, y1, x2, y2, 0.9, tone)
        offset += step


def arrow(
    x1: float, y1: float, x2: float, y2: float, head: float = 8, line: Stroke | None = None
) -> Iterator[Item]:
    """A line with a filled head at its second end; ``line`` lends width, tone and dash."""
    look = line or Stroke(0, 0, 0, 0)
    angle = math.atan2(y2 - y1, x2 - x1)
    back = (x2 - head * math.cos(angle), y2 - head * math.sin(angle))
    yield Stroke(x1, y1, *back, look.width, look.tone, look.dash)
    side = head * 0.45
    yield Shape(
        (
            (x2, y2),
            (back[0] - side * math.sin(angle), back[1] + side * math.cos(angle)),
            (back[0] + side * math.sin(angle), back[1] - side * math.cos(angle)),
        ),
        fill=look.tone,
        stroke=None,
    )


def fit(text: str, width: float, size: float = 14) -> str:
    """The text, cut with an ellipsis when it is wider than ``width``."""
    most = max(int(width / (size * LETTER)), 1)
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"
