"""Findings from the attic over the wall, and from the level above it."""

from __future__ import annotations

from walltriage.lab.findings.crossing import beam_crosses
from walltriage.lab.findings.of_house import HIDDEN, Finding
from walltriage.lab.findings.scene import Scene
from walltriage.lab.house.model import other

SIZES = {"2x4": "two_by_four", "2x6": "two_by_six", "2x8": "two_by_eight", "2x10": "two_by_ten",
         "2x12": "two_by_twelve"}  # fmt: skip
SPACINGS = {12.0: "in_12", 16.0: "in_16", 19.2: "in_19", 24.0: "in_24"}


def attic(finding: Finding) -> Finding:
    """Out of reach where there is no attic over the wall, or no way into it."""

    def seen(s: Scene) -> str | float | None:
        return finding(s) if s.attic_over and s.attic_open else HIDDEN

    return seen


def upstairs(finding: Finding) -> Finding:
    """Nothing to say where no rooms are over the wall."""
    return lambda s: finding(s) if s.rooms_over else None


def stick(finding: Finding) -> Finding:
    """Questions about joists and props, which fit no trusses."""
    return attic(lambda s: None if trussed(s) else finding(s))


def truss(finding: Finding) -> Finding:
    """Questions about trusses, which fit nothing else."""
    return attic(lambda s: finding(s) if trussed(s) else None)


def trussed(s: Scene) -> bool:
    """Whether the framing right over the wall is roof trusses."""
    return any(field.material == "roof_trusses" for field in s.fields)


def at_wall(s: Scene, kinds: set[str] | None = None) -> str:
    """What joists do at the wall's top, the strongest sign first; ``kinds`` of a part of it."""
    kinds = s.kinds if kinds is None else kinds
    if "ends" in kinds:
        splice = any(f.joint == "splice" for f in s.fields if f.run != s.line.axis)
        return "joined_over" if splice else "end_or_lap"
    if kinds & {"needed", "passes"}:
        return "run_through"
    return "hang_from_beam" if "hung" in kinds else "none_touch"


def _at_wall_in_part(s: Scene) -> str | None:
    return None if s.traced == "none" else at_wall(s, s.seen_kinds)


def _nailer(s: Scene) -> str | None:
    if s.traced == "none":
        return None
    laid = s.run == "along" and s.wall.touches_frame and not s.wall.later
    return "board_or_blocks" if s.chance("nailer", 0.75 if laid else 0.04) else "none_seen"


def _truss_at(s: Scene) -> str | None:
    if s.traced == "none":
        return None
    if "bearing" in s.seen_kinds:
        return "joint_over_wall" if s.chance("joint", 0.85) else "touching"
    field = next(f for f in s.fields if f.material == "roof_trusses")
    tight = not field.gap and s.wall.touches_frame
    return "touching" if tight or "ends" in s.seen_kinds else "gap_or_slot_clips"


def _truss_ends(s: Scene) -> str | None:
    if s.traced == "none":
        return None
    if "ends" in s.seen_kinds:
        return "end_here"
    return "tag_here" if "bearing" in s.seen_kinds and s.chance("tag", 0.4) else "go_past"


def _carrier(s: Scene) -> str:
    girders = list(s.beams("girder_truss"))
    if not girders:
        return "none"
    ends = [end for beam in girders for end in beam.ends]
    here = any(s.seen_stretch.distance(*end) <= 0.5 for end in ends) and s.traced != "none"
    if here:
        return "ends_on_wall"
    return "crosses" if beam_crosses(s, "girder_truss") else "ends_elsewhere"


def _props(s: Scene) -> str:
    count = len(s.all_points("strut", "hip_post"))
    return "many" if count > 5 else "a_few" if count else "none_anywhere"


def _props_at(s: Scene) -> str | None:
    if s.traced == "none":
        return None
    if trussed(s):
        return "none_near"
    seen = s.seen_stretch
    if s.points("strut", "hip_post", seen_only=True, line=seen):
        return "on_wall"
    near = s.points("strut", "hip_post", seen_only=True, within=1.5, line=seen)
    return "near_line" if near else "none_near"


def _ridge_props(s: Scene) -> str:
    if s.points("hip_post", "ridge_post", seen_only=True, line=s.seen_stretch):
        return "over_wall"
    return "elsewhere" if s.all_points("hip_post", "ridge_post") else "none"


def _knee(s: Scene) -> str | None:
    knees = [k for k in s.house.knee_walls if k.level == s.level]
    if not knees and not s.rooms_over and not s.attic_over:
        return None
    for knee in knees:
        near = knee.line.axis == s.line.axis and abs(knee.line.at - s.line.at) <= 0.8
        if near and s.line.overlap(knee.line.start, knee.line.stop) > 0.5:
            return "roof_rests_on_it" if knee.carries else "clear_of_roof"
    return "none_here"


def knee_top(s: Scene) -> str:
    """Whether rafters rest on a knee wall, asked about itself; some only touch it."""
    touches = s.detail["knee"] == "carries" or s.chance("knee_touches", 0.08)
    return "rests" if touches else "gap"


def _behind_it(s: Scene) -> str:
    """A low door into the space behind a knee wall is not always there."""
    return knee_top(s) if "knee" in s.detail and s.chance("low_door", 0.7) else HIDDEN


def _attic_beam(s: Scene) -> str:
    """Timbers on top of the ceiling joists, and beams level with them: both show from above."""
    ends = [end for beam in s.beams("attic", "flush") for end in beam.ends]
    if any(s.seen_stretch.distance(*end) <= 0.5 for end in ends) and s.traced != "none":
        return "ends_on_wall"
    if beam_crosses(s, "attic", "flush"):
        return "crosses"
    return "ends_elsewhere" if ends else "none"


def _weight(s: Scene) -> str:
    if s.points("machine", within=4.0):
        return "machine"
    return "boxes" if s.chance("boxes", 0.25) else "nothing_heavy"


def _attic_nails(s: Scene) -> str | None:
    if not s.chance("attic_boards", 0.3):
        return None
    if s.run == "changes_here":
        return "mixed"
    return "along_wall" if s.run == "along" else "across_wall"


def sees_joists(s: Scene) -> bool:
    """Whether the framing right above can be measured: open attic, or an unfinished side."""
    if s.attic_over:
        return s.attic_open
    return s.level < 0 or s.chance("joists_open", 0.25)


def _size(s: Scene) -> str:
    if not sees_joists(s) or s.joist is None:
        return HIDDEN
    return SIZES.get(s.joist.size, "deeper_or_other")


def _spacing(s: Scene) -> str:
    if not sees_joists(s) or s.joist is None:
        return HIDDEN
    return SPACINGS.get(s.joist.spacing_in, "other")


def _material(s: Scene) -> str:
    if not sees_joists(s) or s.joist is None:
        return HIDDEN
    kind = s.joist.material
    return "trusses" if kind in ("roof_trusses", "floor_trusses") else kind


def _over(s: Scene) -> str:
    gaps = [abs(w.line.at - s.line.at) for w in s.parallel(s.level + 1, 4.0)]
    if not gaps:
        return "none_within_4_ft"
    return "within_1_ft" if min(gaps) <= 1.0 else "one_to_4_ft_off"


def _room_over(s: Scene) -> str:
    if any(abs(w.line.at - s.line.at) <= 1.0 for w in s.parallel(s.level + 1, 1.0)):
        return "along_a_wall"
    return "closets_or_bath" if s.chance("bath_over", 0.2) else "open_room"


def _ends_over(s: Scene) -> str:
    found = "none_cross"
    for w in s.house.on_level(s.level + 1):
        if w.line.axis == s.line.axis or not s.line.start < w.line.at < s.line.stop:
            continue
        if min(abs(w.line.start - s.line.at), abs(w.line.stop - s.line.at)) < 0.6:
            return "ends_over"
        if w.line.start < s.line.at < w.line.stop:
            found = "crosses"
    return found


def _set_back(s: Scene) -> str:
    over = any(
        w.role == "outside" and abs(w.line.at - s.line.at) <= 1.0
        for w in s.parallel(s.level + 1, 1.0)
    )
    return "stands_over" if over else "not_set_back"


def _strips(s: Scene) -> str:
    over = s.house.facts.setdefault(
        "strips", "yes" if s.chance("strips", s.values["strip_floor"][s.era]) else "no"
    )
    if over == "no":
        return "not_clear"
    across_joists = s.chance("strips_across", s.values["strips_across_joists"])
    joists_along = s.run == "along"
    return "across_this_wall" if joists_along == across_joists else "along_this_wall"


def _heavy(s: Scene) -> str:
    if s.points("very_heavy", within=3.0):
        return "very_heavy"
    bath = s.points("bath", within=3.0) or s.chance("bath_near", 0.12)
    return "usual_bath" if bath else "nothing_heavy"


def _stair_hole(s: Scene) -> str:
    if s.points("stair_header", within=1.0):
        return "corner_on_wall"
    for hole in s.house.stairs:
        low, high = hole.area.span(other(s.line.axis))
        near = min(abs(low - s.line.at), abs(high - s.line.at)) < 1.0
        if hole.level == s.level and near and s.line.overlap(*hole.area.span(s.line.axis)) > 1:
            return "edge_along"
    return "away"


def _larger(s: Scene) -> str:
    here = sum(1 for w in s.house.on_level(s.level) if w.role == "inside")
    over = sum(1 for w in s.house.on_level(s.level + 1) if w.role == "inside")
    return "much_larger" if over + 3 < here else "smaller_or_same"


def _juts(s: Scene) -> str:
    side = s.house.facts.get("juts_out_side")
    at_end = side and s.line.axis == "y" and s.line.start <= 0.5
    return "juts_out" if at_end else "none"


ABOVE_FINDINGS: dict[str, Finding] = {
    "wall_traced": attic(lambda s: s.traced),
    "attic_joist_run": stick(lambda s: s.run),
    "attic_joists_at_wall": stick(_at_wall_in_part),
    "joist_nailer": attic(_nailer),
    "truss_run": truss(lambda s: "along" if s.run == "along" else "across"),
    "truss_at_wall": truss(_truss_at),
    "truss_ends": truss(_truss_ends),
    "truss_carrier": truss(_carrier),
    "roof_props": stick(_props),
    "props_at_wall": attic(_props_at),
    "ridge_props": attic(_ridge_props),
    "knee_wall_above": _knee,
    "knee_wall_top": _behind_it,
    "attic_beam": attic(_attic_beam),
    "attic_weight": attic(_weight),
    "joists_cut_above": attic(lambda s: "cut" if s.chance("cut", 0.02) else "none_cut"),
    "attic_board_nails": attic(_attic_nails),
    "joist_size": _size,
    "joist_spacing": _spacing,
    "floor_joist_size": _size,
    "floor_joist_spacing": _spacing,
    "joist_material": _material,
    "wall_over_wall": upstairs(_over),
    "room_over_line": upstairs(_room_over),
    "wall_ends_over": upstairs(_ends_over),
    "outer_wall_above": upstairs(_set_back),
    "strip_floor_above": upstairs(_strips),
    "heavy_above": upstairs(_heavy),
    "stair_hole_above": upstairs(_stair_hole),
    "floor_above_line": upstairs(lambda s: s.detail["floor_above"]),
    "floor_above_bounce": upstairs(lambda s: s.detail["stiffer"]),
    "juts_out_above": upstairs(_juts),
    "opening_below_wall_above": upstairs(_larger),
}
