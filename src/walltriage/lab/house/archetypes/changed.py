"""Houses that were changed: additions, conversions, walls taken out or put in."""

from __future__ import annotations

import numpy as np

from walltriage.lab.house.archetypes.common import archetype, free_rooms, rooms_on_line
from walltriage.lab.house.draft import Draft
from walltriage.lab.house.model import Rect, Wall


def _with_back_wall(
    rng: np.random.Generator, name: str, years: tuple[int, int]
) -> tuple[Draft, Wall, float]:
    """A one-storey house whose back wall became an inside one; returns it and the bearing line."""
    d = Draft(rng, name, years, (32, 48), (22, 30))
    walls = d.outline(0, d.main, roles={"n": "once_outside"}, ask=("n",))
    at = d.middle()
    if d.house.year >= 1968 and d.chance(0.5):
        free_rooms(d, 0, d.main)
        d.trusses(0, d.main, "y")
        d.roof(0, d.main, "trusses", "x")
    else:
        rooms_on_line(d, 0, d.main, at)
        d.joists(0, d.main, "y", [(at, "end")], "solid_boards", "attic")
        d.roof(0, d.main, "rafters", "x")
    d.base_floor(d.main, at)
    return d, walls["n"], at


def _annex(d: Draft, rect: Rect, run: str, frame: str, space: str) -> None:
    """A part added on: its own outer walls, joists and roof."""
    d.house.levels[0].append(rect)
    sides = d.outline(0, rect)
    d.house.walls.remove(sides["s"])
    cover = {"attic": "attic", "sloped_ceilings": "sloped", "flat_roof": "flat_roof"}[space]
    d.joists(0, rect, run, [], "solid_boards", cover)  # type: ignore[arg-type]
    d.roof(0, rect, frame, "x", space)


@archetype
def addition(rng: np.random.Generator) -> Draft:
    """A room added at the back; the old back wall is inside now."""
    d, old, _ = _with_back_wall(rng, "addition", (1910, 1995))
    start = d.feet(0, 8)
    rect = Rect(start, start + d.feet(14, 20), d.main.y1, d.main.y1 + d.feet(10, 16))
    _annex(d, rect, "y", "rafters", "attic")
    d.partitions(0, rect, "y", (rect.y0, rect.y1), 1)
    d.house.facts["additions"] = "one_part"
    old.opening_ft = 6.0 if d.chance(0.6) else 0.0
    if d.chance(0.5):
        d.house.subject = old.id
    return d


@archetype
def enclosed_porch(rng: np.random.Generator) -> Draft:
    """A porch closed in: low ceiling, flat or sloped roof against the old wall."""
    d, old, _ = _with_back_wall(rng, "enclosed_porch", (1905, 1985))
    rect = Rect(d.feet(0, 6), d.feet(16, 26), d.main.y1, d.main.y1 + d.feet(7, 10))
    _annex(d, rect, "y", "flat_joists", "flat_roof")
    d.house.facts["additions"] = "one_part"
    if d.chance(0.5):
        d.house.subject = old.id
    return d


@archetype
def garage_conversion(rng: np.random.Generator) -> Draft:
    """A garage turned into rooms: the wall to it bears or stands under trusses that run past."""
    d = Draft(rng, "garage_conversion", (1955, 2005), (44, 60), (22, 28), base="slab")
    split = d.feet(14, 20)
    house_part = Rect(split, d.main.x1, 0.0, d.main.y1)
    garage = Rect(0.0, split, 0.0, d.main.y1)
    d.outline(0, d.main)
    wall = d.wall(0, "y", split, 0.0, d.main.y1, role="once_outside", meant=True)
    if d.house.year >= 1968 and d.chance(0.5):
        free_rooms(d, 0, house_part)
        d.trusses(0, d.main, "y")
        d.roof(0, d.main, "trusses", "x")
    else:
        at = d.middle()
        rooms_on_line(d, 0, house_part, at)
        d.joists(0, house_part, "y", [(at, "end")], "solid_boards", "attic")
        d.joists(0, garage, "x", [], "solid_boards", "attic")
        d.roof(0, d.main, "rafters", "x")
    d.wall(0, "y", d.feet(5, split - 4), 0.0, d.feet(8, d.main.y1), later=True)
    d.wall(0, "x", d.feet(6, d.main.y1 - 6), 0.0, split, later=True)
    d.house.facts["additions"] = "one_part"
    if d.chance(0.4):
        d.house.subject = wall.id
    return d


@archetype
def removed_with_beam(rng: np.random.Generator) -> Draft:
    """A stretch of the bearing wall replaced by a beam; its end stands on what was left."""
    d = Draft(rng, "removed_with_beam", (1920, 1985), (34, 48), (22, 30))
    d.outline(0, d.main)
    at = d.middle()
    left, right = d.feet(8, 11), d.feet(20, 24)
    d.bearing_line(0, "x", at, 0.0, left)
    d.bearing_line(0, "x", at, right, d.main.x1)
    cross = d.wall(0, "y", left, at - d.feet(4, 8), at + d.feet(0.2, 6))
    d.beam("flush" if d.chance(0.5) else "dropped", 0, "x", at, left, right, new=True)
    d.partitions(0, Rect(right, d.main.x1, 0.0, d.main.y1), "y", (0.0, at, d.main.y1), 2)
    d.closets(0, d.main, "x", (d.feet(2.3, 3.2),))
    middle = Rect(left, right, 0.0, d.main.y1)
    flush = d.house.beams[-1].kind == "flush"
    d.joists(0, middle, "y", [(at, "hung" if flush else "end")], "solid_boards", "attic")
    for rect in (Rect(0.0, left, 0.0, d.main.y1), Rect(right, d.main.x1, 0.0, d.main.y1)):
        d.joists(0, rect, "y", [(at, "end")], "solid_boards", "attic")
    d.roof(0, d.main, "rafters", "x")
    d.house.facts["walls_gone"] = "with_beam"
    d.base_floor(d.main, at)
    if d.chance(0.3):
        d.house.subject = cross.id
    return d


@archetype
def removed_without_beam(rng: np.random.Generator) -> Draft:
    """One hall wall, which bore, is gone; joist ends were spliced and lean on the other."""
    d = Draft(rng, "removed_without_beam", (1930, 1980), (32, 46), (22, 27))
    d.outline(0, d.main)
    at = d.middle()
    kept = d.wall(0, "x", at, 0.0, d.main.x1)
    d.partitions(0, d.main, "y", (0.0, at, d.main.y1), 4)
    d.closets(0, d.main, "x", (d.feet(2.3, 3.2),))
    d.joists(0, d.main, "y", [(at, "through")], "solid_boards", "attic")
    d.roof(0, d.main, "rafters", "x")
    d.house.facts["walls_gone"] = "no_beam_seen"
    d.base_floor(d.main, at)
    if d.chance(0.4):
        d.house.subject = kept.id
    return d


@archetype
def wall_added_under_long_joists(rng: np.random.Generator) -> Draft:
    """A wall put in later under joists that were too long; in some houses they came down on it."""
    d = Draft(rng, "wall_added_under_long_joists", (1890, 1945), (26, 38), (15, 18.5))
    d.outline(0, d.main)
    at = d.feet(d.main.y1 * 0.35, d.main.y1 * 0.65)
    added = d.wall(0, "x", at, 0.0, d.feet(14, d.main.x1), later=True)
    d.partitions(0, d.main, "y", (0.0, d.main.y1), 3)
    d.joists(0, d.main, "y", [], "solid_boards", "attic")
    d.roof(0, d.main, "rafters", "x")
    d.base_floor(d.main, d.main.y1 / 2)
    if d.chance(0.6):
        d.house.subject = added.id
    return d
