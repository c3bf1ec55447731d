"""Findings for the questions asked once about the house."""

from __future__ import annotations

from collections.abc import Callable

from walltriage.lab.findings.scene import Scene

Found = str | float | None
Finding = Callable[[Scene], Found]
HIDDEN = "out_of_reach"


def _top_space(s: Scene) -> str:
    spaces = {part.space for part in s.house.roof_parts}
    if spaces == {"attic"}:
        return "attic"
    if "rooms_in_roof" in spaces:
        return "rooms_in_roof"
    return spaces.pop() if len(spaces) == 1 else "several_kinds"


def _levels(s: Scene) -> str:
    return s.house.level_kind


def _ridge(s: Scene) -> str:
    axes = {part.ridge for part in s.house.roof_parts if part.frame != "flat_joists"}
    if not axes:
        return "no_ridge"
    if len(axes) == 2:
        return "several"
    along = axes.pop() == "x"
    return "along_length" if along == (s.house.length_ft >= s.house.width_ft) else "along_width"


def _frame(s: Scene) -> str:
    if not s.attic_open or _top_space(s) == "flat_roof":
        return HIDDEN
    frames = {part.frame for part in s.house.roof_parts if part.space in ("attic", "rooms_in_roof")}
    if not frames:
        return HIDDEN
    return frames.pop() if len(frames) == 1 else "several_kinds"


def _plates(s: Scene) -> str | None:
    frame = _frame(s)
    if frame == HIDDEN:
        return HIDDEN
    plated = any(part.plates for part in s.house.roof_parts)
    return "plates" if plated else "no_plates"


def _studs(s: Scene) -> str:
    past = s.house.facts.get("studs_through_floors", "stop_at_floor")
    return past if s.chance("studs_seen", 0.6) else HIDDEN


def _papers(s: Scene) -> str:
    draw = s.draw("papers")
    plan = s.values["framing_plan"][s.era]
    letter = s.values["engineer_letter"]
    if draw < letter:
        return "engineer_letter"
    if draw < letter + plan:
        return "framing_plan"
    return "room_plan" if draw < letter + plan + s.values["room_plan"] else "none"


def _papers_say(s: Scene) -> str | None:
    if _papers(s) not in ("framing_plan", "engineer_letter"):
        return None
    if s.chance("papers_silent", s.values["papers_silent"]):
        return "not_clear"
    framing = s.paths["framing_above"] or s.paths["point_load"] or s.paths["roof_struts"]
    if s.wall.later:  # the sheets are older than the wall
        return "not_clear"
    rests = framing != s.chance("papers_outdated", s.values["papers_outdated"])
    return "something_rests" if rests else "carries_nothing"


def _papers_bracing(s: Scene) -> str | None:
    if _papers(s) not in ("framing_plan", "engineer_letter"):
        return None
    return "marked" if s.paths["bracing"] and s.house.year >= 1975 else "not_marked"


def _snow(s: Scene) -> float:
    return float(s.values["snow_psf"][int(s.draw("snow") * 5)])


def _cover(s: Scene) -> str:
    if _top_space(s) == "flat_roof":
        return "flat_sheet"
    if s.chance("tiles", s.values["heavy_roof"]):
        return "tile_or_slate"
    return "metal" if s.chance("metal", 0.1) else "shingles"


def _base(s: Scene) -> str:
    return s.house.base


def _middle(s: Scene) -> str:
    if s.house.base == "slab":
        return HIDDEN
    if not s.below_open:
        return HIDDEN
    axes = {b.line.axis for b in s.house.beams if b.kind == "girder"}
    axes |= {w.line.axis for w in s.house.on_level(-1) if w.meant and w.role == "inside"}
    if not axes:
        return "no_line"
    if len(axes) == 2:
        return "several_lines"
    return "along_length" if axes == {"x"} else "along_width"


def _shape(s: Scene) -> str:
    if _top_space(s) == "flat_roof":
        return "one_slope"
    return s.house.facts.get("roof_shape", "hip" if s.chance("hip", 0.15) else "gable")


def _rot(s: Scene) -> str:
    return "some_seen" if s.chance("rot", 0.06 if s.house.year < 1960 else 0.02) else "none_seen"


def _damage(s: Scene) -> str | None:
    if _rot(s) == "none_seen":
        return None
    return "at_wall" if s.chance("rot_here", 0.3) else "elsewhere"


def _texture(s: Scene) -> str:
    if s.house.year < 1950:
        return "plaster"
    return "bumpy" if s.house.year < 1990 and s.chance("bumpy", 0.4) else "smooth_board"


def _fill(s: Scene) -> str:
    if not s.attic_open:
        return HIDDEN
    kinds = ("batts", "fluff", "fluff", "pebbles", "bare")
    return kinds[int(s.draw("fill") * 5)]


def _additions(s: Scene) -> str:
    forgotten = s.house.facts["forgotten"] == "yes"
    return "none_known" if forgotten else s.house.facts["additions"]


def _open_sides(s: Scene) -> str:
    draw = s.draw("sides")
    return "mostly_solid" if draw < 0.8 else "one_side_open" if draw < 0.97 else "two_sides_open"


def _fact(name: str, default: str) -> Finding:
    return lambda s: s.house.facts.get(name, default)


HOUSE_FINDINGS: dict[str, Finding] = {
    "house_kind": _fact("house_kind", "detached"),
    "walls_made_of": _fact("walls_made_of", "wood_frame"),
    "year_built": lambda s: float(s.house.year),
    "levels_in_house": _levels,
    "top_space": _top_space,
    "base_of_house": _base,
    "house_width": lambda s: 12 * min(s.house.width_ft, s.house.length_ft),
    "house_length": lambda s: 12 * max(s.house.width_ft, s.house.length_ft),
    "ridge_direction": _ridge,
    "roof_shape": _shape,
    "ground_snow": _snow,
    "roof_covering": _cover,
    "attic_frame": _frame,
    "truss_plates": _plates,
    "studs_through_floors": _studs,
    "additions": _additions,
    "walls_gone": _fact("walls_gone", "none_known"),
    "drawings_at_hand": _papers,
    "papers_say": _papers_say,
    "papers_bracing": _papers_bracing,
    "quake_or_wind": _fact("quake_or_wind", "neither"),
    "ridge_look": _fact("ridge_look", "straight"),
    "crack_kind": lambda s: s.detail.get("crack", "none"),
    "recent_change": _fact("recent_change", "no_change"),
    "rot_or_insects": _rot,
    "damage_at_wall": _damage,
    "attic_fill": _fill,
    "ceiling_texture": _texture,
    "middle_support": _middle,
    "outer_walls_open": _open_sides,
}
