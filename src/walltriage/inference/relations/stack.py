"""Relations of a wall to the levels above and below: lines, edges, crossings, stairs."""

from __future__ import annotations

from collections.abc import Iterable

from walltriage.case.geometry import Segment, overlap
from walltriage.inference.relations.place import place
from walltriage.inference.relations.placement import (
    FAR_IN,
    Between,
    Value,
    WallPlacement,
    posts_on_line,
    stretch,
)


def offset_above(placed: WallPlacement) -> Value:
    """Inches to the nearest wall that runs the same way on the level above."""
    return _offset_on(placed, placed.level_over)


def offset_below(placed: WallPlacement) -> Value:
    """Inches to the nearest wall that runs the same way on the level below."""
    return _offset_on(placed, placed.level_under)


def support_offset(placed: WallPlacement) -> Value:
    """Inches to the nearest wall, beam or row of posts that runs the same way below."""
    level = placed.level_under
    if level is None:
        return None
    beams = [s for s in placed.layout.beams if s.line.level == level]
    found = _offset_on(placed, level, beams)
    if posts_on_line(placed, level, placed.settings["in_line"]) >= 2:
        return Between(0.0, placed.two_in)
    return found


def _offset_on(placed: WallPlacement, level: str | None, more: Iterable[Segment] = ()) -> Value:
    if level is None or not placed.wall.whole or placed.cover(level) in (None, "none"):
        return None
    lines = placed.parallel((*placed.layout.walls_on(level), *more))
    edges = [
        s for s in _edges(placed, level) if overlap(s, placed.wall, placed.axis) > placed.one_in
    ]
    offset = min((placed.offset(s) for s in (*lines, *edges)), default=FAR_IN)
    found = stretch(offset, placed.two_in)
    return found if placed.all_drawn(level) else Between(0.0, found.high)


def _edges(placed: WallPlacement, level: str) -> list[Segment]:
    """The outside walls of a level that run the same way as the wall."""
    found = []
    for _, rect in placed.layout.parts_on(level):
        lo, hi = rect.along(placed.axis)
        for at in rect.across(placed.axis):
            middle = (max(lo, placed.wall.lo or lo) + min(hi, placed.wall.hi or hi)) / 2
            if lo <= middle <= hi and at in placed.layout.house_span(
                level, placed.axis, middle, at
            ):
                found.append(Segment(placed.axis, at, lo, hi, placed.wall.line))
    return found


def upper_edge_offset(placed: WallPlacement) -> Value:
    """Inches to the nearest outside wall of the level above, if this one is not under it."""
    level = placed.level_over
    if level is None or not placed.wall.whole or not placed.layout.known_on(level):
        return None
    if place(placed) == "outside":
        return None
    edges = [
        s for s in _edges(placed, level) if overlap(s, placed.wall, placed.axis) > placed.one_in
    ]
    return stretch(min((placed.offset(s) for s in edges), default=FAR_IN), placed.two_in)


def crossed_above(placed: WallPlacement) -> Value:
    """none, crosses or ends: walls on the level above that run the other way.

    One over the very end of the wall that stands on a wall of this level there goes down by that
    wall: it is neither on this one nor, to a person upstairs, clear of its line.  So it says
    nothing.
    """
    level, wall = placed.level_over, placed.wall
    if level is None or not wall.whole or placed.cover(level) in (None, "none"):
        return None
    at, lo, hi = wall.place
    found, met = None, False
    for other in placed.layout.walls_on(level):
        if other.axis == placed.axis or not other.whole:
            continue
        across, first, last = other.place
        if not lo - placed.two_in <= across <= hi + placed.two_in:
            continue
        if _stands_past_end(placed, other):
            met = True
            continue
        if min(abs(first - at), abs(last - at)) <= placed.settings["in_line"]:
            return "ends"
        if first < at < last:
            found = "crosses"
    return found or ("none" if placed.all_drawn(level) and not met else None)


def _stands_past_end(placed: WallPlacement, upper: Segment) -> bool:
    """Whether a crossing wall above stands at an end of the wall, on one of this level there."""
    wall, near = placed.wall, placed.settings["in_line"]
    at, lo, hi = wall.place
    across = upper.place[0]
    if min(abs(across - lo), abs(across - hi)) > near:
        return False
    standing = (s.place for s in placed.layout.walls_on(placed.level) if s.whole and
                s.axis == upper.axis)  # fmt: skip
    return any(
        abs(below - across) <= near and first - near <= at <= last + near
        for below, first, last in standing
    )


def stairs_above(placed: WallPlacement) -> Value:
    """along, corner or away: the stair opening in the floor above; away only if one is drawn."""
    level, wall = placed.level_over, placed.wall
    holes = [placed.layout.area(a) for a in placed.layout.plan.stairs if a.level == level]
    known = [hole for hole in holes if hole is not None]
    if not known or not wall.whole:
        return None
    at, lo, hi = wall.place
    near, touching = placed.settings["near_opening"], placed.settings["in_line"]
    found: Value = "away"
    for hole in known:
        low, high = hole.across(placed.axis)
        first, last = hole.along(placed.axis)
        off = max(low - at, at - high, 0.0)
        past = max(first - hi, lo - last, 0.0)
        if max(off, past) > near:
            continue
        edge = min(abs(at - low), abs(at - high)) <= touching
        if edge and overlap(hole, wall, placed.axis) >= last - first - touching:
            found = "along" if found == "away" else found
        elif max(off, past) <= touching:
            return "corner"
        else:  # near, but whether its corner rests here only a look tells
            found = None if found == "away" else found
    return found


def support_share(placed: WallPlacement) -> Value:
    """The share of the wall that stands over one line of walls and beams on the level below."""
    level, wall = placed.level_under, placed.wall
    if level is None or not wall.length or placed.cover(level) != "rooms":
        return None
    beams = [s for s in placed.layout.beams if s.line.level == level]
    lines = placed.parallel((*placed.layout.walls_on(level), *beams))
    edges = [s for s in _edges(placed, level) if overlap(s, wall, placed.axis) > placed.one_in]
    near = [s for s in (*lines, *edges) if placed.offset(s) <= placed.settings["in_line"]]
    covered, reached = 0.0, wall.lo or 0.0
    for line in sorted(near, key=lambda s: s.lo or 0.0):
        lo, hi = max(line.lo or 0.0, reached), min(line.hi or 0.0, wall.hi or 0.0)
        if hi > lo:
            covered, reached = covered + hi - lo, hi
    found = stretch(covered / wall.length, placed.two_in / wall.length)
    return Between(found.low, min(found.high, 1.0) if placed.all_drawn(level) else 1.0)


def post_over(placed: WallPlacement) -> Value:
    """post when one is drawn on the level above right over the wall."""
    level = placed.level_over
    near = placed.settings["in_line"]
    return "post" if level and posts_on_line(placed, level, near, True) else None


def things_over(placed: WallPlacement) -> Value:
    """some when a wall, a post or a stair opening is drawn above on the wall's line."""
    if post_over(placed) or stairs_above(placed) in ("along", "corner"):
        return "some"
    offset = offset_above(placed)
    wall_over = isinstance(offset, Between) and offset.high <= placed.settings["near_opening"]
    return "some" if wall_over or crossed_above(placed) in ("crosses", "ends") else None
