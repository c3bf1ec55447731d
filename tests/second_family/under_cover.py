"""What is told with the ceiling and the wall opened, in the second family."""

from __future__ import annotations

from tests.second_family.look import FAR, UNKNOWN, Look
from tests.second_family.near import SIZE
from tests.second_family.places import ends_of_joists


def of_opened(k: Look) -> None:
    """Holes and covers taken off at the right place."""
    w = k.w
    way = {True: "across", False: "along"}[k.crosses]
    if k.h.roof == "vault" and k.top:
        k.same(UNKNOWN, "fixture_peek")
    else:
        k.says("fixture_peek", f"{way}_wall", "along_wall", "across_wall")
        k.says("opened_joist_run", way, "along", "across")
    free = k.half or not k.crosses or bool(w.see["gap_or_clips"])
    laps = w.kind == "support" and k.laps_through_holes()
    touching = "end_or_lap" if laps else "run_through"
    k.says("opened_joist_end", "gap_or_none" if free else touching,
           "gap_or_none", "run_through", "end_or_lap")  # fmt: skip
    extent = "whole_top" if k.holes is None else "some_holes"
    k.says("opened_extent", extent, "whole_top", "some_holes")
    _measured(k)
    ends_of_joists(k, "opened_ends")
    later = w.kind == "later"
    k.says("board_over_plate", "runs_over" if later else "stops_at_wall",
           "runs_over", "stops_at_wall")  # fmt: skip
    if not k.half:
        k.says("opened_top", _top(k, laps, free), "clear_all_along", "passed_over", "seen_in_part")
    reached = (laps and not k.half) or w.see.get("post")
    over = "ends_on_it" if reached else "finish_only" if free else "passed_over"
    k.says("over_post_top", over, "finish_only", "passed_over", "ends_on_it")
    foot = "on_finish" if w.see["finish_runs_over"] else "on_rough_floor"
    k.says("plate_on_finish", foot, "on_finish", "on_rough_floor")
    k.put("top_plate", "top_plates", {"double": "two_or_more", "single": "one"})
    k.put("header_kind", "header", {"deep": "deep_built_up", "flat": "flat_board"})
    pack = "pack_under_beam" if k.beam else "pack"
    shows = k.pack and k.through_holes()
    k.says("stud_pack", pack if shows else "none", "none", "pack", "pack_under_beam")
    ends = "ends_here" if k.beam == "flush" and k.through_holes() else "none"
    k.says("hidden_beam", ends, "none", "along_wall", "ends_here")
    k.says("panel_on_studs", "boards_or_panels" if w.braced else "finish_only",
           "finish_only", "boards_or_panels")  # fmt: skip
    k.says("blade_test", "slides" if free else "tight", "slides", "tight")
    k.says("stud_age", "newer" if later else "same_kind", "newer", "same_kind")
    k.same("two_by_four", "stud_size")
    k.same("about_16_in", "stud_spacing")
    k.same("none", "ribbon_board", "slanted_in_wall", "siding_inside", "ties_in_wall",
           "steel_in_wall", "hung_on_face", "blocks_in_wall", "wall_filled")  # fmt: skip
    k.same("stop_at_floor", "studs_past_floor")
    k.same("not_tied", "hangs_from_above")
    k.same("one", "two_walls")
    under = "in_line" if w.kind == "support" else "not_in_line"
    k.says("studs_under_joists", under, "in_line", "not_in_line")


def _measured(k: Look) -> None:
    """What shows in a hole can be told apart and measured; all joists are 16 in apart here."""
    trusses = k.h.roof == "truss" and k.top and not k.rooms_over
    frame = "solid_boards" if not trusses else "other" if k.h.gussets else "trusses"
    k.says("opened_frame", frame, "trusses", "i_joists", "other", "solid_boards")
    size = SIZE.get(str(k.w.see["size"]))
    if size is None:
        k.same(FAR, "opened_joist_size", "opened_joist_spacing")
    else:
        k.says("opened_joist_size", size, *SIZE.values())
        k.says("opened_joist_spacing", "in_16", "in_12", "in_16", "in_24")


def _top(k: Look, laps: bool, free: bool) -> str:
    """The strongest thing on the top that shows through the holes."""
    see = k.w.see
    if laps:
        return "board_ends"
    if k.through_holes() and (see["beam_end"] or see["girder"]):
        return "beam_end"
    if k.through_holes() and see["strut_lands"]:
        return "prop_foot"
    if not free:
        return "passed_over"
    return "clear_all_along" if k.holes is None else "seen_in_part"
