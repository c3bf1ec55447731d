"""Findings on what holds the joists on each side of the wall, and on framing open from below."""

from __future__ import annotations

from functools import partial

from walltriage.lab.findings.of_above import at_wall, stick, trussed, upstairs
from walltriage.lab.findings.of_house import HIDDEN, Finding
from walltriage.lab.findings.scene import Scene
from walltriage.lab.house.model import ON_LINE_FT, Field, Wall, other
from walltriage.lab.house.truth import bears, fields_over, rests_on, truth

ONE_SIDE, OTHER_SIDE = -1, 1  # toward the street or the left, and away from it
NOTCHED = 0.06  # of bays of joists: doubled under a tub, cut or notched for pipes; our judgment
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


def _touched(s: Scene, wall: Wall) -> bool:
    """Whether a wall of the story above holds something up, or joists touch its top."""
    kinds = {rests_on(f, wall) for f in fields_over(s.house, wall)}
    return bears(truth(s.house, wall)) or bool(kinds & {"ends", "needed", "passes", "bearing"})


def _more(s: Scene) -> str:
    """Whether the framing over the wall carries more than a floor or a ceiling, end to end."""
    low = s.line.at - (held_ft(s, ONE_SIDE) or s.distance(ONE_SIDE))
    high = s.line.at + (held_ft(s, OTHER_SIDE) or s.distance(OTHER_SIDE))
    between = [
        w for w in s.parallel(s.level + 1, high - low)
        if low + ON_LINE_FT < w.line.at < high - ON_LINE_FT and _touched(s, w)
    ]  # fmt: skip
    knees = any(
        k.level == s.level and k.line.axis == s.line.axis and low < k.line.at < high
        for k in s.house.knee_walls
    )
    holes = any(
        h.level == s.level and s.line.overlap(*h.area.span(s.line.axis)) > 0
        and h.area.span(other(s.line.axis))[0] < high and low < h.area.span(other(s.line.axis))[1]
        for h in s.house.stairs
    )  # fmt: skip
    feet = ("strut", "hip_post", "ridge_post", "machine", "chimney", "very_heavy", "post")
    loads = [
        p for p in s.all_points(*feet)
        if low < (p.y if s.line.axis == "x" else p.x) < high
        and s.line.start - 1 < (p.x if s.line.axis == "x" else p.y) < s.line.stop + 1
    ]  # fmt: skip
    some = between or knees or holes or loads or s.chance("joist_doubled", NOTCHED)
    return "more" if some else "only_floor"


def _cut_floor(s: Scene) -> str:
    """Seen where the bays lie open, or past the access panel of a tub."""
    if not s.chance("bays_seen", 0.6):
        return HIDDEN
    return "cut" if s.chance("joist_notched", NOTCHED) else "none_cut"


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
    "more_on_joists": _more,
    "floor_joists_cut": upstairs(_cut_floor),
    "joists_end_one_side": stick(partial(_ends, side=ONE_SIDE)),
    "joists_end_other_side": stick(partial(_ends, side=OTHER_SIDE)),
    "overhead_ends_one_side": overhead(partial(_ends, side=ONE_SIDE)),
    "overhead_ends_other_side": overhead(partial(_ends, side=OTHER_SIDE)),
    "opened_ends_one_side": partial(_ends, side=ONE_SIDE),
    "opened_ends_other_side": partial(_ends, side=OTHER_SIDE),
    "held_distance_one_side": partial(_held, side=ONE_SIDE),
    "held_distance_other_side": partial(_held, side=OTHER_SIDE),
}
