"""Relations of the whole house, and of one wall to another, on the plan."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations

from walltriage.case.geometry import Layout
from walltriage.case.plan import BELOW_ROOMS
from walltriage.inference.relations.registry import Between, Value, WallPlacement


def main_across(layout: Layout) -> Value:
    """The shorter size of the first part in inches."""
    sizes = _main(layout)
    return None if sizes is None else _measured(min(sizes), layout)


def main_along(layout: Layout) -> Value:
    """The longer size of the first part in inches."""
    sizes = _main(layout)
    return None if sizes is None else _measured(max(sizes), layout)


def ridge_way(layout: Layout) -> Value:
    """long or short: the side of the first part that the one ridge follows; or several."""
    sizes, ridges = _main(layout), layout.ridges
    if len(ridges) > 1:
        return "several"
    if sizes is None or not ridges or abs(sizes[0] - sizes[1]) <= layout.tolerance_in:
        return None
    return "long" if (sizes[0] > sizes[1]) == (ridges[0].axis == "x") else "short"


def added_parts(layout: Layout) -> Value:
    """one or several: parts with a year of their own."""
    count = sum(part.year is not None for part in layout.plan.parts[1:])
    return None if not count else "one" if count == 1 else "several"


def room_levels(layout: Layout) -> Value:
    """one, half, more or split: levels with rooms; two stay open, for the upper may be a half.

    Half, where a knee wall is drawn on the second; split, where two parts share no level.
    """
    rooms = [
        {level for level in part.levels if level not in BELOW_ROOMS} for part in layout.plan.parts
    ]
    if any(one and other and not one & other for one, other in combinations(rooms, 2)):
        return "split"
    count = len(set().union(*rooms))
    if count == 2:
        return "half" if rooms_in_roof(layout) else None
    return {1: "one"}.get(count, "more")


def rooms_in_roof(layout: Layout) -> Value:
    """yes where a knee wall is drawn on the highest level."""
    top = layout.plan.levels[-1]
    return "yes" if any(s.line.kind == "knee_wall" for s in layout.walls_on(top)) else None


def base(layout: Layout) -> Value:
    """basement or crawl_space, where every part of the house has it."""
    lowest = layout.plan.levels[0]
    everywhere = all(lowest in part.levels for part in layout.plan.parts)
    return lowest if everywhere and lowest in BELOW_ROOMS else None


def line_below(layout: Layout) -> Value:
    """long, short or several: lines of beams down the lowest level, by sides of the first part."""
    sizes = _main(layout)
    lowest = layout.plan.levels[0]
    lines = [beam for beam in layout.beams if beam.whole and beam.line.level == lowest]
    if lowest not in BELOW_ROOMS:
        return None
    if sizes is None or not lines or abs(sizes[0] - sizes[1]) <= layout.tolerance_in:
        return None
    if len({(beam.axis, round(beam.at or 0.0)) for beam in lines}) > 1:
        return "several"
    return "long" if (sizes[0] > sizes[1]) == (lines[0].axis == "x") else "short"


def ridge_ends(layout: Layout) -> Value:
    """How far the one ridge stops short of its part at both ends, as a share of the width."""
    if len(layout.ridges) != 1 or not layout.ridges[0].whole:
        return None
    ridge = layout.ridges[0]
    rect = layout.rects.get(layout.part_id(ridge.line.part))
    if rect is None or ridge.lo is None or ridge.hi is None:
        return None
    first, last = rect.along(ridge.axis)
    near, far = rect.across(ridge.axis)
    short, slack = min(ridge.lo - first, last - ridge.hi), layout.tolerance_in
    return Between((short - slack) / (far - near), (short + slack) / (far - near))


def _main(layout: Layout) -> tuple[float, float] | None:
    rect = layout.rects.get(layout.plan.parts[0].id)
    return None if rect is None else (rect.x1 - rect.x0, rect.y1 - rect.y0)


def _measured(number: float, layout: Layout) -> Between:
    return Between(number - layout.tolerance_in, number + layout.tolerance_in)


def above_in_line(here: WallPlacement, there: WallPlacement) -> bool:
    """The other wall stands on the next level up, within a joist's depth of this one's line.

    IRC R502.4: a bearing wall may stand off its support by no more than the depth of the
    joists.  Where the tolerance leaves it open, it counts as within.
    """
    if there.level != here.level_over or not _facing(here, there):
        return False
    return here.offset(there.wall) <= here.settings["joist_depth"] + here.two_in


def below_in_line(here: WallPlacement, there: WallPlacement) -> bool:
    """The other wall stands on the next level down, within a joist's depth."""
    return above_in_line(there, here)


def corridor_pair(here: WallPlacement, there: WallPlacement) -> bool:
    """The other wall is the second side of a hall."""
    if there.level != here.level or not _facing(here, there, here.settings["facing_share"]):
        return False
    return here.settings["hall_least"] <= here.offset(there.wall) <= here.settings["hall_most"]


def shared_bay(here: WallPlacement, there: WallPlacement) -> bool:
    """Two walls of one part that face each other with no drawn wall between them."""
    if there.level != here.level or here.wall.line.part != there.wall.line.part:
        return False
    if not _facing(here, there, here.settings["facing_share"]):
        return False
    ends = sorted((here.wall.at or 0.0, there.wall.at or 0.0))
    between = here.parallel(here.layout.walls_on(here.level))
    return not any(ends[0] < (s.at or 0.0) < ends[1] for s in between if s is not there.wall)


def square_in_part(here: WallPlacement, there: WallPlacement) -> bool:
    """Two walls of one part and level that run square to each other."""
    same = there.level == here.level and here.wall.line.part == there.wall.line.part
    return same and here.axis != there.axis


def next_on_side_one(here: WallPlacement, there: WallPlacement) -> bool:
    """Seen from the other wall, this is the next one toward the left or the front."""
    return there.level == here.level and id(here.wall) in there.next_walls[0]


def next_on_side_two(here: WallPlacement, there: WallPlacement) -> bool:
    """Seen from the other wall, this is the next one toward the right or the back."""
    return there.level == here.level and id(here.wall) in there.next_walls[1]


def _facing(here: WallPlacement, there: WallPlacement, share: float = 0.0) -> bool:
    return bool(here.wall.whole and here.parallel([there.wall], share))


HOUSE_RELATIONS: dict[str, Callable[[Layout], Value]] = {
    function.__name__: function
    for function in (
        main_across, main_along, ridge_way, added_parts, room_levels, rooms_in_roof, base,
        line_below, ridge_ends,
    )
}  # fmt: skip
PAIR_RELATIONS: dict[str, Callable[[WallPlacement, WallPlacement], bool]] = {
    function.__name__: function
    for function in (
        above_in_line,
        below_in_line,
        corridor_pair,
        shared_bay,
        square_in_part,
        next_on_side_one,
        next_on_side_two,
    )
}
UPWARD = ("above_in_line",)
"""Pair relations that lead to a higher level only: verdicts may be read along no other."""
