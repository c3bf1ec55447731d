"""Findings for the further questions asked above and below the wall."""

from __future__ import annotations

from walltriage.lab.findings.crossing import beam_crosses
from walltriage.lab.findings.of_above import attic, stick, trussed, upstairs
from walltriage.lab.findings.of_below import BELOW_FINDINGS, below
from walltriage.lab.findings.of_house import HIDDEN, Finding
from walltriage.lab.findings.of_lists import wall_top
from walltriage.lab.findings.of_wall import WALL_FINDINGS
from walltriage.lab.findings.scene import Scene

# above


def _laps(s: Scene) -> str:
    if "ends" in s.kinds:
        return "here"
    for field in s.fields:
        if field.run == s.line.axis:
            continue
        inner = [r for p in field.pieces for r in p.rests if r.how == "end"]
        edges = field.area.span(field.run)
        broken = [r for r in inner if abs(r.at - edges[0]) > 0.5 and abs(r.at - edges[1]) > 0.5]
        return "on_other_wall" if broken else "outer_to_outer"
    return "not_found"


def _thick_board(s: Scene) -> str:
    if s.beam_ends_here("flush"):
        return "ends_here"
    for beam in s.beams("flush"):
        same = beam.line.axis == s.line.axis and abs(beam.line.at - s.line.at) < 0.5
        if same and s.line.overlap(beam.line.start, beam.line.stop) > 1:
            return "over_wall"
    if beam_crosses(s, "flush"):
        return "crosses"
    return "elsewhere" if list(s.beams("flush")) else "none"


def _lower_ceiling(s: Scene) -> str | None:
    if WALL_FINDINGS["ceiling_at_wall"](s) != "step":
        return None
    if s.house.facts.get("ceiling_step_at") == f"{s.line.axis}:{s.line.at}":
        return "on_it" if "ends" in s.kinds else "clear"
    return "on_it" if s.chance("lowered_nailed", 0.25) else "clear"


def _ridge_member(s: Scene) -> str:
    """From the attic or, under a slope, from the room: a beam shows there or is boarded over."""
    beam = bool(list(s.beams("ridge")))
    if "sloped" in s.above:
        return "thick_beam" if beam and s.chance("ridge_bare", 0.4) else "closed"
    if not (s.attic_over and s.attic_open):
        return HIDDEN
    return "thick_beam" if beam else "thin_board"


def _second_ceiling(s: Scene) -> str:
    """Rooms of old houses were given lower ceilings later; our judgment."""
    lowered = s.house.year < 1965 and s.chance("second_ceiling", 0.12)
    return "lower_one" if lowered else "one_ceiling"


def _corner_board(s: Scene) -> str:
    if s.points("hip_post", seen_only=True, line=s.seen_stretch):
        return "ends_on_it"
    hips = s.house.facts.get("roof_shape") in ("hip", "wings")
    return "passes" if hips and s.chance("hip_over", 0.25) else "none"


def _truss_shape(s: Scene) -> str | None:
    """From the attic or, under a slope, through the hole that showed the trusses."""
    if not trussed(s):
        return None
    if "sloped" in s.above:
        return "sloped_bottom"
    if not (s.attic_over and s.attic_open):
        return HIDDEN
    return "room_inside" if s.house.archetype == "truss_attic" else "flat_bottom"


def _goes_up(s: Scene) -> str:
    out = s.wall.role in ("once_outside", "shared") and s.chance("gable_left", 0.35)
    return "boarded" if out else "none"


def _old_roof(s: Scene) -> str:
    out = s.wall.role == "once_outside" and s.chance("old_roof", 0.4)
    if out:
        return "at_this_line"
    return "elsewhere" if s.house.facts.get("old_roof_inside") == "yes" else "none"


def _bow(s: Scene) -> str:
    return {"high_at_wall": "high_here", "sags_at_wall": "sag_through"}.get(
        s.detail["ceiling"], "straight"
    )


def _knee_foot(s: Scene) -> str:
    near = any(
        k.level == s.level and k.line.axis == s.line.axis and abs(k.line.at - s.line.at) < 0.5
        for k in s.house.knee_walls
    )
    return "on_this_wall" if near else "off_this_line"


def _post_upstairs(s: Scene) -> str:
    ends = [
        end for b in s.house.beams if b.level == s.level + 1 and b.kind in ("dropped", "ridge")
        for end in b.ends
    ]  # fmt: skip
    if any(s.line.distance(*end) < 0.5 for end in ends) and s.chance("post_shows", 0.3):
        return "over_wall"
    return "near" if s.chance("post_near", 0.02) else "none"


def _on_upper(s: Scene) -> str | None:
    uppers = s.parallel(s.level + 1, 4.0)
    if not uppers or s.level + 1 < s.house.top or not s.attic_open:
        return HIDDEN
    top = wall_top(s.at(uppers[0]))
    if top is None:
        return None
    rests = top in ("board_ends", "beam_end", "prop_foot")
    return "rests" if rests else "passes_over" if top == "passed_over" else "nothing_rests"


def _plan_up(s: Scene) -> str:
    here = [w for w in s.house.on_level(s.level) if w.role == "inside"]
    matched = sum(
        any(
            u.line.axis == w.line.axis and abs(u.line.at - w.line.at) < 1.5
            for u in s.house.on_level(s.level + 1)
        )
        for w in here
    )
    share = matched / len(here) if here else 0.0
    return "same_plan" if share > 0.8 else "partly" if share > 0.3 else "different"


def _floor_thick(s: Scene) -> str | None:
    if s.joist is None:
        return None
    inches = {"2x6": 7.5, "2x8": 9.3, "2x10": 11.3, "2x12": 13.3, "i9": 11.5, "i11": 14.0,
              "i14": 16.0, "i16": 18.0}.get(s.joist.size, 17.5)  # fmt: skip
    return "over_15_in" if inches > 15 else "from_11_to_15" if inches >= 11 else "under_11_in"


def _cross_piece(s: Scene) -> str:
    if s.points("stair_header", within=1.0):
        return "this_wall" if s.chance("header_seen", 0.6) else "not_seen"
    return "hangers" if s.chance("hangers_seen", 0.4) else "not_seen"


# below


def _support_length(s: Scene) -> str:
    lines = [b.line for b in s.house.beams if b.level == s.level - 1]
    lines += [w.line for w in s.house.on_level(s.level - 1)]
    covered = sum(
        s.line.overlap(line.start, line.stop)
        for line in lines
        if line.axis == s.line.axis and abs(line.at - s.line.at) <= 2.0
    )
    share = covered / s.line.length
    return "whole" if share > 0.85 else "part" if share > 0.1 else "ends_only"


def _concrete(s: Scene) -> str:
    posts = [b for b in s.house.beams if b.level == s.level - 1 and b.posts]
    near = any(b.line.axis == s.line.axis and abs(b.line.at - s.line.at) <= 0.5 for b in posts)
    return "pads" if near else "none"


def _blocks(s: Scene) -> str:
    spot = BELOW_FINDINGS["post_below"](s)
    if spot == "blocks":
        return "one_spot"
    across = s.run_below == "across" and s.wall.meant
    return "all_along" if across and s.chance("blocking", 0.5) else "none"


def _open_below(s: Scene) -> str:
    under = s.parallel(s.level - 1, 1.0)
    if not under:
        return "open_room" if s.chance("open_below", 0.3) else "closed"
    return "opening_with_head" if under[0].opening_ft > 3 else "closed"


def _kind_below(s: Scene) -> str | None:
    if not s.below_fields:
        return None
    material = s.below_fields[0].material
    return {"i_joists": "i_shaped", "floor_trusses": "frames"}.get(material, "solid")


DETAIL_FINDINGS: dict[str, Finding] = {
    "laps_elsewhere": stick(_laps),
    "thick_board_level": attic(_thick_board),
    "ridge_member": _ridge_member,
    "second_ceiling": attic(_second_ceiling),
    "lower_ceiling_joists": attic(_lower_ceiling),
    "slanted_corner_board": stick(_corner_board),
    "truss_shape": _truss_shape,
    "wall_goes_on_up": attic(_goes_up),
    "older_roof_inside": attic(_old_roof),
    "ceiling_boards_bow": stick(_bow),
    "short_wall_foot": _knee_foot,
    "post_upstairs": upstairs(_post_upstairs),
    "over_upper_wall": upstairs(_on_upper),
    "plan_upstairs": upstairs(_plan_up),
    "floor_thickness": upstairs(_floor_thick),
    "floor_step_above": upstairs(lambda s: "step" if s.chance("step_over", 0.02) else "one_height"),
    "stair_edge_held_by": upstairs(_cross_piece),
    "last_wall_under_jut": lambda s: "yes_last" if s.line.axis == "x" and s.line.at < 1 else "no",
    "support_length": below(_support_length),
    "concrete_under": below(_concrete),
    "blocks_along": below(_blocks),
    "newer_props": below(lambda s: "at_line" if s.chance("jacks", 0.03) else "none"),
    "floor_sags_under": below(
        lambda s: "bent" if s.detail["floor"] == "low_at_wall" else "straight"
    ),
    "open_room_below": lambda s: (
        _open_below(s) if WALL_FINDINGS["below_wall"](s) == "covered_ceiling" else None
    ),
    "joists_below_kind": below(_kind_below),
    "blocks_in_wall": lambda s: "some" if s.chance("fire_blocks", 0.3) else "none",
}
