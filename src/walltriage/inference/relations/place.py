"""Relations of a wall to its own level: where it stands, and how far the next walls are."""

from __future__ import annotations

from walltriage.case.geometry import Axis, Rect, overlap
from walltriage.case.plan import BELOW_ROOMS
from walltriage.inference.relations.placement import (
    FAR_IN,
    Between,
    Spot,
    Value,
    posts_on_line,
    stretch,
)


def level_kind(spot: Spot) -> Value:
    """basement, ground, middle or top; nothing for a crawl space.

    Ground is the lowest level with rooms at the wall, which in a house of half levels need not
    be the lowest of all.
    """
    levels = spot.layout.plan.levels
    rooms = [name for name in levels if name not in BELOW_ROOMS]
    if spot.level == BELOW_ROOMS[1]:
        return "basement"
    if spot.level not in rooms:
        return None
    lower = rooms[: rooms.index(spot.level)]
    if all(spot.cover(name) == "none" for name in lower):
        return "ground"
    return "top" if spot.level == rooms[-1] else "middle"


def above(spot: Spot) -> Value:
    """rooms, part or none: what of the next level lies over the wall."""
    return spot.cover(spot.level_over)


def levels_above(spot: Spot) -> Value:
    """one or several: levels with rooms over the whole wall; nothing where there is none."""
    levels = spot.layout.plan.levels
    over = [spot.cover(level) for level in levels[levels.index(spot.level) + 1 :]]
    over = [cover for cover in over if cover != "none"]
    if not over or over[0] != "rooms" or None in over:
        return None
    return "one" if over == ["rooms"] else "several"


def below(spot: Spot) -> Value:
    """none, part, crawl_space, basement or rooms: what lies under the wall."""
    level = spot.level_under
    covered = spot.cover(level)
    return level if covered == "rooms" and level in BELOW_ROOMS else covered


def place(spot: Spot) -> Value:
    """outside, once_outside (a joint with a later part), wing_joint, inside or near_edge."""
    wall, ends = spot.wall, spot.outside()
    if wall.at is None or ends is None:
        return None
    near = min(wall.at - ends[0], ends[1] - wall.at)
    if near <= spot.one_in:
        return "outside"
    joint = _joint(spot)
    if joint is not None:
        return joint
    if any(part.id not in spot.layout.rects for part in spot.layout.plan.parts):
        return None
    return "inside" if near > spot.settings["near_edge"] else "near_edge"


def _joint(spot: Spot) -> str | None:
    """Whether the wall stands where two parts meet, and whether one of them is later."""
    wall, parts = spot.wall, spot.layout.parts_on(spot.level)
    found = None
    for index, (one, a) in enumerate(parts):
        for other, b in parts[index + 1 :]:
            line = _meeting(a, b, spot.axis)
            if line is None or wall.at is None or abs(line - wall.at) > spot.two_in:
                continue
            if min(overlap(a, wall, spot.axis), overlap(b, wall, spot.axis)) <= spot.one_in:
                continue
            if one.year != other.year:
                return "once_outside"
            found = "wing_joint"
    return found


def _meeting(a: Rect, b: Rect, axis: Axis) -> float | None:
    (low_a, high_a), (low_b, high_b) = a.across(axis), b.across(axis)
    if abs(high_a - low_b) < 1.0:
        return high_a
    return high_b if abs(high_b - low_a) < 1.0 else None


def run_against_ridge(spot: Spot) -> Value:
    """with or across the one ridge of the roof; several where there is more than one."""
    ridges = spot.layout.ridges
    if len(ridges) != 1:
        return "several" if ridges else None
    return "with" if ridges[0].axis == spot.axis else "across"


def ridge_offset(spot: Spot) -> Value:
    """Inches from a ridge that runs the same way over the wall; far where none does."""
    found = spot.parallel(spot.layout.ridges)
    if spot.wall.at is None or not spot.wall.whole or not spot.layout.ridges:
        return None
    return stretch(min((spot.offset(r) for r in found), default=FAR_IN), spot.two_in)


def share_of_depth(spot: Spot) -> Value:
    """The wall's place between the outside walls, 0 at the nearer one to 0.5 in the middle."""
    ends = spot.outside()
    if ends is None or spot.wall.at is None or ends[1] <= ends[0]:
        return None
    depth = ends[1] - ends[0]
    share = min(spot.wall.at - ends[0], ends[1] - spot.wall.at) / depth
    slack = spot.one_in / depth
    return Between(max(0.0, share - slack), min(0.5, share + slack))


def distance_to_outside(spot: Spot) -> Value:
    """Inches to the nearer outside wall that runs the same way."""
    ends = spot.outside()
    if ends is None or spot.wall.at is None:
        return None
    return stretch(min(spot.wall.at - ends[0], ends[1] - spot.wall.at), spot.one_in)


def length(spot: Spot) -> Value:
    """The wall's length in inches."""
    return None if spot.wall.length is None else stretch(spot.wall.length, spot.two_in)


def widest_opening(spot: Spot) -> Value:
    """Inches of the widest opening drawn, or more: that a wider one is not drawn says nothing."""
    wide = [end.inches - start.inches for start, end in spot.wall.line.openings]
    return Between(max(wide) - spot.one_in, FAR_IN) if wide else None


def gap_one_side(spot: Spot) -> Value:
    """Inches to the next wall that runs the same way, toward the left or the front."""
    return _gap(spot, -1)


def gap_other_side(spot: Spot) -> Value:
    """Inches to the next wall that runs the same way, toward the right or the back."""
    return _gap(spot, 1)


def _gap(spot: Spot, way: int) -> Value:
    ends, at = spot.outside(), spot.wall.at
    if ends is None or at is None:
        return None
    edge = abs(ends[0 if way < 0 else 1] - at)
    if edge <= spot.one_in:
        return None
    walls = spot.parallel(spot.layout.walls_on(spot.level), spot.settings["facing_share"])
    gaps = [(s.at - at) * way for s in walls if s.at is not None]
    gap = min([gap for gap in gaps if gap > spot.two_in] + [edge])
    found = stretch(gap, spot.two_in)
    return found if spot.all_drawn(spot.level) else Between(0.0, found.high)


def corridor_gap(spot: Spot) -> Value:
    """Inches to the nearest wall drawn on the same level that runs the same way."""
    walls = spot.parallel(spot.layout.walls_on(spot.level), spot.settings["facing_share"])
    if not spot.wall.whole:
        return None
    gap = min((spot.offset(s) for s in walls), default=FAR_IN)
    found = stretch(gap, spot.two_in)
    return found if spot.all_drawn(spot.level) else Between(0.0, found.high)


def in_line(spot: Spot) -> Value:
    """alone, some or long: how many walls, beams and posts carry the wall's line on."""
    wall, ends = spot.wall, spot.outside()
    if not wall.whole or ends is None or wall.at is None:
        return None
    near = spot.settings["in_line"]
    same = [
        s
        for s in (*spot.layout.walls_on(spot.level), *spot.layout.beams)
        if s is not wall
        and s.line.level == spot.level
        and s.axis == spot.axis
        and s.whole
        and spot.offset(s) <= near
    ]
    across: Axis = "y" if spot.axis == "x" else "x"
    house = spot.layout.house_span(spot.level, across, wall.at, spot.middle or 0.0)
    covered = sum(s.length or 0.0 for s in (wall, *same))
    if covered >= spot.settings["long_line_share"] * (house[1] - house[0]):
        return "long"
    if same or posts_on_line(spot, spot.level, near):
        return "some"
    return "alone" if spot.all_drawn(spot.level) else None
