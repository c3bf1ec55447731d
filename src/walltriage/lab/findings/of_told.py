"""Findings for what people say first: place, age and direction in words, opinions, history."""

from __future__ import annotations

from itertools import pairwise

from walltriage.lab.findings.of_house import HOUSE_FINDINGS, Finding
from walltriage.lab.findings.of_supports import held_ft
from walltriage.lab.findings.of_wall import WALL_FINDINGS
from walltriage.lab.findings.scene import Scene
from walltriage.lab.house.model import other

SAYS = {True: "all_something", False: "all_nothing"}


def _place(s: Scene) -> str | None:
    if s.level < 0:
        return None
    low, high = s.extent
    share = (s.line.at - low) / (high - low)
    off = abs(share - 0.5) + 0.12 * (s.draw("place_told") - 0.5)
    return "middle" if off < 0.14 else "in_between" if off < 0.34 else "near_edge"


def _against_front(s: Scene) -> str:
    """The front is a long side, or a short one on a narrow lot."""
    turned = s.chance("narrow_lot", s.values["short_side_to_street"])
    return "side_to_side" if (s.line.axis == "x") != turned else "front_to_back"


def _stairs(s: Scene) -> str:
    if WALL_FINDINGS["stair_beside"](s) != "no_stairs":
        return "beside"
    for hole in s.house.stairs:
        low, high = hole.area.span(other(s.line.axis))
        if hole.level in (s.level, s.level - 1) and low - 9 <= s.line.at <= high + 9:
            return "near"
    return "far"


def _believed(s: Scene) -> str | None:
    """A belief: somewhat better than a coin."""
    if not s.chance("believes", 0.6):
        return "no_idea"
    right = s.chance("believes_right", s.values["belief_right"])
    return "along" if (s.run == "along") == right else "across"


def _opinion(s: Scene) -> str | None:
    if not s.chance("opinion", s.values["opinion_told"]):
        return None
    if s.chance("opinions_differ", 0.25):
        return "differ"
    looked = _ground(s) == "saw_frame"
    shares = s.values["opinion_right"]
    right = s.chance("opinion_right", shares["looked"] if looked else shares["not_looked"])
    return SAYS[s.bears == right]


def _ground(s: Scene) -> str:
    draw = s.draw("opinion_ground")
    return "saw_frame" if draw < 0.15 else "rule_of_thumb" if draw < 0.6 else "not_told"


def _from(s: Scene) -> str:
    draw = s.draw("opinion_from")
    trade = 0.8 if _ground(s) == "saw_frame" else 0.25
    return "engineer" if draw < 0.1 * trade else "trade" if draw < trade else "owner"


def _like_houses(s: Scene) -> str:
    if not s.chance("like_houses", 0.06):
        return "none_known"
    if s.chance("like_untold", 0.3):
        return "gone_somehow"
    right = s.chance("like_right", 0.85)
    return "beam_there" if s.bears == right else "never_built"


def _wide_room(s: Scene) -> str | None:
    """Whether joists of the same field cross as far somewhere, with nothing below them."""
    one, two = held_ft(s, -1), held_ft(s, 1)
    if one is None or two is None or s.joist is None:
        return None
    run = other(s.line.axis)
    walls = [w for w in s.house.on_level(s.level) if w.line.axis == s.line.axis]
    for field in s.fields:
        if field.run != run:
            continue
        start, stop = field.area.span(s.line.axis)
        for along in (start + 2, stop - 2):
            at = sorted(
                {*field.area.span(run)}
                | {w.line.at for w in walls if w.line.start <= along <= w.line.stop}
            )
            if any(b - a >= 0.9 * (one + two) for a, b in pairwise(at)):
                return "there_is"
    return "none"


def _form(s: Scene) -> str:
    if s.wall.opening_ft < 1:
        return "window_or_niche" if s.chance("niche", 0.06) else "none"
    return "door" if s.wall.opening_ft <= 3 else "arch"


def _built_ins(s: Scene) -> str:
    if s.wall.later and s.chance("made_of_shelves", 0.15):
        return "part_of_it"
    return "against_it" if s.chance("cabinets", 0.25) else "none"


def _beam_somewhere(s: Scene) -> str:
    ends = [end for b in s.beams("dropped") for end in b.ends]
    if not ends:
        return "elsewhere" if s.chance("stray_box", 0.1) else "none"
    near = any(s.line.distance(*end) < 6 for end in ends)
    return "not_followed" if near else "elsewhere"


def _ends_at(s: Scene) -> str:
    edges = s.house.levels[s.level][0].span(s.line.axis)
    if min(abs(s.line.start - edges[0]), abs(s.line.stop - edges[1])) < 0.5:
        return "outside_at_end"
    crossing = [w.line.at for w in s.house.on_level(s.level) if w.line.axis != s.line.axis]
    met = [any(abs(at - end) < 0.6 for at in crossing) for end in (s.line.start, s.line.stop)]
    return "inside_walls" if all(met) else "one_free"


def _age(s: Scene) -> str:
    year = s.house.year
    return "new" if year >= 1985 else "middle_aged" if year >= 1945 else "old"


def _entry(s: Scene) -> str | None:
    return "plain_split" if s.house.level_kind == "split" else None


def _papers_fit(s: Scene) -> str | None:
    """Sheets older than a wall, or built otherwise than drawn, do not fit."""
    if HOUSE_FINDINGS["drawings_at_hand"](s) not in ("framing_plan", "engineer_letter"):
        return None
    if s.wall.later or s.chance("papers_outdated", s.values["papers_outdated"]):
        return "changed_since" if s.chance("change_known", 0.7) else "names_it"
    return "names_it" if s.chance("papers_name_it", 0.65) else "not_sure"


def _county(s: Scene) -> str:
    windy = ("second_row", "south_atlantic_first_row", "gulf_first_row", "florida")
    if s.house.facts.get("quake_or_wind") not in ("coast_wind", "both"):
        return "inland"
    return windy[int(s.draw("county") * len(windy))]


def _at_split(s: Scene) -> str | None:
    if s.house.level_kind != "split":
        return None
    step = s.house.facts.get("ceiling_step_at")
    return "at_split" if step == f"{s.line.axis}:{s.line.at}" else "away"


def _own_studs(s: Scene) -> str | None:
    """Inside partitions of such a house mostly stop at each floor; the outer walls do not."""
    if HOUSE_FINDINGS["studs_through_floors"](s) != "run_past":
        return None
    past = s.wall.role != "inside" or s.chance("long_inside_studs", 0.2)
    return "run_past" if past else "stop_at_floor"


def _plan(s: Scene) -> str:
    kinds = ("nothing_yet", "one_stud", "niche", "door", "part", "part", "whole", "whole")
    return kinds[int(s.draw("work_planned") * len(kinds))]


def _believed_elsewhere(s: Scene) -> str:
    """The other long wall of a hall, or a wall on the line of the girder, when this is not it."""
    meant = [w for w in s.parallel(s.level, 12.0) if w.meant]
    share = 0.5 if meant else 0.08
    return "another" if s.chance("another_believed", share) else "none_known"


TOLD_FINDINGS: dict[str, Finding] = {
    "place_told": _place,
    "against_front": _against_front,
    "stairs_near": _stairs,
    "believed_run": _believed,
    "opinion_given": _opinion,
    "opinion_ground": _ground,
    "opinion_from": _from,
    "like_houses": _like_houses,
    "wide_room_elsewhere": _wide_room,
    "wall_believed_elsewhere": _believed_elsewhere,
    "opening_form": _form,
    "beam_somewhere": _beam_somewhere,
    "wall_ends_at": _ends_at,
    "age_told": _age,
    "entry_between": _entry,
    "work_planned": _plan,
    "papers_fit": _papers_fit,
    "house_county": _county,
    "wall_at_split": _at_split,
    "own_studs": _own_studs,
    "walls_around": lambda s: "wood_frame" if s.chance("framed_around", 0.6) else "other",
    "wall_stands": lambda s: "stands",
    "gap_width": lambda s: None,
    "ceiling_dip": lambda s: None,
    "what_it_is": lambda s: "straight_wall",
    "opened_before": lambda s: "never",
    "studs_when_cut": lambda s: "not_cut",
    "built_ins": _built_ins,
}
