"""Relations of a wall to the levels above and below: lines, edges, crossings, stairs."""

from __future__ import annotations

from collections.abc import Iterable

from walltriage.case.geometry import Segment, overlap
from walltriage.inference.relations.place import place
from walltriage.inference.relations.placement import (
    FAR_IN,
    Between,
    Spot,
    Value,
    posts_on_line,
    stretch,
)


def offset_above(spot: Spot) -> Value:
    """Inches to the nearest wall that runs the same way on the level above."""
    return _offset_on(spot, spot.level_over)


def offset_below(spot: Spot) -> Value:
    """Inches to the nearest wall that runs the same way on the level below."""
    return _offset_on(spot, spot.level_under)


def support_offset(spot: Spot) -> Value:
    """Inches to the nearest wall, beam or row of posts that runs the same way below."""
    level = spot.level_under
    if level is None:
        return None
    beams = [s for s in spot.layout.beams if s.line.level == level]
    found = _offset_on(spot, level, beams)
    if posts_on_line(spot, level, spot.settings["in_line"]) >= 2:
        return Between(0.0, spot.two_in)
    return found


def _offset_on(spot: Spot, level: str | None, more: Iterable[Segment] = ()) -> Value:
    if level is None or not spot.wall.whole or spot.cover(level) in (None, "none"):
        return None
    lines = spot.parallel((*spot.layout.walls_on(level), *more))
    edges = [s for s in _edges(spot, level) if overlap(s, spot.wall, spot.axis) > spot.one_in]
    offset = min((spot.offset(s) for s in (*lines, *edges)), default=FAR_IN)
    found = stretch(offset, spot.two_in)
    return found if spot.all_drawn(level) else Between(0.0, found.high)


def _edges(spot: Spot, level: str) -> list[Segment]:
    """The outside walls of a level that run the same way as the wall."""
    found = []
    for _, rect in spot.layout.parts_on(level):
        lo, hi = rect.along(spot.axis)
        for at in rect.across(spot.axis):
            middle = (max(lo, spot.wall.lo or lo) + min(hi, spot.wall.hi or hi)) / 2
            if lo <= middle <= hi and at in spot.layout.house_span(level, spot.axis, middle, at):
                found.append(Segment(spot.axis, at, lo, hi, spot.wall.line))
    return found


def upper_edge_offset(spot: Spot) -> Value:
    """Inches to the nearest outside wall of the level above, if this one is not under it."""
    level = spot.level_over
    if level is None or not spot.wall.whole or not spot.layout.known_on(level):
        return None
    if place(spot) == "outside":
        return None
    edges = [s for s in _edges(spot, level) if overlap(s, spot.wall, spot.axis) > spot.one_in]
    return stretch(min((spot.offset(s) for s in edges), default=FAR_IN), spot.two_in)


def crossed_above(spot: Spot) -> Value:
    """none, crosses or ends: walls on the level above that run the other way."""
    level, wall = spot.level_over, spot.wall
    if level is None or not wall.whole or spot.cover(level) in (None, "none"):
        return None
    assert wall.at is not None
    assert wall.lo is not None
    assert wall.hi is not None
    found = None
    for other in spot.layout.walls_on(level):
        if other.axis == spot.axis or not other.whole:
            continue
        assert other.at is not None
        assert other.lo is not None
        assert other.hi is not None
        if not wall.lo - spot.two_in <= other.at <= wall.hi + spot.two_in:
            continue
        if min(abs(other.lo - wall.at), abs(other.hi - wall.at)) <= spot.settings["in_line"]:
            return "ends"
        if other.lo < wall.at < other.hi:
            found = "crosses"
    return found or ("none" if spot.all_drawn(level) else None)


def stairs_above(spot: Spot) -> Value:
    """along, corner or away: the stair opening in the floor above; away only if one is drawn."""
    level, wall = spot.level_over, spot.wall
    holes = [spot.layout.area(a) for a in spot.layout.plan.stairs if a.level == level]
    known = [hole for hole in holes if hole is not None]
    if not known or not wall.whole:
        return None
    assert wall.at is not None
    near, touching = spot.settings["near_opening"], spot.settings["in_line"]
    found: Value = "away"
    for hole in known:
        low, high = hole.across(spot.axis)
        first, last = hole.along(spot.axis)
        off = max(low - wall.at, wall.at - high, 0.0)
        past = max(first - (wall.hi or 0.0), (wall.lo or 0.0) - last, 0.0)
        if max(off, past) > near:
            continue
        edge = min(abs(wall.at - low), abs(wall.at - high)) <= touching
        if edge and overlap(hole, wall, spot.axis) >= last - first - touching:
            found = "along" if found == "away" else found
        elif max(off, past) <= touching:
            return "corner"
        else:  # near, but whether its corner rests here only a look tells
            found = None if found == "away" else found
    return found


def support_share(spot: Spot) -> Value:
    """The share of the wall that stands over one line of walls and beams on the level below."""
    level, wall = spot.level_under, spot.wall
    if level is None or not wall.length or spot.cover(level) != "rooms":
        return None
    beams = [s for s in spot.layout.beams if s.line.level == level]
    lines = spot.parallel((*spot.layout.walls_on(level), *beams))
    edges = [s for s in _edges(spot, level) if overlap(s, wall, spot.axis) > spot.one_in]
    near = [s for s in (*lines, *edges) if spot.offset(s) <= spot.settings["in_line"]]
    covered, reached = 0.0, wall.lo or 0.0
    for line in sorted(near, key=lambda s: s.lo or 0.0):
        lo, hi = max(line.lo or 0.0, reached), min(line.hi or 0.0, wall.hi or 0.0)
        if hi > lo:
            covered, reached = covered + hi - lo, hi
    found = stretch(covered / wall.length, spot.two_in / wall.length)
    return Between(found.low, min(found.high, 1.0) if spot.all_drawn(level) else 1.0)


def post_over(spot: Spot) -> Value:
    """post when one is drawn on the level above right over the wall."""
    level = spot.level_over
    near = spot.settings["in_line"]
    return "post" if level and posts_on_line(spot, level, near, True) else None


def things_over(spot: Spot) -> Value:
    """some when a wall, a post or a stair opening is drawn above on the wall's line."""
    if post_over(spot) or stairs_above(spot) in ("along", "corner"):
        return "some"
    offset = offset_above(spot)
    wall_over = isinstance(offset, Between) and offset.high <= spot.settings["near_opening"]
    return "some" if wall_over or crossed_above(spot) in ("crosses", "ends") else None
