"""How one wall stands to everything else on the plan: named relations, in inches or in words.

A relation that cannot be told is None.  A number is a stretch from its least to its greatest
value: the plan's tolerance is in it, and so is a wall that may stand there undrawn.  Which
question a relation answers, and from which number on, is said in ``rules/relations.yaml``.
"""

from __future__ import annotations

from collections.abc import Callable

from walltriage.inference.relations import frame, place, roof, rooms, stack
from walltriage.inference.relations.placement import Between, Value, WallPlacement

__all__ = ["TO_OUTLINE", "WALL_RELATIONS", "Between", "Value", "WallPlacement"]

WALL_RELATIONS: dict[str, Callable[[WallPlacement], Value]] = {
    function.__name__: function
    for function in (
        place.level_kind, place.above, place.levels_above, place.below, place.place,
        place.run_against_ridge, place.ridge_offset, place.share_of_depth,
        place.distance_to_outside, place.length, place.gap_one_side, place.gap_other_side,
        place.corridor_gap, place.widest_opening, place.in_line, stack.offset_above,
        stack.offset_below,
        stack.support_offset, stack.upper_edge_offset, stack.crossed_above, stack.stairs_above,
        stack.support_share, stack.post_over, stack.things_over, rooms.room_ratio,
        rooms.cross_walls, rooms.jog_offset, rooms.part_age, rooms.stairs_by, roof.slanted_offset,
        frame.things_at, frame.beam_meets, frame.post_in_wall, frame.post_under, frame.joists_attic,
        frame.joists_fixture, frame.joists_opened, frame.joists_under, frame.knee_wall_over,
    )
}  # fmt: skip
TO_OUTLINE = frozenset(
    function.__name__
    for function in (
        place.level_kind, place.above, place.levels_above, place.below, place.place,
        place.run_against_ridge, place.ridge_offset, place.share_of_depth,
        place.distance_to_outside, place.length, place.widest_opening, stack.upper_edge_offset,
        rooms.jog_offset, rooms.part_age, roof.slanted_offset,
    )
)  # fmt: skip
"""Relations of a wall to the outline and the roof alone: other things that are drawn are not in
them, and may be as rough as they like."""
