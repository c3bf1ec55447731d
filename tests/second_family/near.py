"""What is told of the house and from the rooms, in the second family."""

from __future__ import annotations

from tests.second_family.look import FAR, UNKNOWN, Look

YES_NO = ("none_of_these", "one_or_more")
SIZE = {"2x4": "two_by_four", "2x6": "two_by_six", "2x8": "two_by_eight", "2x10": "two_by_ten",
        "2x12": "two_by_twelve"}  # fmt: skip


def of_house(k: Look) -> None:
    """The whole house; nobody errs in what stands before one's eyes."""
    h, a = k.h, k.a
    along = "along_length" if h.width >= h.depth else "along_width"
    k.same("detached", "house_kind")
    k.same("wood_frame" if k.chance() < 0.8 else "brick_skin", "walls_made_of")
    a["year_built"] = float(h.era + round(k.p.r.gauss(0, 1) * k.p.years))
    a["levels_in_house"] = (
        "two" if h.storeys == 2 else "one_and_half" if h.finished_attic else "one"
    )
    space = {"vault": "sloped_ceilings", "flat": "flat_roof"}.get(h.roof, "attic")
    a["top_space"] = "rooms_in_roof" if h.finished_attic else space
    a["base_of_house"] = {"crawl": "crawl_space"}.get(h.base, h.base)
    a["house_width"] = k.p.length(12 * min(h.depth, h.width))
    a["house_length"] = k.p.length(12 * max(h.depth, h.width))
    flat = h.roof == "flat"
    a["ridge_direction"] = "no_ridge" if flat else along
    a["roof_shape"] = "one_slope" if flat else "gable"
    a["roof_covering"] = "flat_sheet" if flat else "shingles"
    former = any(w.kind == "former_outside" for w in h.walls)
    k.says("house_history", YES_NO[former], *YES_NO)
    k.says("additions", "one_part" if former else "none_known", "none_known", "one_part")
    k.says("walls_gone", "none_known", "none_known", "with_beam", "no_beam_seen")
    k.says("house_exposure", YES_NO[0], *YES_NO)
    k.says("house_movement", YES_NO[0], *YES_NO)
    k.same("none", "drawings_at_hand", "tall_rooms", "crack_kind")
    k.same("neither", "quake_or_wind")
    k.same("mostly_solid", "outer_walls_open")
    k.same("straight", "ridge_look")
    k.same("no_change", "recent_change")
    k.same("none_seen", "rot_or_insects")


def of_rooms(k: Look) -> None:
    """The wall from the rooms on both sides."""
    h, w, a = k.h, k.w, k.a
    a["wall_level"] = "ground" if w.level == 1 else "top"
    sky = {"vault": "sloped_ceiling", "flat": "flat_roof"}.get(h.roof, "only_attic")
    sky = "sloped_ceiling" if w.kind == "knee" else sky
    a["above_wall"] = "rooms_all_along" if k.rooms_over else sky
    below = {"slab": "slab", "crawl": "crawl_space", "basement": "open_basement"}[h.base]
    a["below_wall"] = "covered_ceiling" if w.level == 2 else below
    k.same("one", "levels_over")
    k.same("straight_wall", "what_it_is")
    k.same("stands", "wall_stands")
    k.same("not_begun", "work_begun")
    a["wall_place"] = {"outside": "outside", "former_outside": "once_outside"}.get(w.kind, "inside")
    ridge = "with_ridge" if w.along_ridge else "across_ridge"
    a["wall_against_ridge"] = "no_one_ridge" if h.roof == "flat" else ridge
    near = min(w.at, k.extent - w.at)
    third = "middle_third" if near >= k.extent / 3 else "outer_third"
    a["place_in_depth"] = "close_to_outside" if near <= 4 else third
    a["wall_length"] = k.p.length(12 * w.length)
    for side, feet in zip(("one", "other"), k.distances(), strict=True):
        a[f"distance_{side}_side"] = k.p.length(12 * feet)
    some = k.chance() < (0.7 if w.kind == "support" else 0.3)
    line = "some_in_line" if some else "stands_alone"
    k.says("wall_line", "long_line" if w.length / k.line > 0.75 else line,
           "stands_alone", "some_in_line", "long_line")  # fmt: skip
    thick = {"outside": 6.5, "former_outside": 6.0}.get(w.kind, 5.25 if h.era < 1945 else 4.5)
    a["wall_thickness"] = k.p.length(thick + k.chance() / 2 - 0.25)
    low = "part_low" if w.see.get("post") and k.chance() < 0.7 else "stops_short"
    a["wall_height"] = low if k.half else "reaches_ceiling"
    k.put("floor_under_wall", "finish_runs_over", {True: "runs_under", False: "stops_at_wall"})
    _age(k)
    _openings(k)
    _around(k)
    _hints(k)


def _age(k: Look) -> None:
    later = k.w.kind == "later"
    joint = "runs_behind" if later else "one_piece"
    shown = joint if k.chance() < 0.55 else "not_clear"
    k.says("joint_at_ends", shown, "runs_behind", "not_clear", "one_piece")
    differs = k.chance() < (0.64 if later else 0.1)
    k.says("trim_match", "differs" if differs else "same_kind", "differs", "same_kind")
    former = k.w.kind == "former_outside"
    outside = k.w.kind in ("outside", "former_outside")
    for question, shows, plain, sign in (
        ("roof_both_sides", former and k.chance() < 0.78, "one_roof", "roof_changes"),
        ("outside_traces", outside and k.chance() < 0.6, "no_traces", "some_traces"),
        ("floor_change", former and k.chance() < 0.4, "same_height", "step_at_wall"),
        ("ceiling_both_sides", former and k.chance() < 0.6, "same_kind", "different"),
    ):
        k.says(question, sign if shows else plain, plain, sign)
    k.same("at_the_joint" if former else "first_house", "part_of_house")
    k.same("no", "once_porch")


def _openings(k: Look) -> None:
    draw = k.chance()
    small = k.w.length < 5 or k.half
    kind = "door" if draw < 0.88 else "wide" if draw < 0.96 else "very_wide"
    k.same("none" if draw < 0.45 or small else kind, "opening_in_wall")
    k.says("opening_head", "plain_wall", "open_to_ceiling", "plain_wall", "box_or_beam")
    k.put("trim_nail_test", "header", {"deep": "deep_wood", "flat": "low_wood"})


def _around(k: Look) -> None:
    """Beams, posts, ceilings and stairs that meet the wall."""
    h, w = k.h, k.w
    draw = k.chance()
    meets = "not_touching" if k.beams_about and draw < 0.4 else "none"
    if k.beam == "dropped":
        meets = "ends_at_wall" if draw < 0.7 else "box_ends_at_wall"
    elif w.kind == "support" and draw < 0.12:
        meets = "along_line"
    peak = h.roof == "vault" and k.top and w.along_ridge and abs(w.at - k.extent / 2) < 1.0
    sloped = (h.roof == "vault" and k.top) or w.kind == "knee"
    ceiling = "slope_to_peak" if peak else "slope_one_side" if sloped else "same_both_sides"
    stair = "stairs_at_end" if w.see.get("stair_header") else "no_stairs"
    stout = "post_or_bump" if k.chance() < 0.75 else "air_behind_trim"
    post = stout if w.see.get("post") else "none"
    some = (
        meets not in ("none", "not_touching")
        or post == "post_or_bump"
        or peak
        or sloped
        or stair != "no_stairs"
    )
    k.says("round_the_wall", YES_NO[some], *YES_NO)
    k.says("beam_meets_wall", meets,
           "none", "not_touching", "along_line", "box_ends_at_wall", "ends_at_wall")  # fmt: skip
    k.says("post_at_wall", post, "none", "air_behind_trim", "post_or_bump")
    k.says("stud_cluster_found", "cluster" if k.pack else "no_cluster", "no_cluster", "cluster")
    k.says("ceiling_at_wall", ceiling, "same_both_sides", "step", "slope_one_side")
    k.says("stair_beside", stair, "no_stairs", "stairs_at_end", "on_own_stringer")
    k.says("chimney_at_wall", "none", "none", "touches", "in_wall")
    over = "over_this_wall" if w.see.get("ridge_post") else "elsewhere"
    k.says("ends_of_peak", over if sloped else "no_peak", "elsewhere", "over_this_wall")
    hangs = k.beam == "dropped" or (w.kind == "support" and k.chance() < 0.15)
    k.says(
        "opening_in_line", "hangs_down" if hangs else "none", "none", "flat_ceiling", "hangs_down"
    )
    k.same("no_pocket", "sliding_door_pocket")
    k.same("no_corner", "house_corner_in_line")


def of_low_wall(k: Look) -> None:
    """What is over a low wall; whoever took a whole wall for one sees that it reaches up."""
    hidden = k.chance() < 0.15
    over = "reaches" if not k.half or k.w.see.get("post") else "hidden" if hidden else "open_air"
    k.says("low_part_top", over, "open_air", "hidden", "reaches")
    gap_only = k.chance() < 0.2
    inches = 96.0 if not k.half else 82.0 if gap_only else 34.0 + 20.0 * k.chance()
    k.a["low_wall_height"] = k.p.length(inches)


def of_knee_wall(k: Look, reach: str) -> None:
    """Whether rafters rest on a knee wall asked about itself; a low door is not always there."""
    knee, w = k.w.kind == "knee", k.w
    door, touching = k.chance() < 0.7, k.chance() < 0.08
    on_it = w.bears or touching if knee else k.crosses and not w.see["gap_or_clips"]
    if reach != "rooms" and knee and door:
        k.says("knee_wall_top", "rests" if on_it else "gap", "gap", "gap_in_part", "rests")
    elif reach != "rooms":
        k.same(FAR, "knee_wall_top")
    if reach == "opened":
        gap = "gap" if k.holes is None else "gap_in_part"
        k.says("opened_knee_top", "rests" if on_it else gap, "gap", "gap_in_part", "rests")


def _hints(k: Look) -> None:
    """Weak signs of the way the framing runs."""
    if k.attic or (k.h.era < 1950 and k.chance() < 0.7):  # the nails of the lath are everywhere
        k.same(UNKNOWN, "ceiling_magnet")
    else:
        across, along = "across_wall", "along_both_sides"
        if k.chance() < 0.1:  # strips under the joists turn the rows
            across, along = along, across
        k.put("ceiling_magnet", "joist_run", {"across": across, "parallel": along})
    words = {"short_across": "long_side", "short_along": "short_side"}
    k.put("room_side", "room_proportion", words)
    if not k.rooms_over:
        k.put("ceiling_string", "hump", {True: "high_at_wall", False: "level"})
    if k.attic and k.w.see["size"] != "-":
        k.put("joist_size", "size", dict(SIZE))
        k.says("joist_spacing", "in_16", "in_12", "in_16", "in_24")
        k.says("joist_material", "solid_boards", "solid_boards", "i_joists")
    else:
        k.same(FAR, "joist_size", "joist_spacing", "joist_material")
    k.same(FAR, "floor_joist_size", "floor_joist_spacing")
