"""Findings for questions that look for several things at once: one or more, or none."""

from __future__ import annotations

from walltriage.lab.findings.crossing import beam_crosses
from walltriage.lab.findings.of_above import (
    ABOVE_FINDINGS,
    at_wall,
    attic,
    trussed,
    upstairs,
)
from walltriage.lab.findings.of_house import HOUSE_FINDINGS, Finding
from walltriage.lab.findings.of_wall import WALL_FINDINGS
from walltriage.lab.findings.scene import Scene

ATTIC_AROUND_FT = 10.0
UPSTAIRS_AROUND_FT = 2.0


def listed(any_of_it: bool) -> str:
    """The two answers of every such question."""
    return "one_or_more" if any_of_it else "none_of_these"


def wall_top(s: Scene) -> str | None:
    """The strongest thing seen on the stretch of the wall's top that can be followed."""
    if s.traced == "none":
        return None
    if at_wall(s, s.seen_kinds) in ("end_or_lap", "joined_over"):
        return "board_ends"
    beams = [end for b in s.beams("attic", "flush", "girder_truss") for end in b.ends]
    points = s.points("beam_end", "machine", "chimney", seen_only=True, line=s.seen_stretch)
    if points or any(s.seen_stretch.distance(*end) <= 0.5 for end in beams):
        return "beam_end"
    if s.points("strut", "hip_post", "ridge_post", seen_only=True, line=s.seen_stretch):
        return "prop_foot"
    if s.seen_kinds & {"needed", "passes", "bearing"}:
        return "passed_over"
    return "clear_all_along" if s.traced == "whole" else "seen_in_part"


def _attic_round(s: Scene) -> str:
    props = s.points(
        "strut",
        "hip_post",
        "ridge_post",
        "machine",
        "beam_end",
        seen_only=True,
        within=ATTIC_AROUND_FT,
    )
    beams = list(s.beams("attic", "flush", "ridge"))
    thick = [b for b in s.beams("girder_truss") if trussed(s)]
    near = [
        end for b in (*beams, *thick) for end in b.ends if s.line.distance(*end) < ATTIC_AROUND_FT
    ]
    knees = any(k.level == s.level for k in s.house.knee_walls)
    cut = ABOVE_FINDINGS["joists_cut_above"](s) == "cut"
    over = beam_crosses(s, "attic", "flush", "ridge") or (
        bool(thick) and beam_crosses(s, "girder_truss")
    )
    return listed(bool(props or near or knees or cut or over))


def _upstairs_round(s: Scene) -> str:
    walls = s.parallel(s.level + 1, UPSTAIRS_AROUND_FT)
    ends = ABOVE_FINDINGS["wall_ends_over"](s) != "none_cross"
    heavy = s.points("very_heavy", "chimney", "bath", within=UPSTAIRS_AROUND_FT)
    stairs = ABOVE_FINDINGS["stair_hole_above"](s) != "away"
    return listed(bool(walls or ends or heavy or stairs))


def _round_the_wall(s: Scene) -> str:
    return listed(
        WALL_FINDINGS["beam_meets_wall"](s) not in ("none", "not_touching")
        or WALL_FINDINGS["post_at_wall"](s) == "post_or_bump"
        or WALL_FINDINGS["ceiling_at_wall"](s) != "same_both_sides"
        or WALL_FINDINGS["stair_beside"](s) != "no_stairs"
        or WALL_FINDINGS["chimney_at_wall"](s) != "none"
    )


def _history(s: Scene) -> str:
    return listed(
        HOUSE_FINDINGS["additions"](s) != "none_known"
        or s.house.facts["walls_gone"] != "none_known"
        or s.house.level_kind == "split"
    )


def _exposure(s: Scene) -> str:
    return listed(
        s.house.facts["quake_or_wind"] != "neither"
        or max(s.house.length_ft, s.house.width_ft) >= 60
        or HOUSE_FINDINGS["outer_walls_open"](s) != "mostly_solid"
    )


def _movement(s: Scene) -> str:
    return listed(
        s.house.facts["ridge_look"] == "clear_sag"
        or s.detail.get("crack") == "wide"
        or s.house.facts["recent_change"] == "clear_change"
        or HOUSE_FINDINGS["rot_or_insects"](s) == "some_seen"
    )


LIST_FINDINGS: dict[str, Finding] = {
    "attic_spot": attic(lambda s: s.spot),
    "wall_top": attic(wall_top),
    "attic_round": attic(_attic_round),
    "upstairs_round": upstairs(_upstairs_round),
    "round_the_wall": _round_the_wall,
    "house_history": _history,
    "house_exposure": _exposure,
    "house_movement": _movement,
}
