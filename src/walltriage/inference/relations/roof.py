"""Relations of a wall to the slanted lines of the roof, by position alone."""

from __future__ import annotations

import math
from collections.abc import Iterator

from walltriage.case.geometry import Layout, Rectangle, Segment
from walltriage.inference.relations.placement import FAR_IN, Value, WallPlacement, stretch

Point = tuple[float, float]


def slanted_offset(placed: WallPlacement) -> Value:
    """Inches from the wall to a hip or valley line over it; far where none can be.

    Only under the roof itself, and only where every ridge end is known.
    """
    wall = placed.wall
    if not wall.whole or placed.cover(placed.level_over) != "none" or not placed.layout.ridges:
        return None
    if not all(ridge.whole for ridge in placed.layout.ridges):
        return None
    gaps = [_gap(wall, *line) for line in slanted_lines(placed.layout)]
    return stretch(min(gaps, default=FAR_IN), placed.two_in)


def slanted_lines(layout: Layout) -> Iterator[tuple[Point, Point]]:
    """Hip lines from ridge ends to corners; valley lines from inside corners up to the ridges."""
    for ridge in layout.ridges:
        rect = layout.rects.get(layout.part_id(ridge.line.part))
        if rect is not None and ridge.whole:
            yield from _hips(ridge, rect, layout.tolerance_in)
            yield from _valleys(ridge, rect, layout)


def _hips(ridge: Segment, rect: Rectangle, slack: float) -> Iterator[tuple[Point, Point]]:
    first, last = rect.along(ridge.axis)
    at, lo, hi = ridge.place
    for end, edge in ((lo, first), (hi, last)):
        if abs(end - edge) > slack:
            for side in rect.across(ridge.axis):
                yield _point(ridge, end, at), _point(ridge, edge, side)


def _valleys(ridge: Segment, rect: Rectangle, layout: Layout) -> Iterator[tuple[Point, Point]]:
    """Where a wing's roof meets another one square to it: at half a right angle in plan."""
    for other in layout.ridges:
        host = layout.rects.get(layout.part_id(other.line.part))
        if other.axis == ridge.axis or host is None or host == rect:
            continue
        assert ridge.at is not None
        first, last = rect.along(ridge.axis)
        low, high = host.across(other.axis)
        for edge, inward in ((low, 1.0), (high, -1.0)):
            if abs(edge - (first if inward < 0 else last)) > layout.tolerance_in:
                continue
            for side in rect.across(ridge.axis):
                reach = abs(side - ridge.at)
                yield (
                    _point(ridge, edge, side),
                    _point(ridge, edge + inward * reach, ridge.at),
                )


def _point(ridge: Segment, along: float, across: float) -> Point:
    return (along, across) if ridge.axis == "x" else (across, along)


def _gap(wall: Segment, start: Point, end: Point) -> float:
    """The least distance between a wall and a straight line, both of some length."""
    at, lo, hi = wall.place
    a, b = ((lo, at), (hi, at)) if wall.axis == "x" else ((at, lo), (at, hi))
    if _cross(a, b, start, end):
        return 0.0
    return min(_off(a, start, end), _off(b, start, end), _off(start, a, b), _off(end, a, b))


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    def side(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0


def _off(point: Point, start: Point, end: Point) -> float:
    wide, high = end[0] - start[0], end[1] - start[1]
    length = wide * wide + high * high
    share = ((point[0] - start[0]) * wide + (point[1] - start[1]) * high) / length if length else 0
    share = min(max(share, 0.0), 1.0)
    return math.hypot(point[0] - start[0] - share * wide, point[1] - start[1] - share * high)
