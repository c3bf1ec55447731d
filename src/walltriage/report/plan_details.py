"""What else a drawn plan shows: outer sizes, beams, posts, stairs, the ids of other walls."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import hypot

from walltriage.language import say
from walltriage.report.drawing import LETTER, Item, Label, Point, Stroke, fit, rect

BEAM_HALF, POST_HALF, TREAD_STEP = 2.5, 4.0, 6.0
SIZES, COMFORTABLE = (14.0, 12.5, 11.0), 210.0
"""Of the letters of a wall's name, and how wide a name in the largest may be."""
At = Callable[[Point], Point]
Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class PlanDetails:
    """Things on a plan beside its walls, in the same inches; sizes are words to print.

    A beam is its two ends, a stair opening two opposite corners.
    """

    wide: str = ""
    deep: str = ""
    beams: tuple[tuple[Point, Point], ...] = ()
    posts: tuple[Point, ...] = ()
    stairs: tuple[tuple[Point, Point], ...] = ()

    def words(self) -> Iterator[str]:
        """How many of each, for the text beside the drawing and the legend under it."""
        for things, words in (
            (self.beams, (say("beam: dashed double line"), say("beams: dashed double lines"))),
            (self.posts, (say("post: filled square"), say("posts: filled squares"))),
            (self.stairs, (say("stair opening: ladder"), say("stair openings: ladders"))),
        ):
            if things:
                yield words[len(things) > 1]


NOTHING_MORE = PlanDetails()


def details(of: PlanDetails, at: At) -> Iterator[Item]:
    """The things themselves."""
    for corners in of.stairs:
        yield from _stairs(*(at(corner) for corner in corners))
    for ends in of.beams:
        yield from _beam(*(at(end) for end in ends))
    for post in of.posts:
        x, y = at(post)
        yield rect(x - POST_HALF, y - POST_HALF, 2 * POST_HALF, 2 * POST_HALF, fill="ink")


def sizes(of: PlanDetails, left: float, top: float, right: float, bottom: float) -> Iterator[Item]:
    """Width above the house, depth to its left, and which side the street is on."""
    if not of.wide:
        return
    middle = (left + right) / 2
    for x1, x2 in ((left, middle - 30), (middle + 30, right)):
        yield Stroke(x1, top - 16, x2, top - 16, 0.9, "soft")
    for x in (left, right):
        yield Stroke(x, top - 20, x, top - 12, 0.9, "soft")
    yield Label(middle, top - 12, of.wide, 13, tone="soft")
    yield Label(left - 8, (top + bottom) / 2 + 4, of.deep, 13, "end", tone="soft")
    yield Label(middle, bottom + 18, say("front"), 13, tone="soft")


def _stairs(one: Point, other: Point) -> Iterator[Item]:
    """A rectangle with treads across its longer side."""
    (x1, x2), (y1, y2) = sorted((one[0], other[0])), sorted((one[1], other[1]))
    yield rect(x1, y1, x2 - x1, y2 - y1, fill="paper", stroke="soft")
    level, place = x2 - x1 >= y2 - y1, TREAD_STEP
    while place < (x2 - x1 if level else y2 - y1):
        yield (
            Stroke(x1 + place, y1, x1 + place, y2, 0.8, "soft")
            if level
            else Stroke(x1, y1 + place, x2, y1 + place, 0.8, "soft")
        )
        place += TREAD_STEP


def _beam(one: Point, other: Point) -> Iterator[Item]:
    length = max(hypot(other[0] - one[0], other[1] - one[1]), 1e-9)
    nx = -(other[1] - one[1]) / length * BEAM_HALF
    ny = (other[0] - one[0]) / length * BEAM_HALF
    for way in (-1, 1):
        yield Stroke(one[0] + nx * way, one[1] + ny * way, other[0] + nx * way,
                   other[1] + ny * way, 1.2, "ink", (7, 3))  # fmt: skip


def label_box(x: float, y: float, wide: float, size: float) -> Box:
    """The room that a label takes: left, top, right, bottom."""
    return x - wide / 2, y - size - 1, x + wide / 2, y + 5


def meet(one: Box, other: Box) -> bool:
    """Whether two boxes share any place."""
    return one[0] <= other[2] and other[0] <= one[2] and one[1] <= other[3] and other[1] <= one[3]


def lettered(name: str, widest: float) -> tuple[str, float]:
    """A name and the size of its letters: smaller for a long one, cut as a last resort."""
    for size in SIZES:
        if len(name) * size * LETTER <= (COMFORTABLE if size == SIZES[0] else widest):
            return name, size
    return fit(name, widest, SIZES[-1]), SIZES[-1]


def mark(text: str, x: float, y: float, size: float, bold: bool = False) -> Iterator[Item]:
    """A label on paper of its own, so that no line runs through it."""
    left, top, right, bottom = label_box(x, y, len(text) * size * LETTER + 8, size)
    yield rect(left, top, right - left, bottom - top, fill="paper", stroke=None)
    yield Label(x, y, text, size, bold=bold)
