"""Findings from the rooms beside the wall."""

from __future__ import annotations

from walltriage.lab.findings.crossing import beam_crosses
from walltriage.lab.findings.of_house import Finding
from walltriage.lab.findings.scene import Scene
from walltriage.lab.house.finish import plain_ft
from walltriage.lab.house.model import other


def _level(s: Scene) -> str:
    if s.level < 0:
        return "basement"
    if s.house.top == 0:  # both words fit a house of one level
        return "ground" if s.chance("one_level", 0.5) else "top"
    if s.level == 0:
        return "ground"
    return "top" if s.level == s.house.top else "middle"


def _above(s: Scene) -> str:
    kinds = set(s.above)
    if kinds == {"rooms"}:
        return "rooms_all_along"
    if "rooms" in kinds:
        return "part_rooms"
    if "attic" in kinds:
        return "only_attic"
    return "sloped_ceiling" if "sloped" in kinds else "flat_roof"


def _below(s: Scene) -> str:
    if s.level > 0:
        return "covered_ceiling"
    if s.level < 0 or s.house.base == "slab":
        return "slab"
    if s.house.base == "crawl_space":
        return "crawl_space"
    return "covered_ceiling" if s.chance("finished_below", 0.35) else "open_basement"


def _against_ridge(s: Scene) -> str:
    if s.roof is None or s.roof.frame == "flat_joists":
        return "no_one_ridge"
    return "with_ridge" if s.roof.ridge == s.line.axis else "across_ridge"


def _depth(s: Scene) -> str:
    low, high = s.extent
    near = min(s.line.at - low, high - s.line.at)
    if near <= 4.0:
        return "close_to_outside"
    return "middle_third" if near >= (high - low) / 3 else "outer_third"


def _line(s: Scene) -> str:
    same = [
        w for w in s.house.on_level(s.level)
        if w is not s.wall and w.line.axis == s.line.axis
        and abs(w.line.at - s.line.at) < 0.5 and w.role != "outside"
    ]  # fmt: skip
    low, high = s.house.levels[s.level][0].span(s.line.axis)
    covered = s.line.length + sum(w.line.length for w in same)
    if covered >= 0.8 * (high - low):
        return "long_line"
    return "some_in_line" if same else "stands_alone"


def _hall(s: Scene) -> str:
    near = s.parallel(s.level, 4.6)
    long = [w for w in near if w.line.length > 7 and abs(w.line.at - s.line.at) >= 2.8]
    return "hall_side" if long and s.line.length > 7 else "no_hall"


def _wing(s: Scene) -> str:
    rects = s.house.levels[s.level]
    edges = {rect.span(other(s.line.axis))[i] for rect in rects[1:] for i in (0, 1)}
    at_joint = len(rects) > 1 and any(abs(edge - s.line.at) < 1.0 for edge in edges)
    return "at_wing" if at_joint else "no_wing"


def _head(s: Scene) -> str | None:
    if s.wall.opening_ft < 1:
        return None
    if s.detail["to_ceiling"] == "yes":
        return "open_to_ceiling"
    if s.detail["boxed"] == "yes" or (s.wall.meant and s.wall.opening_ft > 6):
        return "box_or_beam"
    return "plain_wall"


def _probe(s: Scene) -> str | None:
    if s.wall.opening_ft < 1:
        return None
    header = s.detail["header"]
    return {"deep_built_up": "deep_wood", "one_on_edge": "mid_wood", "flat_board": "low_wood"}[
        header
    ]


def _beam(s: Scene) -> str:
    shown = [*s.beams("dropped"), *(s.beams("ridge") if "sloped" in s.above else ())]
    for beam in shown:
        touches = any(s.line.distance(x, y) <= 0.4 for x, y in beam.ends)
        if touches and beam.line.axis == s.line.axis:
            return "along_line"
        if touches:
            return "box_ends_at_wall" if s.chance("boxed_in", 0.4) else "ends_at_wall"
    if beam_crosses(s, "dropped") or ("sloped" in s.above and beam_crosses(s, "ridge")):
        return "crosses"
    if s.chance("duct_box", s.values["boxed_beam"] * 0.2):
        return "box_ends_at_wall" if s.chance("box_ends", 0.4) else "not_touching"
    return "not_touching" if shown else "none"


def _post(s: Scene) -> str:
    ends = s.beam_ends_here("dropped", "flush", "ridge", "girder_truss")
    if s.wall.height != "reaches_ceiling" and s.points("post") and s.chance("slender_post", 0.25):
        return "air_behind_trim"
    if s.points("post", seen_only=True) or (ends and s.chance("bump", 0.25)):
        return "post_or_bump"
    draw = s.draw("trim_post") * (0.1 if s.wall.height == "part_low" else 1.0)
    return "air_behind_trim" if draw < 0.03 else "post_or_bump" if draw < 0.05 else "none"


def _cluster(s: Scene) -> str:
    return "cluster" if s.detail["pack"] != "none" else "no_cluster"


def _ceiling(s: Scene) -> str:
    step = s.house.facts.get("ceiling_step_at")
    if step == f"{s.line.axis}:{s.line.at}":
        return "step"
    if "knee" in s.detail:
        return "slope_one_side"
    if "sloped" in s.above:
        peak = s.roof and s.roof.ridge == s.line.axis
        low, high = s.extent
        if peak and abs(s.line.at - (low + high) / 2) < 1.0:
            return "slope_to_peak"
        return "slope_one_side" if s.chance("flat_side", 0.3) else "slope_goes_on"
    return "step" if s.chance("drop", 0.04) else "same_both_sides"


def _rows(s: Scene, name: str, follow: float) -> bool | None:
    """Whether rows show along the wall; None when the framing changes there."""
    if s.run == "changes_here":
        return None
    turned = s.chance("strapping", s.values["strapping"])
    follows = s.chance(name, follow) != turned
    return (s.run == "along") == follows


def _ceiling_lines(s: Scene) -> str | None:
    if not s.chance("rows_show", s.values["ceiling_rows_show"]):
        return None
    along = _rows(s, "rows", s.values["rows_follow_joists"])
    return "both_ways" if along is None else "along_wall" if along else "across_wall"


def _magnet(s: Scene) -> str | None:
    if s.house.year < 1950 and s.chance("lath", 0.7):
        return None  # nails of the lath are everywhere
    along = _rows(s, "magnet", 0.96)
    return "along_one_side" if along is None else "along_both_sides" if along else "across_wall"


def _room_side(s: Scene) -> str:
    across = max(s.distance(1), s.distance(-1))
    bounds = [w.line.at for w in s.house.on_level(s.level) if w.line.axis != s.line.axis]
    before = [at for at in bounds if at <= s.line.start + 0.5]
    after = [at for at in bounds if at >= s.line.stop - 0.5]
    along = (min(after) if after else s.line.stop) - (max(before) if before else s.line.start)
    if abs(along - across) < 0.12 * max(along, across):
        return "about_square"
    return "long_side" if along > across else "short_side"


def _lights(s: Scene) -> str | None:
    if not s.chance("lights", s.values["long_duct"]):
        return None
    if s.run == "changes_here":
        return "no_clear_way"
    follows = s.chance("lights_follow", s.values["duct_follows_joists"])
    along = (s.run == "along") == follows
    return "along_wall" if along else "across_wall"


def _floor_runs(s: Scene) -> str | None:
    if s.chance("floor_hidden", 0.35):
        return None
    return "runs_under" if s.detail["on_finish"] == "yes" else "stops_at_wall"


def _runs_in(s: Scene) -> str:
    kinds = ("nothing_seen", "wires", "wires", "wires", "pipes", "ducts_or_flue", "several")
    return kinds[int(s.draw("services") * len(kinds))]


def _stairs(s: Scene) -> str:
    for hole in [h for h in s.house.stairs if h.level in (s.level, s.level - 1)]:
        low, high = hole.area.span(other(s.line.axis))
        beside = min(abs(low - s.line.at), abs(high - s.line.at)) < 0.7
        if beside and s.line.overlap(*hole.area.span(s.line.axis)) > 4:
            return "stairs_on_it" if s.chance("stair_fastened", 0.3) else "on_own_stringer"
        if beside and s.line.overlap(*hole.area.span(s.line.axis)) > 0:
            return "stairs_at_end"
    return "no_stairs"


def _roof_both(s: Scene) -> str:
    if s.rooms_over and s.wall.role == "inside":
        return "one_roof"
    x, y = s.line.point(0.5)
    step = 1.5
    sides = [(x, y - step), (x, y + step)] if s.line.axis == "x" else [(x - step, y), (x + step, y)]
    parts = [s.house.roof_at(s.level, *p) for p in sides]
    return "roof_changes" if parts[0] is not parts[1] else "one_roof"


def _traces(s: Scene) -> str:
    was_out = s.wall.role in ("once_outside", "to_garage")
    return "some_traces" if s.chance("traces", 0.65 if was_out else 0.03) else "no_traces"


def _floor_step(s: Scene) -> str:
    if s.wall.role in ("once_outside", "to_garage"):
        return "step_at_wall" if s.chance("floor_step", 0.4) else "same_height"
    if s.house.facts.get("ceiling_step_at") == f"{s.line.axis}:{s.line.at}":
        return "step_at_wall"
    return "step_at_wall" if s.chance("sunken", 0.03) else "same_height"


def _cross_walls(s: Scene) -> str:
    count = sum(
        plain_ft(w) >= 4 and w.height == "reaches_ceiling" and w.role != "outside"
        for w in s.house.on_level(s.level)
        if w is not s.wall and w.line.axis == s.line.axis
    )
    return "several" if count >= 3 else "one_or_two" if count else "none"


def _plain(s: Scene) -> str:
    plain = plain_ft(s.wall)
    return "under_4_ft" if plain < 4 else "from_4_to_8_ft" if plain <= 8 else "over_8_ft"


def _opening(s: Scene) -> str:
    feet = s.wall.opening_ft
    return "none" if feet < 1 else "door" if feet <= 3 else "wide" if feet <= 6 else "very_wide"


def _said(s: Scene) -> str:
    if not s.chance("trade_said", s.values["tradesperson_said"]):
        return "did_not_say"
    holds = any(v for k, v in s.paths.items() if k != "bracing")
    right = s.chance("trade_right", s.values["tradesperson_right"])
    return "said_something_on_it" if holds == right else "said_nothing_on_it"


def _chimney(s: Scene) -> str:
    return s.detail.get("chimney", "none")


def _place(s: Scene) -> str:
    if s.wall.role == "once_outside" and s.house.facts["forgotten"] == "yes":
        return "inside"
    return s.wall.role


WALL_FINDINGS: dict[str, Finding] = {
    "wall_level": _level,
    "above_wall": _above,
    "below_wall": _below,
    "wall_place": _place,
    "wall_against_ridge": _against_ridge,
    "place_in_depth": _depth,
    "wall_length": lambda s: 12 * s.line.length,
    "distance_one_side": lambda s: 12 * s.distance(-1),
    "distance_other_side": lambda s: 12 * s.distance(1),
    "wall_line": _line,
    "hall_wall": _hall,
    "wing_corner": _wing,
    "wall_thickness": lambda s: s.wall.thickness_in,
    "wall_height": lambda s: s.wall.height,
    "floor_under_wall": _floor_runs,
    "trim_match": lambda s: "differs" if s.detail["differs"] == "yes" else "same_kind",
    "told_when_built": lambda s: s.detail["told"],
    "told_holds": _said,
    "opening_in_wall": _opening,
    "opening_head": _head,
    "trim_nail_test": _probe,
    "beam_meets_wall": _beam,
    "post_at_wall": _post,
    "stud_cluster_found": _cluster,
    "ceiling_at_wall": _ceiling,
    "ceiling_lines": _ceiling_lines,
    "ceiling_magnet": _magnet,
    "room_side": _room_side,
    "lights_and_ducts": _lights,
    "ceiling_string": lambda s: s.detail["ceiling"],
    "winter_gap": lambda s: s.detail["gap"],
    "floor_at_wall": lambda s: s.detail["floor"],
    "doors_stick": lambda s: s.detail["doors"] if s.wall.opening_ft >= 1 else None,
    "runs_in_wall": _runs_in,
    "stair_beside": _stairs,
    "chimney_at_wall": _chimney,
    "roof_both_sides": _roof_both,
    "floor_change": _floor_step,
    "outside_traces": _traces,
    "other_cross_walls": _cross_walls,
    "plain_length": _plain,
}
