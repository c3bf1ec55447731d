"""Findings of looks that clear up what may bring weight to a wall, or that may need its bracing."""

from __future__ import annotations

from walltriage.lab.findings.of_house import HOUSE_FINDINGS, Finding
from walltriage.lab.findings.of_rare import JOINS_FT
from walltriage.lab.findings.of_wall import WALL_FINDINGS
from walltriage.lab.findings.scene import Scene
from walltriage.lab.house.finish import solid_apart_ft

INCHES = 12.0
LEAST_APART_FT = 4.0  # of the question
HIDDEN_BY_CABINETS = 0.15  # of low parts; elicited
HALF_WALLS = 0.8  # of walls that stop short: counters and rails; others leave a gap only; elicited
HALF_WALL_IN, TALL_WALL_IN, CEILING_IN = (34.0, 54.0), (76.0, 88.0), 96.0
# Of the open sides: two can be front and back, or meet in a corner; elicited
ALL_ACROSS = {"one_side_open": 0.5, "two_sides_open": 0.4}
NO_HEADER = 0.4  # of wide openings in walls that carry nothing; elicited


def _apart(s: Scene) -> float:
    return INCHES * max(LEAST_APART_FT, solid_apart_ft(s.house, s.wall))


def _open_way(s: Scene) -> str:
    """Which way the open sides run; whoever took a closed house for an open one means one side."""
    share = ALL_ACROSS.get(str(HOUSE_FINDINGS["outer_walls_open"](s)), ALL_ACROSS["one_side_open"])
    return "cross_it" if s.chance("way of open sides", share) else "same_way"


def _in_box(s: Scene) -> str:
    """What the box at this wall holds: the beam that comes to it, if one does."""
    shown = [*s.beams("dropped"), *(s.beams("ridge") if "sloped" in s.above else ())]
    ends = [end for beam in shown for end in beam.ends]
    return (
        "beam_inside" if any(s.line.distance(*end) <= JOINS_FT for end in ends) else "pipes_or_air"
    )


def _joint_header(s: Scene) -> str:
    heads = [
        end for b in s.beams("dropped", "header") if b.line.axis != s.line.axis for end in b.ends
    ]
    if any(s.line.distance(*end) <= JOINS_FT for end in heads):
        return "on_this_wall"
    return "nothing_spans" if s.chance("no header at joint", NO_HEADER) else "own_studs"


def _over_low_part(s: Scene) -> str:
    """Whoever took a wall that reaches the ceiling for a low one sees it reach up there."""
    if s.wall.height == "reaches_ceiling":
        return "reaches"
    if s.points("post") or WALL_FINDINGS["post_at_wall"](s) != "none":
        return "reaches"
    return "hidden" if s.chance("cabinets", HIDDEN_BY_CABINETS) else "open_air"


def _height_in(s: Scene) -> float:
    """Whoever took a wall that reaches the ceiling for a low one measures up to there."""
    if s.wall.height != "stops_short":
        return CEILING_IN
    low, high = HALF_WALL_IN if s.chance("half wall", HALF_WALLS) else TALL_WALL_IN
    return low + (high - low) * s.draw("low wall's height")


CLEARED_FINDINGS: dict[str, Finding] = {
    "solid_walls_apart": _apart,
    "open_sides_run": _open_way,
    "box_opened": _in_box,
    "joint_header": _joint_header,
    "low_part_top": _over_low_part,
    "low_wall_height": _height_in,
}
