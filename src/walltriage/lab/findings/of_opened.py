"""Findings with a cover off or a small hole made."""

from __future__ import annotations

from walltriage.lab.findings.of_above import at_wall
from walltriage.lab.findings.of_house import Finding
from walltriage.lab.findings.scene import Scene


def _peek(s: Scene) -> str | None:
    if not s.chance("fixture_there", 0.6):
        return None
    if s.run == "changes_here":
        return "not_clear"
    return "along_wall" if s.run == "along" else "across_wall"


def _end(s: Scene) -> str:
    found = at_wall(s)
    if "bearing" in s.kinds:
        return "run_through"
    return {"joined_over": "end_or_lap", "none_touch": "gap_or_none"}.get(found, found)


def _opened_top(s: Scene) -> str:
    """The strongest thing on the whole of the wall's top, laid open from end to end."""
    if "ends" in s.kinds:
        return "board_ends"
    posts = s.points("beam_end", "machine", "chimney", "post")
    if posts or s.beam_ends_here("flush", "attic", "girder_truss"):
        return "beam_end"
    if s.points("strut", "hip_post", "ridge_post"):
        return "prop_foot"
    if s.kinds & {"needed", "passes", "bearing"}:
        return "passed_over"
    return "clear_all_along"


def _header(s: Scene) -> str | None:
    return s.detail["header"] if s.wall.opening_ft >= 1 else None


def _jacks(s: Scene) -> str | None:
    if s.wall.opening_ft < 1:
        return None
    if s.detail["jacks"] == "two" and s.wall.opening_ft > 6 and s.wall.meant:
        return "three_or_more"
    return s.detail["jacks"]


def _hidden_beam(s: Scene) -> str:
    if s.beam_ends_here("flush", "attic"):
        return "ends_here"
    for beam in s.beams("flush"):
        same = beam.line.axis == s.line.axis and abs(beam.line.at - s.line.at) < 0.5
        if same and s.line.overlap(beam.line.start, beam.line.stop) > 1:
            return "along_wall"
    return "none"


def _siding(s: Scene) -> str:
    share = 0.7 if s.wall.role in ("once_outside", "to_garage") else 0.01
    return "found" if s.chance("siding", share) else "none"


def _studs_down(s: Scene) -> str:
    balloon = s.house.facts.get("studs_through_floors") == "run_past"
    return "come_down" if s.paths["wall_above"] and balloon else "stop_at_floor"


OPENED_FINDINGS: dict[str, Finding] = {
    "fixture_peek": _peek,
    "opened_joist_run": lambda s: s.run,
    "opened_joist_end": _end,
    "opened_top": _opened_top,
    "board_over_plate": lambda s: (
        "runs_over"
        if s.detail["under_board"] == "yes" and "ends" not in s.kinds
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
    "stud_pack": lambda s: s.detail["pack"],
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
