"""Findings on what holds the joists on each side of the wall, and on framing open from below."""

from __future__ import annotations

from functools import partial

from walltriage.lab.findings.of_above import at_wall, stick, trussed
from walltriage.lab.findings.of_house import HIDDEN, Finding
from walltriage.lab.findings.scene import Scene
from walltriage.lab.house.model import ON_LINE_FT, Field, other

ONE_SIDE, OTHER_SIDE = -1, 1  # toward the street or the left, and away from it
SAME_PLACE_FT = 0.6  # an end and a wall this near to each other are at one place


def held_ft(s: Scene, side: int) -> float | None:
    """Feet to where the joists that cross the wall end on one side; None where none cross."""
    for field in s.fields:
        if field.run == s.line.axis or not _covers(field, s, side):
            continue
        ends = [
            (piece.stop - s.line.at if side > 0 else s.line.at - piece.start)
            for piece in field.pieces
            if piece.start - ON_LINE_FT <= s.line.at <= piece.stop + ON_LINE_FT
        ]
        ahead = [end for end in ends if end > 1.0]
        if ahead:
            return min(ahead)
    return None


def _covers(field: Field, s: Scene, side: int) -> bool:
    """Whether the field lies over the first foot beside the wall on a side."""
    low, high = field.area.span(other(s.line.axis))
    return low <= s.line.at + side <= high


def _ends(s: Scene, side: int) -> str | None:
    held = held_ft(s, side)
    if held is None:
        return None
    past = held - s.distance(side)
    if abs(past) <= SAME_PLACE_FT:
        return "on_next_wall"
    return "past_it" if past > 0 else "before_it"


def _held(s: Scene, side: int) -> float | None:
    held = None if trussed(s) else held_ft(s, side)
    return None if held is None else 12 * held


def overhead(finding: Finding) -> Finding:
    """Out of reach where the framing above the wall is covered from below."""
    return lambda s: finding(s) if _open_overhead(s) == "open" else HIDDEN


def _open_overhead(s: Scene) -> str:
    place = "basement" if s.level < 0 else "garage" if s.wall.role == "to_garage" else "rooms"
    return "open" if s.chance("open_overhead", s.values["open_overhead"][place]) else "covered"


def _at_wall_below(s: Scene) -> str:
    found = at_wall(s)
    return "end_or_lap" if found == "joined_over" else found


SUPPORT_FINDINGS: dict[str, Finding] = {
    "open_overhead": _open_overhead,
    "overhead_joist_run": overhead(lambda s: s.run),
    "overhead_at_wall": overhead(_at_wall_below),
    "joists_end_one_side": stick(partial(_ends, side=ONE_SIDE)),
    "joists_end_other_side": stick(partial(_ends, side=OTHER_SIDE)),
    "overhead_ends_one_side": overhead(partial(_ends, side=ONE_SIDE)),
    "overhead_ends_other_side": overhead(partial(_ends, side=OTHER_SIDE)),
    "opened_ends_one_side": partial(_ends, side=ONE_SIDE),
    "opened_ends_other_side": partial(_ends, side=OTHER_SIDE),
    "held_distance_one_side": partial(_held, side=ONE_SIDE),
    "held_distance_other_side": partial(_held, side=OTHER_SIDE),
}
