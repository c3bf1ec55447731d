"""Findings for the further questions that tell apart what the first ones leave open."""

from __future__ import annotations

from walltriage.study.findings.of_above import attic, stick, trussed, upstairs
from walltriage.study.findings.of_below import BELOW_FINDINGS, below
from walltriage.study.findings.of_house import HIDDEN, HOUSE_FINDINGS, Finding
from walltriage.study.findings.of_lists import wall_top
from walltriage.study.findings.of_wall import WALL_FINDINGS
from walltriage.study.findings.scene import Scene
from walltriage.study.house.model import other

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
    return "elsewhere" if list(s.beams("flush")) else "none"


def _corner_board(s: Scene) -> str:
    if s.points("hip_post", seen_only=True, line=s.seen_stretch):
        return "ends_on_it"
    hips = s.house.facts.get("roof_shape") in ("hip", "wings")
    return "passes" if hips and s.chance("hip_over", 0.25) else "none"


def _truss_shape(s: Scene) -> str | None:
    if not trussed(s):
        return None
    if "sloped" in s.above:
        return "sloped_bottom"
    return "room_inside" if s.house.archetype == "truss_attic" else "flat_bottom"


def _goes_up(s: Scene) -> str:
    out = s.wall.role in ("once_outside", "shared") and s.chance("gable_left", 0.35)
    return "boarded" if out else "none"


def _old_roof(s: Scene) -> str:
    out = s.wall.role == "once_outside" and s.chance("old_roof", 0.4)
    return "at_this_line" if out else "none"


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


DETAIL_FINDINGS: dict[str, Finding] = {
    "laps_elsewhere": stick(_laps),
    "thick_board_level": attic(_thick_board),
    "slanted_corner_board": stick(_corner_board),
    "truss_shape": attic(_truss_shape),
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
    "open_room_below": lambda s: _open_below(s) if s.level > 0 else None,
    "joists_below_kind": below(_kind_below),
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
    "blocks_in_wall": lambda s: "some" if s.chance("fire_blocks", 0.3) else "none",
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
