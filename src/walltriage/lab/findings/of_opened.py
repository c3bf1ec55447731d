"""Findings with a cover off or small holes made, which show what is near them."""

from __future__ import annotations

from walltriage.lab.findings.crossing import beam_crosses
from walltriage.lab.findings.of_above import SIZES, SPACINGS, at_wall, knee_top
from walltriage.lab.findings.of_house import HIDDEN, Finding
from walltriage.lab.findings.scene import Scene
from walltriage.lab.house.model import ON_LINE_FT


def _peek(s: Scene) -> str | None:
    if not s.chance("fixture_there", 0.6):
        return None
    if s.run == "changes_here":
        return "not_clear"
    return "along_wall" if s.run == "along" else "across_wall"


def _end(s: Scene) -> str:
    found = at_wall(s, s.opened_kinds)
    if "bearing" in s.opened_kinds:
        return "run_through"
    return {"joined_over": "end_or_lap", "none_touch": "gap_or_none"}.get(found, found)


def _frame(s: Scene) -> str:
    """What shows first: joists that stayed under newer trusses hide them."""
    if not s.holes or not s.fields:
        return HIDDEN
    kinds = {field.material for field in s.fields}
    if "solid_boards" in kinds:
        return "solid_boards"
    if "i_joists" in kinds:
        return "i_joists"
    return "other" if s.house.facts.get("gussets") == "yes" else "trusses"


def _size(s: Scene) -> str:
    """Joists that show in a hole can be measured there."""
    if not s.holes or s.joist is None:
        return HIDDEN
    return SIZES.get(s.joist.size, "deeper_or_other")


def _joist_spacing(s: Scene) -> str:
    if not s.holes or s.joist is None:
        return HIDDEN
    return SPACINGS.get(s.joist.spacing_in, "other")


def _header(s: Scene) -> str | None:
    return s.detail["header"] if s.wall.opening_ft >= 1 else None


def _jacks(s: Scene) -> str | None:
    if s.wall.opening_ft < 1:
        return None
    if s.detail["jacks"] == "two" and s.wall.opening_ft > 6 and s.wall.meant:
        return "three_or_more"
    return s.detail["jacks"]


def _hidden_beam(s: Scene) -> str:
    ends = [end for beam in s.beams("flush", "attic") for end in beam.ends]
    ends += [(p.x, p.y) for p in s.points("beam_end")]
    if any(s.in_holes(*end) for end in ends):
        return "ends_here"
    for beam in s.beams("flush"):
        same = beam.line.axis == s.line.axis and abs(beam.line.at - s.line.at) < 0.5
        if same and any(hole.overlap(beam.line.start, beam.line.stop) > 1 for hole in s.holes):
            return "along_wall"
    return "crosses" if s.holes and beam_crosses(s, "flush", "attic") else "none"


def _pack(s: Scene) -> str:
    """A bundle of studs shows only where the wall is open: under a load, else anywhere."""
    spots = [(p.x, p.y) for p in s.points("post", "beam_end", "strut", "ridge_post", "hip_post")]
    kinds = ("dropped", "flush", "girder_truss", "ridge", "attic")
    spots += [end for beam in s.beams(*kinds) for end in beam.ends]
    here = [spot for spot in spots if s.line.distance(*spot) <= ON_LINE_FT]
    shown = any(s.in_holes(*spot) for spot in here) if here else bool(s.holes)
    pack: str = s.detail["pack"]
    if not shown:
        return "none"
    return "pair" if pack == "none" and s.chance("two_studs", 0.06) else pack


def _ends(s: Scene, *kinds: str) -> bool:
    """Whether a load's foot, or an end of a beam of these kinds, shows in the holes."""
    spots = [(p.x, p.y) for p in s.points("post", "machine", "chimney", "beam_end", "stair_header")]
    spots += [end for b in s.beams(*kinds) for end in b.ends]
    return any(s.in_holes(*spot) for spot in spots)


def _over_post(s: Scene) -> str:
    """What is at the top of what reaches up from a low wall or a low part."""
    if not s.holes:
        return HIDDEN
    props = s.points("strut", "hip_post", "ridge_post")
    ends = _ends(s, "flush", "attic", "girder_truss", "ridge", "dropped")
    if ends or any(s.in_holes(p.x, p.y) for p in props):
        return "ends_on_it"
    if at_wall(s, s.opened_kinds) in ("end_or_lap", "joined_over"):
        return "ends_on_it"
    return "passed_over" if s.opened_kinds & {"needed", "passes", "bearing"} else "finish_only"


def opened_top(s: Scene) -> str | None:
    """The strongest thing over the holes; nothing there is clear only if they leave no gap."""
    if s.wall.height == "stops_short":
        return None
    if at_wall(s, s.opened_kinds) in ("end_or_lap", "joined_over"):
        return "board_ends"
    if _ends(s, "flush", "attic", "girder_truss", "ridge"):
        return "beam_end"
    if any(s.in_holes(p.x, p.y) for p in s.points("strut", "hip_post", "ridge_post")):
        return "prop_foot"
    if s.opened_kinds & {"needed", "passes", "bearing"}:
        return "passed_over"
    return "clear_all_along" if s.holes == [s.line] else "seen_in_part"


def _extent(s: Scene) -> str:
    if not s.holes or s.wall.height == "stops_short":
        return HIDDEN
    return "whole_top" if s.holes == [s.line] else "some_holes"


def _knee_top(s: Scene) -> str:
    """Any other wall that stands where knee walls do: what touches it rests on it."""
    if not s.holes:
        return HIDDEN
    touched = at_wall(s, s.opened_kinds) in ("end_or_lap", "joined_over", "run_through")
    touched = touched or "bearing" in s.opened_kinds
    seen = knee_top(s) if "knee" in s.detail else "rests" if touched else "gap"
    return "gap_in_part" if seen == "gap" and s.holes != [s.line] else seen


def _siding(s: Scene) -> str:
    share = 0.7 if s.wall.role in ("once_outside", "to_garage") else 0.01
    return "found" if s.chance("siding", share) else "none"


def _studs_down(s: Scene) -> str:
    balloon = s.house.facts.get("studs_through_floors") == "run_past"
    return "come_down" if s.paths["wall_above"] and balloon else "stop_at_floor"


OPENED_FINDINGS: dict[str, Finding] = {
    "fixture_peek": _peek,
    "opened_joist_run": lambda s: s.opened_run,
    "opened_joist_end": _end,
    "opened_extent": _extent,
    "over_post_top": _over_post,
    "opened_frame": _frame,
    "opened_knee_top": _knee_top,
    "opened_joist_size": _size,
    "opened_joist_spacing": _joist_spacing,
    "board_over_plate": lambda s: (
        "runs_over"
        if s.detail["under_board"] == "yes" and "ends" not in s.opened_kinds
        else "stops_at_wall"
    ),
    "plate_on_finish": lambda s: (
        "on_finish" if s.detail["on_finish"] == "yes" else "on_rough_floor"
    ),
    "top_plate": lambda s: s.detail["plates"],
    "stud_size": lambda s: s.detail["stud"],
    "stud_spacing": lambda s: s.detail["spacing"],
    "header_kind": _header,
    "side_studs": _jacks,
    "stud_pack": _pack,
    "opened_top": opened_top,
    "hidden_beam": _hidden_beam,
    "ribbon_board": lambda s: s.detail.get("ribbon", "none"),
    "slanted_in_wall": lambda s: (
        "let_in_board" if s.house.year < 1965 and s.chance("let_in", 0.05) else "none"
    ),
    "panel_on_studs": lambda s: s.detail["panel"],
    "siding_inside": _siding,
    "studs_past_floor": _studs_down,
    "hangs_from_above": lambda s: "not_tied",
}
