"""What is told from the attic, from upstairs and from below, in the second family."""

from __future__ import annotations

from tests.second_family.houses import Wall
from tests.second_family.look import FAR, UNKNOWN, Look
from tests.second_family.near import YES_NO

NOTCHED = 0.06  # of bays of joists: doubled, cut or notched; our judgment


def of_attic(k: Look) -> None:
    """One look at the wall's top: all that is told of it comes from the same observations."""
    h, a = k.h, k.a
    if h.roof in ("vault", "flat"):
        k.same(FAR, "attic_frame")
        if h.roof == "vault":  # its ridge is a beam, bare or boarded over
            shown = "thick_beam" if k.chance() < 0.4 else "closed"
            k.says("ridge_member", shown, "thin_board", "closed", "thick_beam")
        return
    k.put("attic_frame", "roof_frame", {"rafters": "rafters", "trusses": "trusses"})
    truss, props = h.roof == "truss", h.roof == "struts"
    k.says("truss_plates", "plates" if truss else "no_plates", "plates", "no_plates")
    if truss:
        k.says("plate_kind", "plywood" if h.gussets else "steel_teeth", "steel_teeth", "plywood")
    k.says("long_board_under_rafters", "on_props" if props else "none", "none", "on_props")
    if not k.attic:
        return
    a["attic_spot"] = k.p.spot
    over = a["attic_frame"] == "trusses" or (truss and a["attic_frame"] == UNKNOWN)
    at, gap = k.p.told("joist_at_wall"), k.p.told("gap_or_clips")
    strut, girder, end = (k.p.told(key) for key in ("strut_lands", "girder", "beam_end"))
    if not k.in_view():
        strut, girder, end = (None if x is None else False for x in (strut, girder, end))
    if at == "breaks" and not k.laps_in_view():
        at = "through"
    if k.half and at != "breaks":
        at, gap = "beside", True  # it does not reach the framing
    way = {"across": "across", "parallel": "along"}
    k.put("attic_joist_run", "joist_run", dict(way))
    a["truss_run"] = a["attic_joist_run"]
    words = {"breaks": "end_or_lap", "through": "run_through", "beside": "none_touch"}
    a["attic_joists_at_wall"] = words.get(str(at), UNKNOWN)
    joint = k.w.see.get("truss_joint") and not gap
    touches = "gap_or_slot_clips" if gap else "joint_over_wall" if joint else "touching"
    a["truss_at_wall"] = UNKNOWN if gap is None else touches
    k.put("joist_nailer", "nailer", {True: "board_or_blocks", False: "none_seen"})
    a["wall_top"] = _top(k, over, at, gap, bool(girder if over else strut), bool(end))
    partly = k.view != (0.0, 1.0)
    if a["wall_top"] == "clear_all_along" and (partly or None in (strut, girder, end)):
        a["wall_top"] = "seen_in_part"
    part = {"seen_in_part": "part", UNKNOWN: "none"}.get(str(a["wall_top"]), "whole")
    part = "part" if part == "whole" and partly else part
    k.says("wall_traced", part, "whole", "part")
    _beams_and_props(k, strut, girder, end)
    ends_of_joists(k)


def _top(k: Look, over: bool, at: object, gap: object, load: bool, beam: bool) -> str:
    """The whole top in one word, the strongest sign first."""
    if not over and at == "breaks":
        return "board_ends"
    if beam or load:
        return "beam_end" if beam or over else "prop_foot"
    if over:
        if gap is None or k.a["truss_run"] == UNKNOWN:
            return UNKNOWN
        return "passed_over" if k.a["truss_run"] == "across" and not gap else "clear_all_along"
    if at is None:
        return UNKNOWN
    return "passed_over" if at == "through" else "clear_all_along"


def _beams_and_props(k: Look, strut: object, girder: object, end: object) -> None:
    a, props = k.a, k.h.roof == "struts"
    about = (props and k.chance() < 0.9) or (k.beams_about and k.chance() < 0.4)
    here = bool(strut or girder or end)
    some = about or bool(k.beam) or bool(k.w.see["girder"])
    k.says("attic_round", YES_NO[here or some], *YES_NO)
    k.says("roof_props", "many" if props else "none_anywhere", "none_anywhere", "a_few", "many")
    beside = "near_line" if props and k.chance() < 0.08 else "none_near"
    a["props_at_wall"] = UNKNOWN if strut is None else "on_wall" if strut else beside
    ridge = "elsewhere" if props and k.chance() < 0.2 else "none"
    k.says("ridge_props", ridge, "none", "elsewhere", "over_wall")
    k.says("knee_wall_above", "none_here", "none_here", "clear_of_roof")
    k.says("ridge_member", "thin_board", "thin_board", "thick_beam")
    flush = k.beam == "flush"
    far = "ends_elsewhere" if k.beams_about and k.chance() < 0.6 else "none"
    a["attic_beam"] = UNKNOWN if end is None else "ends_on_wall" if end and not flush else far
    level = "elsewhere" if k.beams_about and k.chance() < 0.4 else "none"
    a["thick_board_level"] = UNKNOWN if end is None else "ends_here" if end and flush else level
    a["truss_carrier"] = UNKNOWN if girder is None else "ends_on_wall" if girder else "none"
    k.says("truss_ends", "go_past", "go_past", "tag_here", "end_here")
    k.says("truss_shape", "flat_bottom", "flat_bottom", "sloped_bottom", "cut_short")
    k.says("truss_both_ends", "same_at_both", "same_at_both", "one_end_only", "thicker_one")
    k.says("truss_tag", "none_there", "none_there", "elsewhere", "at_line")
    k.says("older_roof_inside", "none", "none", "elsewhere")
    k.says("second_ceiling", "one_ceiling", "one_ceiling", "lower_one")
    weighs = (props and k.chance() < 0.5) or (k.beams_about and k.chance() < 0.3)
    k.says("more_on_joists", "more" if weighs else "only_floor", "only_floor", "more")
    k.says("doubled_above", "single", "single", "doubled")
    weight = "boxes" if k.chance() < 0.2 else "nothing_heavy"
    k.says("attic_weight", weight, "nothing_heavy", "boxes", "machine")
    k.says("joists_cut_above", "none_cut", "none_cut", "cut")


def ends_of_joists(k: Look, first: str = "joists_end") -> None:
    """Where the joists that cross the wall end, and how far away they are held."""
    if k.w.see["size"] == "-" or not k.crosses:
        k.same(UNKNOWN, f"{first}_one_side", f"{first}_other_side")
        return
    for side, wall, held in zip(("one", "other"), k.distances(), k.held(), strict=True):
        where = "on_next_wall" if abs(wall - held) < 1 else "past_it"
        where = "before_it" if held < wall - 1 else where
        k.says(f"{first}_{side}_side", where, "before_it", "on_next_wall", "past_it")
        k.a[f"held_distance_{side}_side"] = k.p.length(12 * held)
    laps = "on_other_wall" if k.h.supports[k.w.level] else "outer_to_outer"
    shown = "here" if k.w.kind == "support" else laps
    k.says("laps_elsewhere", shown, "on_other_wall", "outer_to_outer", "not_found")


def of_upstairs(k: Look) -> None:
    """The rooms over the wall."""
    if not k.rooms_over:
        return
    h, w, a = k.h, k.w, k.a
    if h.finished_attic:
        k.put("knee_wall_above", "wall_above", {"in_line": "roof_rests_on_it", "none": "none_here"})
        foot = "on_this_wall" if w.see.get("knee_wall") else "off_this_line"
        k.says("short_wall_foot", foot, "off_this_line", "not_clear", "on_this_wall")
    upper = [x for x in h.on(w.level + 1) if x.along_ridge != w.along_ridge]
    reach = sum(w.length / k.line * min(1.0, x.length / k.extent) for x in upper)
    crossed = k.chance() < reach
    ends = "ends_over" if k.chance() < 0.3 else "crosses"
    k.says("wall_ends_over", ends if crossed else "none_cross",
           "none_cross", "crosses", "ends_over")  # fmt: skip
    above, bath = k.p.told("wall_above"), k.chance() < 0.12
    over = above == "in_line"
    k.same(UNKNOWN if above is None else "within_1_ft" if over else "none_within_4_ft",
           "wall_over_wall")  # fmt: skip
    room = "closets_or_bath" if bath else "open_room"
    a["room_over_line"] = UNKNOWN if above is None else "along_a_wall" if over else room
    hole = "corner_on_wall" if w.see.get("stair_header") else "away"
    k.says("stair_hole_above", hole, "away", "edge_along", "corner_on_wall")
    k.says("heavy_above", "usual_bath" if bath else "nothing_heavy",
           "nothing_heavy", "usual_bath", "very_heavy")  # fmt: skip
    k.says("more_on_joists", _more(k, upper), "only_floor", "more")
    cut = "cut" if k.chance() < NOTCHED else "none_cut"
    k.says("floor_joists_cut", cut, "none_cut", "cut", shy=3)
    k.says("post_upstairs", "none", "none", "near", "over_wall")
    some = over or crossed or bath or hole != "away"
    k.says("upstairs_round", YES_NO[some], *YES_NO)
    k.says("outer_wall_above", "not_set_back", "not_set_back", "stands_over")
    k.says("floor_step_above", "one_height", "one_height", "step")
    k.same("none", "juts_out_above")
    k.put("strip_floor_above", "strips", {"along": "along_this_wall", "across": "across_this_wall"})
    k.put("floor_above_line", "hump", {True: "hump", False: "level"})
    rests = over and "wall_above" in w.paths
    k.says("over_upper_wall", "rests" if rests else "nothing_rests",
           "nothing_rests", "passes_over", "rests", shy=2)  # fmt: skip


def _touched(wall: Wall) -> bool:
    """Whether joists cross a wall with no gap."""
    return wall.see["joist_run"] == "across" and not wall.see["gap_or_clips"]


def _more(k: Look, across: list[Wall]) -> str:
    """Whether the joists over the wall carry a wall that holds something, or were cut."""
    left, right = k.held()
    low, high = k.w.at - left, k.w.at + right
    upper = [x for x in k.h.on(k.w.level + 1) if x not in across and (x.bears or _touched(x))]
    cut = k.chance() < NOTCHED or "stair_header" in k.w.see
    return "more" if cut or any(low + 0.5 < x.at < high - 0.5 for x in upper) else "only_floor"


def of_below(k: Look) -> None:
    """Under the wall: a crawl space, an open basement, or the level below."""
    h, w, a = k.h, k.w, k.a
    if w.level == 2:
        under = k.p.told("support_below")
        a["wall_below_wall"] = {"yes": "on_line", "no": "none_near"}.get(str(under), UNKNOWN)
        a["open_room_below"] = {"yes": "closed", "no": "open_room"}.get(str(under), UNKNOWN)
        return
    if h.base == "slab":
        a["slab_signs"] = UNKNOWN if k.chance() < 0.75 else "nothing_shows"
        return
    along = "along_length" if h.width >= h.depth else "along_width"
    k.says("studs_through_floors", "stop_at_floor", "stop_at_floor", "run_past", shy=2)
    k.says("middle_support", along, "along_length", "along_width", "no_line")
    under, posts = k.p.told("support_below"), k.chance() < 0.6
    a["under_wall"] = {"yes": "on_line", "no": "open_joists"}.get(str(under), UNKNOWN)
    there = "post_or_pad" if posts and under == "yes" else "none"
    a["post_below"] = UNKNOWN if under is None else there
    a["concrete_under"] = UNKNOWN if under is None else "pads" if there != "none" else "none"
    k.same("whole", "support_length")
    way = "across" if k.crosses == (k.chance() < 0.85) else "along"
    k.says("joists_below_run", way, "along", "across")
    old = "old_base" if w.kind == "former_outside" else "no_old_base"
    k.says("base_under_line", old, "no_old_base", "old_base")
    k.says("middle_posts_move", "sound", "sound", "troubled")
    k.says("joists_below_kind", "solid", "solid", "i_shaped")
    k.same("none", "newer_props")
    k.same("straight", "floor_sags_under")
