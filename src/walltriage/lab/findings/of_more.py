"""Findings for the further questions about the house, the rooms and the opened wall."""

from __future__ import annotations

from walltriage.lab.findings.of_above import upstairs
from walltriage.lab.findings.of_house import HIDDEN, HOUSE_FINDINGS, Finding
from walltriage.lab.findings.of_wall import WALL_FINDINGS
from walltriage.lab.findings.scene import Scene
from walltriage.lab.house.model import other

# house


def _slope(s: Scene) -> str:
    draw = s.draw("slope")
    steep = "rooms_in_roof" in {p.space for p in s.house.roof_parts}
    return "steep" if steep or draw < 0.2 else "middle" if draw < 0.8 else "low"


def _rafter(s: Scene) -> str:
    if not s.attic_open:
        return HIDDEN
    propped = bool(s.all_points("strut", seen_only=False))
    draw = s.draw("rafter")
    if propped:
        return "four_inch" if draw < 0.5 else "six_inch"
    return "six_inch" if draw < 0.6 else "deep"


def _purlin(s: Scene) -> str:
    if not s.attic_open:
        return HIDDEN
    return "on_props" if s.all_points("strut") else "none"


def _permit(s: Scene) -> str:
    work = s.wall.later or "new" in {("new" if b.new else "") for b in s.house.beams}
    if not work or not s.chance("permit", 0.3):
        return "nothing_there"
    return "work_here" if s.wall.later or s.beam_ends_here("flush", "dropped") else "work_elsewhere"


def _same_plan(s: Scene) -> str:
    if not s.chance("same_plan", 0.05):
        return "none_known"
    holds = any(v for k, v in s.paths.items() if k != "bracing")
    right = s.chance("same_plan_true", 0.9)
    return "beam_put_in" if holds == right else "taken_out_plain"


def _hung_ceiling(s: Scene) -> str:
    if not s.attic_open:
        return HIDDEN
    return "hung" if s.chance("hung_ceiling", 0.04) else "not_hung"


# opened


def _blade(s: Scene) -> str:
    if s.kinds & {"ends", "needed", "bearing"} and s.wall.touches_frame:
        return "crushed" if s.chance("crushed", 0.15) else "tight"
    if "passes" in s.kinds and not s.chance("loose", 0.3):
        return "tight"
    return "slides" if s.chance("slides", 0.7) else "tight"


def _in_line(s: Scene) -> str:
    if s.run != "across":
        return "not_in_line"
    return "in_line" if s.chance("in_line", 0.5 if s.wall.meant else 0.25) else "not_in_line"


def _stud_age(s: Scene) -> str:
    if s.wall.later:
        return "newer" if s.chance("newer", 0.65) else "not_clear"
    return "same_kind" if s.chance("same_kind", 0.8) else "not_clear"


def _filled(s: Scene) -> str:
    outer = s.wall.role != "inside"
    return (
        "filled" if s.chance("filled", 0.6 if outer and s.house.year > 1950 else 0.05) else "none"
    )


def _steel(s: Scene) -> str:
    if not (s.points("ridge_post", "post") or s.beam_ends_here("dropped", "flush", "ridge")):
        return "none"
    draw = s.draw("steel_post")
    return "steel_post" if draw < 0.15 else "wood_post" if draw < 0.4 else "none"


def _over_head(s: Scene) -> str | None:
    if s.wall.opening_ft < 1:
        return None
    if s.detail["header"] == "flat_board":
        return "short_studs" if s.chance("cripples", 0.5) else "nothing"
    onto = bool(s.kinds & {"ends", "needed"}) and s.chance("joists_onto", 0.4)
    return "joists_on_it" if onto else "short_studs"


# rooms


def _opening_line(s: Scene) -> str:
    dropped = [
        b for b in s.beams("dropped")
        if b.line.axis == s.line.axis and abs(b.line.at - s.line.at) < 0.5
    ]  # fmt: skip
    if dropped:
        return "hangs_down"
    flush = [
        b for b in s.beams("flush")
        if b.line.axis == s.line.axis and abs(b.line.at - s.line.at) < 0.5
    ]  # fmt: skip
    return "flat_ceiling" if flush or s.chance("arch", 0.08) else "none"


def _stubs(s: Scene) -> str | None:
    if s.wall.opening_ft < 3:
        return None
    draw = s.draw("stubs")
    cut = 0.5 if s.wall.meant else 0.3
    return "both_sides" if draw < cut else "one_side" if draw < cut + 0.2 else "none"


def _box(s: Scene) -> str:
    draw = s.draw("soffit")
    return "over_cabinets" if draw < 0.1 else "across_room" if draw < 0.14 else "none"


def _boxed_closet(s: Scene) -> str:
    share = 0.4 if s.points("ridge_post", "post", "chimney") else 0.03
    return "boxed" if s.chance("boxed_closet", share) else "none"


def _rooms(s: Scene) -> str:
    kinds = ("closets_or_baths", "bedrooms", "hall_or_living", "kitchen")
    if WALL_FINDINGS["hall_wall"](s) == "hall_side":
        return "hall_or_living"
    return kinds[int(s.draw("rooms") * 4)]


def _joint(s: Scene) -> str:
    if s.wall.later:
        return "runs_behind" if s.chance("runs_behind", 0.6) else "not_clear"
    return "one_piece" if s.chance("one_piece", 0.5) else "not_clear"


def _ceilings(s: Scene) -> str:
    out = s.wall.role in ("once_outside", "to_garage")
    return "different" if s.chance("ceilings", 0.6 if out else 0.06) else "same_kind"


def _crack_line(s: Scene) -> str:
    draw = s.draw("crack_line")
    corner = 0.3 if "truss" in s.house.archetype else 0.18
    return "at_corner" if draw < corner else "mid_room" if draw < corner + 0.04 else "none"


def _pocket(s: Scene) -> str:
    share = 0.01 if s.wall.meant else 0.04
    return "pocket" if s.chance("pocket", share) else "no_pocket"


def _corner(s: Scene) -> str:
    rects = s.house.levels[s.level]
    edges = {edge for rect in rects for edge in rect.span(other(s.line.axis))}
    inner = edges - {min(edges), max(edges)}
    return "corner" if any(abs(edge - s.line.at) < 1.0 for edge in inner) else "no_corner"


def _part(s: Scene) -> str:
    if s.house.facts["forgotten"] == "yes":
        return "first_house"
    if s.wall.role == "once_outside":
        return "at_the_joint"
    x, y = s.line.point(0.5)
    added = HOUSE_FINDINGS["additions"](s) != "none_known" and len(s.house.levels[0]) > 1
    inside = s.house.levels[0][0].holds(x, y, 0.1)
    return "added_part" if added and not inside else "first_house"


def _porch(s: Scene) -> str:
    if s.wall.role != "once_outside" or s.house.facts["forgotten"] == "yes":
        return "no"
    return {"garage_conversion": "garage", "enclosed_porch": "porch"}.get(s.house.archetype, "no")


def _peak(s: Scene) -> str:
    beams = list(s.beams("ridge"))
    if not beams:
        return "no_peak"
    here = any(s.line.distance(*end) <= 0.5 for b in beams for end in b.ends)
    return "over_this_wall" if here else "elsewhere"


def _beam_ends(s: Scene) -> str | None:
    new = [b for b in s.house.beams if b.new and b.level == s.level]
    if not new:
        return None
    here = any(s.line.distance(*end) <= 0.5 for b in new for end in b.ends)
    if not s.chance("new_ends_seen", 0.6):
        return "not_clear"
    return "on_this_wall" if here else "elsewhere"


def _levels_over(s: Scene) -> str:
    x, y = s.line.point(0.5)
    over = sum(s.house.covered(level, x, y) for level in range(s.level + 1, s.house.top + 1))
    return "two_or_more" if over >= 2 else "one"


def _fixed(value: str) -> Finding:
    return lambda s: value


MORE_FINDINGS: dict[str, Finding] = {
    "roof_slope": _slope,
    "rafter_depth": _rafter,
    "long_board_under_rafters": _purlin,
    "tall_rooms": lambda s: "some" if s.chance("tall", 0.08) else "none",
    "permit_record": _permit,
    "same_plan_opened": _same_plan,
    "joists_between_rafters_hung": _hung_ceiling,
    "blade_test": _blade,
    "studs_under_joists": _in_line,
    "stud_age": _stud_age,
    "wall_filled": _filled,
    "two_walls": lambda s: "two" if s.wall.role in ("shared", "joins_sections") else "one",
    "ties_in_wall": lambda s: s.detail["straps"],
    "steel_in_wall": _steel,
    "hung_on_face": _fixed("none"),
    "over_the_head": _over_head,
    "opening_in_line": _opening_line,
    "stub_walls": _stubs,
    "box_in_line": _box,
    "post_in_closet": _boxed_closet,
    "rooms_beside": _rooms,
    "joint_at_ends": _joint,
    "ceiling_both_sides": _ceilings,
    "ceiling_crack_line": _crack_line,
    "sliding_door_pocket": _pocket,
    "house_corner_in_line": _corner,
    "part_of_house": _part,
    "once_porch": _porch,
    "ends_of_peak": _peak,
    "dormer_near": lambda s: "near" if s.chance("dormer", 0.03) else "none",
    "old_beam_ends": _beam_ends,
    "work_begun": lambda s: "not_begun" if s.chance("not_begun", 0.97) else "nothing_moved",
    "levels_over": upstairs(_levels_over),
}
