"""Where everything on a plan is, in inches right of and behind the first part's front left corner.

A *segment* is a line parallel to a side: ``axis`` is ``x`` when it runs left to right (then
``at`` counts from the front) and ``y`` when it runs front to back (then from the left).  What
was not measured is None.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from walltriage.case.plan import Area, DrawnLine, DrawnPost, Length, Part, Plan, Side

Axis = Literal["x", "y"]


@dataclass(frozen=True, slots=True)
class Rectangle:
    """A rectangle, from left to right and from front to back."""

    x0: float
    y0: float
    x1: float
    y1: float

    def across(self, axis: Axis) -> tuple[float, float]:
        """Its extent square to a line along ``axis``."""
        return (self.y0, self.y1) if axis == "x" else (self.x0, self.x1)

    def along(self, axis: Axis) -> tuple[float, float]:
        """Its extent along ``axis``."""
        return (self.x0, self.x1) if axis == "x" else (self.y0, self.y1)


@dataclass(frozen=True, slots=True)
class Segment:
    """A line parallel to a side: its place square to itself, and its two ends."""

    axis: Axis
    at: float | None
    lo: float | None
    hi: float | None
    line: DrawnLine

    @property
    def length(self) -> float | None:
        return None if self.lo is None or self.hi is None else self.hi - self.lo

    @property
    def whole(self) -> bool:
        """Whether its place and both ends are known."""
        return self.at is not None and self.length is not None

    @property
    def place(self) -> tuple[float, float, float]:
        """Its place square to itself and its two ends; of one that is :attr:`whole` only."""
        assert self.at is not None
        assert self.lo is not None
        assert self.hi is not None
        return self.at, self.lo, self.hi


def axis_of(side: Side) -> Axis:
    """The axis of a line parallel to this side."""
    return "x" if side in ("front", "back") else "y"


class Layout:
    """A plan worked out: rectangles of the parts and segments of the lines.

    ``tolerance_in`` is how far out the outline and the roof may be, ``loosest_in`` the loosest
    thing of all that is drawn.
    """

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.tolerance_in = max(plan.tolerance.inches, *(_out_in(part) for part in plan.parts),
                                *(_out_in(ridge) for ridge in plan.ridges), 0.0)  # fmt: skip
        drawn: tuple[DrawnLine | Area | DrawnPost, ...]
        drawn = (*plan.walls, *plan.beams, *plan.posts, *plan.stairs, *plan.joists)
        self.loosest_in = max(map(self.out_in, drawn), default=self.tolerance_in)
        self.rects: dict[str, Rectangle] = {}
        for part in plan.parts:
            rect = self._rect(part)
            if rect is not None:
                self.rects[part.id] = rect
        self.walls = tuple(self.segment(line) for line in plan.walls)
        self.beams = tuple(self.segment(line) for line in plan.beams)
        self.ridges = tuple(self.segment(line) for line in plan.ridges)

    def out_in(self, thing: DrawnLine | Area | DrawnPost) -> float:
        """How far out the place of something drawn may be, in inches."""
        return max(self.tolerance_in, _out_in(thing))

    def _rect(self, part: Part) -> Rectangle | None:
        if part.width is None or part.depth is None:
            return None
        width, depth = part.width.inches, part.depth.inches
        if part.side is None:
            return Rectangle(0.0, 0.0, width, depth)
        host = self.rects.get(part.of)
        if host is None or part.start is None:
            return None
        if axis_of(part.side) == "x":
            x0 = host.x0 + part.start.inches
            y0 = host.y1 if part.side == "back" else host.y0 - depth
        else:
            x0 = host.x1 if part.side == "right" else host.x0 - width
            y0 = host.y0 + part.start.inches
        return Rectangle(x0, y0, x0 + width, y0 + depth)

    def part_id(self, name: str) -> str:
        """A part's id, the first part's for an empty name."""
        return self.plan.part(name).id

    def segment(self, line: DrawnLine) -> Segment:
        """A line in the plan's own inches; a missing length leaves its place open."""
        axis = axis_of(line.along)
        rect = self.rects.get(self.part_id(line.part))
        if rect is None:
            return Segment(axis, None, None, None, line)
        near, far = rect.across(axis)
        at = None
        if line.off is not None:
            back = line.along in ("back", "right")
            at = far - line.off.inches if back else near + line.off.inches
        base = rect.along(axis)[0]
        lo, hi = (None if end is None else base + end.inches for end in (line.start, line.end))
        return Segment(axis, at, lo, hi, line)

    def area(self, area: Area) -> Rectangle | None:
        """An area's rectangle; a stretch that was not given runs over its whole part."""
        rect = self.rects.get(self.part_id(area.part))
        if rect is None:
            return None
        x0, x1 = rect.x0, rect.x1
        y0, y1 = rect.y0, rect.y1
        if area.left is not None:
            x0, x1 = (rect.x0 + end.inches for end in area.left)
        if area.front is not None:
            y0, y1 = (rect.y0 + end.inches for end in area.front)
        return Rectangle(x0, y0, x1, y1)

    def parts_on(self, level: str) -> list[tuple[Part, Rectangle]]:
        """The parts that have this level, with their rectangles as far as known."""
        return [
            (part, self.rects[part.id])
            for part in self.plan.parts
            if level in part.levels and part.id in self.rects
        ]

    def known_on(self, level: str) -> bool:
        """Whether all parts that have this level are measured."""
        return all(part.id in self.rects for part in self.plan.parts if level in part.levels)

    def level_over(self, part: Part, level: str) -> str | None:
        """The next level of a part above one of its levels."""
        higher = self.plan.levels[self.plan.levels.index(level) + 1 :]
        return next((name for name in higher if name in part.levels), None)

    def walls_on(self, level: str) -> list[Segment]:
        return [segment for segment in self.walls if segment.line.level == level]

    def house_span(self, level: str, axis: Axis, where: float, at: float) -> tuple[float, float]:
        """The outside lines square to a line along ``axis``, before and behind its place.

        Looked for at ``where`` along the line, through parts that touch each other; ``at`` is
        returned twice when the place lies outside the house.
        """
        reach = [
            rect.across(axis)
            for _, rect in self.parts_on(level)
            if rect.along(axis)[0] - CLOSE <= where <= rect.along(axis)[1] + CLOSE
        ]
        near = far = at
        grown = True
        while grown:
            grown = False
            for low, high in reach:
                if low <= far + CLOSE and high >= near - CLOSE and (low < near or high > far):
                    near, far, grown = min(near, low), max(far, high), True
        return near, far


def _out_in(thing: Part | DrawnLine | Area | DrawnPost) -> float:
    """How far out the words of its lengths say that something may be; 0 where they say nothing."""
    if isinstance(thing, Part):
        ends: tuple[Length | None, ...] = (thing.width, thing.depth, thing.start)
    elif isinstance(thing, DrawnLine):
        openings = (end for ends in thing.openings for end in ends)
        ends = (thing.off, thing.start, thing.end, *openings)
    elif isinstance(thing, Area):
        ends = (*(thing.left or ()), *(thing.front or ()))
    else:
        ends = (thing.left, thing.front)
    return max((end.out_in for end in ends if end is not None), default=0.0)


CLOSE = 0.5  # half an inch: closer than any of these lengths is known


def overlap(a: Segment | Rectangle, b: Segment | Rectangle, axis: Axis) -> float:
    """Inches along ``axis`` that two things share; 0 when their ends are not known."""
    ends = []
    for item in (a, b):
        if isinstance(item, Rectangle):
            ends.append(item.along(axis))
        elif item.lo is None or item.hi is None:
            return 0.0
        else:
            ends.append((item.lo, item.hi))
    return max(0.0, min(ends[0][1], ends[1][1]) - max(ends[0][0], ends[1][0]))
