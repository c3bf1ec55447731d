"""How one wall stands to everything else on the plan: named relations, in inches or in words.

A relation that cannot be told is None.  A number is a stretch from its least to its greatest
value: the plan's tolerance is in it, and so is a wall that may stand there undrawn.  Which
question a relation answers, and from which number on, is said in ``rules/relations.yaml``.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from walltriage.case.geometry import Axis, Layout, Rect, Segment, overlap
from walltriage.case.plan import BELOW_ROOMS


@dataclass(frozen=True, slots=True)
class Between:
    """A number that lies between two ends."""

    low: float
    high: float

    @property
    def middle(self) -> float:
        return (self.low + self.high) / 2


Value = Between | str | None
FAR_IN = 1e5  # stands for "nothing there": farther than any house reaches


class Spot:
    """One wall on its plan."""

    def __init__(self, layout: Layout, segment: Segment, settings: Mapping[str, float]) -> None:
        self.layout, self.wall, self.settings = layout, segment, settings
        self.level = segment.line.level
        self.axis: Axis = segment.axis
        self.one_in = layout.tolerance_in
        self.two_in = layout.tolerance_in * math.sqrt(2)  # between two measured places

    @property
    def middle(self) -> float | None:
        """Half way along the wall."""
        wall = self.wall
        return None if wall.lo is None or wall.hi is None else (wall.lo + wall.hi) / 2

    def all_drawn(self, level: str | None) -> bool:
        return level in self.layout.plan.whole

    def parallel(self, segments: Iterable[Segment], share: float = 0.0) -> list[Segment]:
        """Segments that run the same way beside or over this wall for that share of it."""
        length = self.wall.length
        if length is None:
            return []
        return [
            s
            for s in segments
            if s.axis == self.axis
            and s.whole
            and s is not self.wall
            and overlap(s, self.wall, self.axis) > max(share * length, self.one_in)
        ]

    def offset(self, other: Segment) -> float:
        """Distance between two parallel lines whose places are known."""
        assert self.wall.at is not None
        assert other.at is not None
        return abs(other.at - self.wall.at)

    def outside(self) -> tuple[float, float] | None:
        """The outside lines before and behind the middle of the wall."""
        wall, middle = self.wall, self.middle
        if wall.at is None or middle is None or not self.layout.known_on(self.level):
            return None
        return self.layout.house_span(self.level, self.axis, middle, wall.at)

    def cover(self, level: str | None) -> str | None:
        """How much of the wall a level lies over or under: rooms, part or none."""
        wall = self.wall
        if level is None:
            return "none"
        if not wall.whole or not self.layout.known_on(level):
            return None
        assert wall.at is not None
        assert wall.length is not None
        shared = 0.0
        for _, rect in self.layout.parts_on(level):
            low, high = rect.across(self.axis)
            if low - self.one_in <= wall.at <= high + self.one_in:
                shared += overlap(rect, wall, self.axis)
        if shared >= wall.length - self.one_in:
            return "rooms"
        return "none" if shared <= self.one_in else "part"


def level_kind(spot: Spot) -> Value:
    """basement, ground, middle or top; nothing for a crawl space."""
    levels = spot.layout.plan.levels
    rooms = [name for name in levels if name not in BELOW_ROOMS]
    if spot.level == BELOW_ROOMS[1]:
        return "basement"
    if spot.level not in rooms:
        return None
    if spot.level == rooms[0]:
        return "ground"
    return "top" if spot.level == rooms[-1] else "middle"


def above(spot: Spot) -> Value:
    """rooms, part or none: what of the next level lies over the wall."""
    return spot.cover(spot.layout.level_above(spot.level))


def below(spot: Spot) -> Value:
    """none, part, crawl_space, basement or rooms: what lies under the wall."""
    level = spot.layout.level_below(spot.level)
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
    return _stretch(min((spot.offset(r) for r in found), default=FAR_IN), spot.two_in)


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
    return _stretch(min(spot.wall.at - ends[0], ends[1] - spot.wall.at), spot.one_in)


def length(spot: Spot) -> Value:
    """The wall's length in inches."""
    return None if spot.wall.length is None else _stretch(spot.wall.length, spot.two_in)


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
    found = _stretch(gap, spot.two_in)
    return found if spot.all_drawn(spot.level) else Between(0.0, found.high)


def corridor_gap(spot: Spot) -> Value:
    """Inches to the nearest wall drawn on the same level that runs the same way."""
    walls = spot.parallel(spot.layout.walls_on(spot.level), spot.settings["facing_share"])
    if not spot.wall.whole:
        return None
    gap = min((spot.offset(s) for s in walls), default=FAR_IN)
    found = _stretch(gap, spot.two_in)
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
    if same or _posts_on_line(spot, spot.level, near):
        return "some"
    return "alone" if spot.all_drawn(spot.level) else None


def offset_above(spot: Spot) -> Value:
    """Inches to the nearest wall that runs the same way on the level above."""
    return _offset_on(spot, spot.layout.level_above(spot.level))


def offset_below(spot: Spot) -> Value:
    """Inches to the nearest wall that runs the same way on the level below."""
    return _offset_on(spot, spot.layout.level_below(spot.level))


def support_offset(spot: Spot) -> Value:
    """Inches to the nearest wall, beam or row of posts that runs the same way below."""
    level = spot.layout.level_below(spot.level)
    if level is None:
        return None
    beams = [s for s in spot.layout.beams if s.line.level == level]
    found = _offset_on(spot, level, beams)
    if _posts_on_line(spot, level, spot.settings["in_line"]) >= 2:
        return Between(0.0, spot.two_in)
    return found


def _offset_on(spot: Spot, level: str | None, more: Iterable[Segment] = ()) -> Value:
    if level is None or not spot.wall.whole or spot.cover(level) in (None, "none"):
        return None
    lines = spot.parallel((*spot.layout.walls_on(level), *more))
    edges = [s for s in _edges(spot, level) if overlap(s, spot.wall, spot.axis) > spot.one_in]
    offset = min((spot.offset(s) for s in (*lines, *edges)), default=FAR_IN)
    found = _stretch(offset, spot.two_in)
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
    level = spot.layout.level_above(spot.level)
    if level is None or not spot.wall.whole or not spot.layout.known_on(level):
        return None
    if place(spot) == "outside":
        return None
    edges = [s for s in _edges(spot, level) if overlap(s, spot.wall, spot.axis) > spot.one_in]
    return _stretch(min((spot.offset(s) for s in edges), default=FAR_IN), spot.two_in)


def crossed_above(spot: Spot) -> Value:
    """none, crosses or ends: walls on the level above that run the other way."""
    level, wall = spot.layout.level_above(spot.level), spot.wall
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
    level, wall = spot.layout.level_above(spot.level), spot.wall
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


def beam_meets(spot: Spot) -> Value:
    """ends or in_line: a beam drawn on the wall's own level that comes to it."""
    wall, found = spot.wall, None
    if not wall.whole:
        return None
    assert wall.at is not None
    assert wall.lo is not None
    assert wall.hi is not None
    near = spot.settings["in_line"]
    for beam in spot.layout.beams:
        if beam.line.level != spot.level or not beam.whole:
            continue
        assert beam.at is not None
        assert beam.lo is not None
        assert beam.hi is not None
        if beam.axis == spot.axis:
            touches = beam.lo <= wall.hi + near and beam.hi >= wall.lo - near
            found = "in_line" if touches and spot.offset(beam) <= near else found
        elif wall.lo - near <= beam.at <= wall.hi + near and (
            min(abs(beam.lo - wall.at), abs(beam.hi - wall.at)) <= near
        ):
            return "ends"
    return found


def post_in_wall(spot: Spot) -> Value:
    """post when one is drawn on the wall's own level in its line or at its end."""
    return "post" if _posts_on_line(spot, spot.level, spot.settings["in_line"], True) else None


def post_under(spot: Spot) -> Value:
    """post when one is drawn on the level below right under the wall."""
    level = spot.layout.level_below(spot.level)
    near = spot.settings["in_line"]
    return "post" if level and _posts_on_line(spot, level, near, True) else None


def _posts_on_line(spot: Spot, level: str, near: float, at_wall: bool = False) -> int:
    wall, count = spot.wall, 0
    if not wall.whole:
        return 0
    assert wall.at is not None
    assert wall.lo is not None
    assert wall.hi is not None
    for post in spot.layout.plan.posts:
        rect = spot.layout.rects.get(spot.layout.part_id(post.part))
        if post.level != level or rect is None:
            continue
        x, y = rect.x0 + post.left.inches, rect.y0 + post.front.inches
        along, across = (x, y) if spot.axis == "x" else (y, x)
        inside = wall.lo - near <= along <= wall.hi + near
        count += abs(across - wall.at) <= near and (inside or not at_wall)
    return count


def joists_attic(spot: Spot) -> Value:
    """along, across or change: the joists right over the wall, seen from the attic."""
    return _joists(spot, spot.level, "attic")


def joists_fixture(spot: Spot) -> Value:
    """The same, seen past a light or vent."""
    return _joists(spot, spot.level, "fixture")


def joists_opened(spot: Spot) -> Value:
    """The same, seen in an opening."""
    return _joists(spot, spot.level, "opened")


def joists_under(spot: Spot) -> Value:
    """The joists of the floor the wall stands on, seen from the level below."""
    level = spot.layout.level_below(spot.level)
    return None if level is None else _joists(spot, level, "below")


def _joists(spot: Spot, level: str, seen_from: str) -> Value:
    """What the bays on both sides of the wall show; nothing unless both sides are drawn."""
    wall = spot.wall
    if not wall.whole:
        return None
    assert wall.at is not None
    assert wall.length is not None
    sides = {}
    for area in spot.layout.plan.joists:
        rect = spot.layout.area(area)
        if area.level != level or area.seen_from != seen_from or rect is None or area.run is None:
            continue
        if overlap(rect, wall, spot.axis) < wall.length - 2 * spot.one_in:
            continue
        axis: Axis = "x" if area.run in ("front", "back") else "y"
        run = "along" if axis == spot.axis else "across"
        low, high = rect.across(spot.axis)
        if low < wall.at - spot.one_in and high >= wall.at - spot.one_in:
            sides["before"] = run
        if high > wall.at + spot.one_in and low <= wall.at + spot.one_in:
            sides["behind"] = run
    if len(sides) < 2:
        return None
    return sides["before"] if sides["before"] == sides["behind"] else "change"


def knee_wall_over(spot: Spot) -> Value:
    """Inches to a knee wall drawn on the level above that runs the same way."""
    level = spot.layout.level_above(spot.level)
    if level is None or not spot.wall.whole or spot.cover(level) in (None, "none"):
        return None
    knees = [s for s in spot.layout.walls_on(level) if s.line.kind == "knee_wall"]
    offset = min((spot.offset(s) for s in spot.parallel(knees)), default=FAR_IN)
    found = _stretch(offset, spot.two_in)
    return found if spot.all_drawn(level) else Between(0.0, found.high)


def _stretch(number: float, slack: float) -> Between:
    return Between(max(0.0, number - slack), number + slack)


WALL_RELATIONS: dict[str, Callable[[Spot], Value]] = {
    function.__name__: function
    for function in (
        level_kind, above, below, place, run_against_ridge, ridge_offset, share_of_depth,
        distance_to_outside, length, gap_one_side, gap_other_side, corridor_gap, in_line,
        offset_above, offset_below, support_offset, upper_edge_offset, crossed_above,
        stairs_above, beam_meets, post_in_wall, post_under, joists_attic, joists_fixture,
        joists_opened, joists_under, knee_wall_over,
    )
}  # fmt: skip
