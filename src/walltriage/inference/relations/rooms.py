"""Relations of a wall to the rooms, the stairs and the outline round it on its own level."""

from __future__ import annotations

import math

from walltriage.case.geometry import Axis, Rectangle, Segment, overlap
from walltriage.inference.relations.place import place
from walltriage.inference.relations.placement import FAR_IN, Between, Value, WallPlacement, stretch


def room_ratio(placed: WallPlacement) -> Value:
    """The larger room beside the wall: its size along the wall over its size square to it.

    Only where every wall of the level is drawn, and where the wall is not on an outside line.
    """
    wall, ends = placed.wall, placed.outside()
    if not wall.whole or ends is None or not placed.all_drawn(placed.level):
        return None
    assert wall.at is not None
    rooms = [room for way in (-1, 1) if (room := _room(placed, ends[max(way, 0)], way)) is not None]
    if not rooms:
        return None
    along, across = max(rooms, key=lambda size: size[0] * size[1])
    slack = placed.two_in
    return Between(max(along - slack, 0.0) / (across + slack),
                   (along + slack) / max(across - slack, 1.0))  # fmt: skip


def _room(placed: WallPlacement, edge: float, way: int) -> tuple[float, float] | None:
    """Sizes along the wall and square to it of the room on one side, from wall to wall."""
    wall, middle = placed.wall, placed.middle
    assert wall.at is not None
    assert middle is not None
    beside = [s for s in placed.layout.walls_on(placed.level) if s.whole and s is not wall]
    gaps = [
        (s.at - wall.at) * way
        for s in beside
        if s.axis == placed.axis and s.at is not None and _spans(s, middle)
    ]
    depth = min([gap for gap in gaps if gap > placed.two_in] + [abs(edge - wall.at)])
    if depth <= placed.two_in:
        return None
    inside = wall.at + way * depth / 2
    across: Axis = "y" if placed.axis == "x" else "x"
    low, high = placed.layout.house_span(placed.level, across, inside, middle)
    for s in beside:
        if s.axis != placed.axis and s.at is not None and _spans(s, inside):
            low, high = (max(low, s.at), high) if s.at <= middle else (low, min(high, s.at))
    return high - low, depth


def _spans(segment: Segment, place: float) -> bool:
    return segment.lo is not None and segment.hi is not None and segment.lo <= place <= segment.hi


def cross_walls(placed: WallPlacement) -> Value:
    """How many other inside walls of the level run the same way, for wind and earthquakes.

    A long one counts for sure, a shorter one only as one that there may be, because doors are
    not drawn.
    """
    sure, most = 0, 0
    for other in placed.layout.walls_on(placed.level):
        if other is placed.wall or other.axis != placed.axis or other.line.kind != "wall":
            continue
        on_edge = place(WallPlacement(placed.layout, other, placed.settings)) == "outside"
        if not other.whole or on_edge:
            continue
        assert other.length is not None
        sure += other.length - placed.two_in >= placed.settings["plain_for_sure"]
        most += other.length + placed.two_in >= placed.settings["plain_at_least"]
    return Between(float(sure), float(most) if placed.all_drawn(placed.level) else FAR_IN)


def jog_offset(placed: WallPlacement) -> Value:
    """Inches from the wall's line to a jog of the outline that runs the same way."""
    if placed.wall.at is None or not placed.layout.known_on(placed.level):
        return None
    rects = [rect for _, rect in placed.layout.parts_on(placed.level)]
    outer = {end for rect in rects for end in rect.across(placed.axis)}
    jogs = [at for at in outer if _is_jog(at, rects, placed)]
    return stretch(min((abs(at - placed.wall.at) for at in jogs), default=FAR_IN), placed.two_in)


def _is_jog(at: float, rects: list[Rectangle], placed: WallPlacement) -> bool:
    """Whether an edge of one part ends against the side of another: an inside corner."""
    return any(
        low + placed.one_in < at < high - placed.one_in
        for low, high in (rect.across(placed.axis) for rect in rects)
    )


def part_age(placed: WallPlacement) -> Value:
    """joint, added or first: the wall and the parts that have a year of their own."""
    where = place(placed)
    if where == "once_outside":
        return "joint"
    if where != "inside" or placed.middle is None or placed.wall.at is None:
        return None
    x, y = (
        (placed.middle, placed.wall.at) if placed.axis == "x" else (placed.wall.at, placed.middle)
    )
    for part, rect in placed.layout.parts_on(placed.level):
        if rect.x0 <= x <= rect.x1 and rect.y0 <= y <= rect.y1:
            return "first" if part.year is None else "added"
    return None


def stairs_by(placed: WallPlacement) -> Value:
    """beside, end or away: stairs of this level; away only if every flight there is drawn."""
    wall, level = placed.wall, placed.level
    if not wall.whole:
        return None
    at, lo, hi = wall.place
    near, touching = placed.settings["near_opening"], placed.settings["in_line"]
    levels = [name for name in (level, placed.level_over) if name is not None]
    found: Value = "away"
    for hole in _holes(placed, levels):
        low, high = hole.across(placed.axis)
        off = max(low - at, at - high, 0.0)
        past = max(hole.along(placed.axis)[0] - hi, lo - hole.along(placed.axis)[1], 0.0)
        if math.hypot(off, past) > near:
            continue
        if off <= touching and overlap(hole, wall, placed.axis) > placed.two_in + touching:
            long = hole.along(placed.axis)[1] - hole.along(placed.axis)[0] > high - low
            return "beside" if long else "end"
        found = None  # near, but whether it touches only a look tells
    drawn = all(_holes(placed, [name]) for name in levels if placed.layout.plan.levels.index(name))
    return found if found != "away" or drawn else None


def _holes(placed: WallPlacement, levels: list[str]) -> list[Rectangle]:
    areas = [placed.layout.area(a) for a in placed.layout.plan.stairs if a.level in levels]
    return [area for area in areas if area is not None]
