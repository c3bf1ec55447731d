"""Relations of a wall to its own level: where it stands, and how far the next walls are."""

from __future__ import annotations

from walltriage.case.geometry import Axis, Rectangle, overlap
from walltriage.case.plan import BELOW_ROOMS
from walltriage.inference.relations.placement import (
    FAR_IN,
    Between,
    Value,
    WallPlacement,
    posts_on_line,
    stretch,
)


def level_kind(placed: WallPlacement) -> Value:
    """basement, ground, middle or top; nothing for a crawl space.

    Ground is the lowest level with rooms at the wall, which in a house of half levels need not
    be the lowest of all.
    """
    levels = placed.layout.plan.levels
    rooms = [name for name in levels if name not in BELOW_ROOMS]
    if placed.level == BELOW_ROOMS[1]:
        return "basement"
    if placed.level not in rooms:
        return None
    lower = rooms[: rooms.index(placed.level)]
    if all(placed.cover(name) == "none" for name in lower):
        return "ground"
    return "top" if placed.level == rooms[-1] else "middle"


def above(placed: WallPlacement) -> Value:
    """rooms, part or none: what of the next level lies over the wall."""
    return placed.cover(placed.level_over)


def levels_above(placed: WallPlacement) -> Value:
    """one or several: levels with rooms over the whole wall; nothing where there is none."""
    levels = placed.layout.plan.levels
    over = [placed.cover(level) for level in levels[levels.index(placed.level) + 1 :]]
    over = [cover for cover in over if cover != "none"]
    if not over or over[0] != "rooms" or None in over:
        return None
    return "one" if over == ["rooms"] else "several"


def below(placed: WallPlacement) -> Value:
    """none, part, crawl_space, basement or rooms: what lies under the wall."""
    level = placed.level_under
    covered = placed.cover(level)
    return level if covered == "rooms" and level in BELOW_ROOMS else covered


def place(placed: WallPlacement) -> Value:
    """outside, once_outside (a joint with a later part), wing_joint, inside or near_edge."""
    wall, ends = placed.wall, placed.outside()
    if wall.at is None or ends is None:
        return None
    near = min(wall.at - ends[0], ends[1] - wall.at)
    if near <= placed.one_in:
        return "outside"
    joint = _joint(placed)
    if joint is not None:
        return joint
    if any(part.id not in placed.layout.rects for part in placed.layout.plan.parts):
        return None
    return "inside" if near > placed.settings["near_edge"] else "near_edge"


def _joint(placed: WallPlacement) -> str | None:
    """Whether the wall stands where two parts meet, and whether one of them is later."""
    wall, parts = placed.wall, placed.layout.parts_on(placed.level)
    found = None
    for index, (one, a) in enumerate(parts):
        for other, b in parts[index + 1 :]:
            line = _meeting(a, b, placed.axis)
            if line is None or wall.at is None or abs(line - wall.at) > placed.two_in:
                continue
            if min(overlap(a, wall, placed.axis), overlap(b, wall, placed.axis)) <= placed.one_in:
                continue
            if one.year != other.year:
                return "once_outside"
            found = "wing_joint"
    return found


def _meeting(a: Rectangle, b: Rectangle, axis: Axis) -> float | None:
    (low_a, high_a), (low_b, high_b) = a.across(axis), b.across(axis)
    if abs(high_a - low_b) < 1.0:
        return high_a
    return high_b if abs(high_b - low_a) < 1.0 else None


def run_against_ridge(placed: WallPlacement) -> Value:
    """with or across the one ridge of the roof; several where there is more than one."""
    ridges = placed.layout.ridges
    if len(ridges) != 1:
        return "several" if ridges else None
    return "with" if ridges[0].axis == placed.axis else "across"


def ridge_offset(placed: WallPlacement) -> Value:
    """Inches from a ridge that runs the same way over the wall; far where none does."""
    found = placed.parallel(placed.layout.ridges)
    if placed.wall.at is None or not placed.wall.whole or not placed.layout.ridges:
        return None
    return stretch(min((placed.offset(r) for r in found), default=FAR_IN), placed.two_in)


def share_of_depth(placed: WallPlacement) -> Value:
    """The wall's place between the outside walls, 0 at the nearer one to 0.5 in the middle."""
    ends = placed.outside()
    if ends is None or placed.wall.at is None or ends[1] <= ends[0]:
        return None
    depth = ends[1] - ends[0]
    share = min(placed.wall.at - ends[0], ends[1] - placed.wall.at) / depth
    slack = placed.one_in / depth
    return Between(max(0.0, share - slack), min(0.5, share + slack))


def distance_to_outside(placed: WallPlacement) -> Value:
    """Inches to the nearer outside wall that runs the same way."""
    ends = placed.outside()
    if ends is None or placed.wall.at is None:
        return None
    return stretch(min(placed.wall.at - ends[0], ends[1] - placed.wall.at), placed.one_in)


def length(placed: WallPlacement) -> Value:
    """The wall's length in inches."""
    return None if placed.wall.length is None else stretch(placed.wall.length, placed.two_in)


def widest_opening(placed: WallPlacement) -> Value:
    """Inches of the widest opening drawn, or more: that a wider one is not drawn says nothing."""
    wide = [end.inches - start.inches for start, end in placed.wall.line.openings]
    return Between(max(wide) - placed.one_in, FAR_IN) if wide else None


def gap_one_side(placed: WallPlacement) -> Value:
    """Inches to the next wall that runs the same way, toward the left or the front."""
    return _gap(placed, -1)


def gap_other_side(placed: WallPlacement) -> Value:
    """Inches to the next wall that runs the same way, toward the right or the back."""
    return _gap(placed, 1)


def _gap(placed: WallPlacement, way: int) -> Value:
    ends, at = placed.outside(), placed.wall.at
    if ends is None or at is None:
        return None
    edge = abs(ends[0 if way < 0 else 1] - at)
    if edge <= placed.one_in:
        return None
    walls = placed.parallel(placed.layout.walls_on(placed.level), placed.settings["facing_share"])
    gaps = [(s.at - at) * way for s in walls if s.at is not None]
    gap = min([gap for gap in gaps if gap > placed.two_in] + [edge])
    found = stretch(gap, placed.two_in)
    return found if placed.all_drawn(placed.level) else Between(0.0, found.high)


def corridor_gap(placed: WallPlacement) -> Value:
    """Inches to the nearest wall drawn on the same level that runs the same way."""
    walls = placed.parallel(placed.layout.walls_on(placed.level), placed.settings["facing_share"])
    if not placed.wall.whole:
        return None
    gap = min((placed.offset(s) for s in walls), default=FAR_IN)
    found = stretch(gap, placed.two_in)
    return found if placed.all_drawn(placed.level) else Between(0.0, found.high)


def in_line(placed: WallPlacement) -> Value:
    """alone, some or long: how many walls, beams and posts carry the wall's line on."""
    wall, ends = placed.wall, placed.outside()
    if not wall.whole or ends is None or wall.at is None:
        return None
    near = placed.settings["in_line"]
    same = [
        s
        for s in (*placed.layout.walls_on(placed.level), *placed.layout.beams)
        if s is not wall
        and s.line.level == placed.level
        and s.axis == placed.axis
        and s.whole
        and placed.offset(s) <= near
    ]
    across: Axis = "y" if placed.axis == "x" else "x"
    house = placed.layout.house_span(placed.level, across, wall.at, placed.middle or 0.0)
    covered = sum(s.length or 0.0 for s in (wall, *same))
    if covered >= placed.settings["long_line_share"] * (house[1] - house[0]):
        return "long"
    if same or posts_on_line(placed, placed.level, near):
        return "some"
    return "alone" if placed.all_drawn(placed.level) else None
