"""How walls were put together and finished, by what they were meant to be and by their time."""

from __future__ import annotations

from typing import Any

import numpy as np

from walltriage.lab.house.framing import clear_of
from walltriage.lab.house.model import House, Wall, other
from walltriage.lab.house.truth import fields_over, spots_on
from walltriage.lab.parameters import parameters

# IRC R602.10: greatest distance between braced wall lines, feet
BRACE_SPACING_FT = {"quakes": 25.0, "both": 25.0, "coast_wind": 60.0, "neither": 60.0}
BRACE_PLAIN_FT = 4.0


def pick(rng: np.random.Generator, shares: dict[str, float]) -> str:
    """One key, by its share."""
    names = list(shares)
    weights = np.array([shares[name] for name in names], dtype=float)
    return names[int(rng.choice(len(names), p=weights / weights.sum()))]


def finish(house: House, rng: np.random.Generator) -> None:
    """Draw every detail of every wall, in place; the frame must be complete."""
    values = parameters()["walls"]
    house.facts.setdefault("quake_or_wind", pick(rng, parameters()["house"]["seismic"]))
    plaster = house.year < 1955
    for wall in house.walls:
        _openings(wall, rng, values)
        _height(wall, rng, values)
    for wall in house.walls:
        wall.detail.setdefault("braces", "yes" if braces(house, wall) else "no")
        _body(house, wall, rng, values, plaster)
        _head(wall, rng, values)
        _time_of_building(wall, rng, values)


def _openings(wall: Wall, rng: np.random.Generator, values: dict[str, Any]) -> None:
    kind = pick(rng, values["opening"])
    room = wall.line.length - 1.0
    widest = {"none": 0.0, "door": 2.67, "wide": rng.uniform(3.2, 5.8), "very_wide": 8.0}[kind]
    if wall.opening_ft == 0.0 and widest < room:
        wall.opening_ft = round(float(widest), 2)


def _height(wall: Wall, rng: np.random.Generator, values: dict[str, Any]) -> None:
    free = wall.role == "inside" and not wall.meant and wall.height == "reaches_ceiling"
    if not free or "height_fixed" in wall.detail:
        return
    draw = rng.random()
    if draw < values["stops_short"]:
        wall.height = "stops_short"
    elif draw < values["stops_short"] + values["part_low"]:
        wall.height = "part_low"


def plain_ft(wall: Wall) -> float:
    """The longest stretch without an opening; an opening stands about two fifths along."""
    if wall.opening_ft == 0.0:
        return wall.line.length
    return max(0.0, 0.6 * (wall.line.length - wall.opening_ft))


def braces(house: House, wall: Wall) -> bool:
    """Whether the house would be left with too few lines of bracing without this wall."""
    if plain_ft(wall) < BRACE_PLAIN_FT or wall.height != "reaches_ceiling" or wall.later:
        return False
    if wall.role != "inside" or wall.level < 0:
        return wall.role in ("outside", "shared")
    return solid_apart_ft(house, wall) > BRACE_SPACING_FT[house.facts["quake_or_wind"]]


def solid_apart_ft(house: House, wall: Wall) -> float:
    """From the nearest solid wall on one side of a wall to the nearest on the other, in feet.

    Solid walls run alike, reach the ceiling and have :data:`BRACE_PLAIN_FT` without an opening;
    the outside walls count.
    """
    lines = sorted(
        other_wall.line.at
        for other_wall in house.on_level(wall.level)
        if other_wall is not wall
        and other_wall.line.axis == wall.line.axis
        and other_wall.height == "reaches_ceiling"
        and plain_ft(other_wall) >= BRACE_PLAIN_FT
        and abs(other_wall.line.at - wall.line.at) > 2.0
    )
    before = [at for at in lines if at < wall.line.at]
    after = [at for at in lines if at > wall.line.at]
    across = house.width_ft if other(wall.line.axis) == "y" else house.length_ft
    return (after[0] if after else across) - (before[-1] if before else 0.0)


def _body(
    house: House, wall: Wall, rng: np.random.Generator, values: dict[str, Any], plaster: bool
) -> None:
    key = "meant" if wall.meant else "partition"
    detail, fixed = wall.detail, dict(wall.detail)
    detail["plates"] = "two_or_more" if rng.random() < values["double_plate"][key] else "one"
    draw, thin, wide = rng.random(), values["flat_or_thin_stud"][key], values["wide_stud"][key]
    detail["stud"] = "two_by_four"
    if draw < thin:
        detail["stud"] = "flat_or_thin"
    elif draw < thin + wide:
        detail["stud"] = "two_by_six"
    draw, far = rng.random(), values["wide_spacing"][key]
    close = values["close_spacing"][key]
    detail["spacing"] = (
        "over_20_in" if draw < far else "under_14_in" if draw < far + close else "about_16_in"
    )
    spots = list(spots_on(house, wall))
    share = values["stack_of_studs"]["under_point" if spots else "elsewhere"]
    detail["pack"] = "none"
    if rng.random() < share:
        detail["pack"] = "pack_under_beam" if spots else "pack"
    braced = "braced" if detail["braces"] == "yes" and house.year >= 1970 else "other"
    detail["panel"] = "finish_only"
    if wall.role in ("outside", "once_outside", "shared"):
        detail["panel"] = "boards_or_panels"
    elif rng.random() < values["sheathing"][braced]:
        detail["panel"] = "panels_close_nails"
    detail["straps"] = "seen" if rng.random() < values["hold_downs"][braced] else "none"
    detail.update(fixed)
    if detail["stud"] == "flat_or_thin":
        kind = "thin"
    elif detail["stud"] == "two_by_six":
        kind = "plumbing"
    else:
        kind = "plaster" if plaster and not wall.later else "board"
    if wall.role in ("outside", "once_outside", "to_garage"):
        kind = "outside"
    elif wall.role in ("shared", "joins_sections"):
        kind = "shared"
    wall.thickness_in = round(float(rng.uniform(*values["thickness_in"][kind])), 2)


def _head(wall: Wall, rng: np.random.Generator, values: dict[str, Any]) -> None:
    key = "meant" if wall.meant else "partition"
    draw = rng.random()
    deep, flat = values["deep_header"][key], values["flat_header"][key]
    header = (
        "deep_built_up" if draw < deep else "flat_board" if draw < deep + flat else "one_on_edge"
    )
    wall.detail.setdefault("header", header)
    wall.detail.setdefault(
        "jacks", {"deep_built_up": "two", "one_on_edge": "two", "flat_board": "one"}[header]
    )
    to_ceiling = rng.random() < values["open_to_ceiling"][key]
    wall.detail.setdefault("to_ceiling", "yes" if to_ceiling else "no")
    wall.detail.setdefault("boxed", "yes" if rng.random() < 0.06 else "no")


def _time_of_building(wall: Wall, rng: np.random.Generator, values: dict[str, Any]) -> None:
    detail, later = wall.detail, wall.later
    on_finish = later and rng.random() < values["later_on_finish"]
    detail.setdefault("on_finish", "yes" if on_finish else "no")
    share = values["later_under_board" if later else "from_start_under_board"]
    under = rng.random() < share and not (wall.meant and not later)
    detail.setdefault("under_board", "yes" if under else "no")
    differs = rng.random() < values["later_differs" if later else "from_start_differs"]
    detail.setdefault("differs", "yes" if differs else "no")
    told = "not_sure"
    draw = rng.random()
    if later:
        old = values["later_thought_old"]
        if draw < values["later_remembered"]:
            told = "built_later"
        elif draw < values["later_remembered"] + old:
            told = "from_start"
    elif draw < values["from_start_remembered"]:
        told = "from_start"
    elif draw < values["from_start_remembered"] + 0.03:
        told = "built_later"
    detail.setdefault("told", told)


def settle(house: House, rng: np.random.Generator) -> None:
    """Let overspanned frames come down on walls put in later, before anything is finished."""
    wear = parameters()["wear"]
    for wall in house.walls:
        if not wall.later or wall.settled:
            continue
        over = any(
            clear_of(piece, wall.line.at) > field.allow_ft
            for field in fields_over(house, wall)
            if field.run != wall.line.axis
            for piece in field.pieces
        )
        share = wear["settles_when_over"] if over else wear["settles_anyway"]
        wall.settled = bool(rng.random() < share)
