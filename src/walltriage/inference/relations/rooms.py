"""Relations of a wall to the rooms, the stairs and the outline round it on its own level."""

from __future__ import annotations

import math

from walltriage.case.geometry import Axis, Rect, Segment, overlap
from walltriage.inference.relations.place import place
from walltriage.inference.relations.placement import FAR_IN, Between, Spot, Value, stretch


def room_ratio(spot: Spot) -> Value:
    """The larger room beside the wall: its size along the wall over its size square to it.

    Only where every wall of the level is drawn, and where the wall is not on an outside line.
    """
    wall, ends = spot.wall, spot.outside()
    if not wall.whole or ends is None or not spot.all_drawn(spot.level):
        return None
    assert wall.at is not None
    rooms = [room for way in (-1, 1) if (room := _room(spot, ends[max(way, 0)], way)) is not None]
    if not rooms:
        return None
    along, across = max(rooms, key=lambda size: size[0] * size[1])
    slack = spot.two_in
    return Between(max(along - slack, 0.0) / (across + slack),
                   (along + slack) / max(across - slack, 1.0))  # fmt: skip


def _room(spot: Spot, edge: float, way: int) -> tuple[float, float] | None:
    """Sizes along the wall and square to it of the room on one side, from wall to wall."""
    wall, middle = spot.wall, spot.middle
    assert wall.at is not None
    assert middle is not None
    beside = [s for s in spot.layout.walls_on(spot.level) if s.whole and s is not wall]
    gaps = [
        (s.at - wall.at) * way
        for s in beside
        if s.axis == spot.axis and s.at is not None and _spans(s, middle)
    ]
    depth = min([gap for gap in gaps if gap > spot.two_in] + [abs(edge - wall.at)])
    if depth <= spot.two_in:
        return None
    inside = wall.at + way * depth / 2
    across: Axis = "y" if spot.axis == "x" else "x"
    low, high = spot.layout.house_span(spot.level, across, inside, middle)
    for s in beside:
        if s.axis != spot.axis and s.at is not None and _spans(s, inside):
            low, high = (max(low, s.at), high) if s.at <= middle else (low, min(high, s.at))
    return high - low, depth


def _spans(segment: Segment, place: float) -> bool:
    return segment.lo is not None and segment.hi is not None and segment.lo <= place <= segment.hi


def cross_walls(spot: Spot) -> Value:
    """How many other inside walls of the level run the same way, for wind and earthquakes.

    A long one counts for sure, a shorter one only as one that there may be, because doors are
    not drawn.
    """
    sure, most = 0, 0
    for other in spot.layout.walls_on(spot.level):
        if other is spot.wall or other.axis != spot.axis or other.line.kind != "wall":
            continue
        on_edge = place(Spot(spot.layout, other, spot.settings)) == "outside"
        if not other.whole or on_edge:
            continue
        assert other.length is not None
        sure += other.length - spot.two_in >= spot.settings["plain_for_sure"]
        most += other.length + spot.two_in >= spot.settings["plain_at_least"]
    return Between(float(sure), float(most) if spot.all_drawn(spot.level) else FAR_IN)


def jog_offset(spot: Spot) -> Value:
    """Inches from the wall's line to a jog of the outline that runs the same way."""
    if spot.wall.at is None or not spot.layout.known_on(spot.level):
        return None
    rects = [rect for _, rect in spot.layout.parts_on(spot.level)]
    outer = {end for rect in rects for end in rect.across(spot.axis)}
    jogs = [at for at in outer if _is_jog(at, rects, spot)]
    return stretch(min((abs(at - spot.wall.at) for at in jogs), default=FAR_IN), spot.two_in)


def _is_jog(at: float, rects: list[Rect], spot: Spot) -> bool:
    """Whether an edge of one part ends against the side of another: an inside corner."""
    return any(
        low + spot.one_in < at < high - spot.one_in
        for low, high in (rect.across(spot.axis) for rect in rects)
    )


def part_age(spot: Spot) -> Value:
    """joint, added or first: the wall and the parts that have a year of their own."""
    where = place(spot)
    if where == "once_outside":
        return "joint"
    if where != "inside" or spot.middle is None or spot.wall.at is None:
        return None
    x, y = (spot.middle, spot.wall.at) if spot.axis == "x" else (spot.wall.at, spot.middle)
    for part, rect in spot.layout.parts_on(spot.level):
        if rect.x0 <= x <= rect.x1 and rect.y0 <= y <= rect.y1:
            return "first" if part.year is None else "added"
    return None


def stairs_by(spot: Spot) -> Value:
    """beside, end or away: stairs of this level; away only if every flight there is drawn."""
    wall, level = spot.wall, spot.level
    if not wall.whole:
        return None
    assert wall.at is not None
    assert wall.lo is not None
    assert wall.hi is not None
    near, touching = spot.settings["near_opening"], spot.settings["in_line"]
    levels = [name for name in (level, spot.level_over) if name is not None]
    found: Value = "away"
    for hole in _holes(spot, levels):
        low, high = hole.across(spot.axis)
        off = max(low - wall.at, wall.at - high, 0.0)
        past = max(hole.along(spot.axis)[0] - wall.hi, wall.lo - hole.along(spot.axis)[1], 0.0)
        if math.hypot(off, past) > near:
            continue
        if off <= touching and overlap(hole, wall, spot.axis) > spot.two_in + touching:
            long = hole.along(spot.axis)[1] - hole.along(spot.axis)[0] > high - low
            return "beside" if long else "end"
        found = None  # near, but whether it touches only a look tells
    drawn = all(_holes(spot, [name]) for name in levels if spot.layout.plan.levels.index(name))
    return found if found != "away" or drawn else None


def _holes(spot: Spot, levels: list[str]) -> list[Rect]:
    areas = [spot.layout.area(a) for a in spot.layout.plan.stairs if a.level in levels]
    return [area for area in areas if area is not None]
