"""Row houses, factory halves, garages, chimneys, and walls that brace."""

from __future__ import annotations

import numpy as np

from walltriage.lab.house.archetypes.common import archetype, free_rooms, rooms_on_line
from walltriage.lab.house.draft import Draft
from walltriage.lab.house.finish import pick
from walltriage.lab.house.model import Rect


@archetype
def row_house(rng: np.random.Generator) -> Draft:
    """Joists from party wall to party wall; most inner walls run across and carry nothing."""
    d = Draft(rng, "row_house", (1890, 1990), (28, 40), (15, 19), 2)
    for level in (0, 1):
        d.outline(level, d.main, roles={"s": "shared", "n": "shared"}, ask=("s",))
        d.partitions(level, d.main, "y", (0.0, d.main.y1), 3)
        side = d.feet(3.0, 4.5)
        d.wall(level, "x", side, d.feet(6, 10), d.feet(18, 24))
    d.joists(0, d.main, "y", [], "solid_boards", "rooms")
    d.joists(1, d.main, "y", [], "solid_boards", "flat_roof")
    d.roof(1, d.main, "flat_joists", "x", "flat_roof")
    d.house.facts["house_kind"] = "attached"
    d.house.facts["walls_made_of"] = pick(rng, {"solid_masonry": 0.4, "wood_frame": 0.3,
                                                "brick_skin": 0.3})  # fmt: skip
    d.base_floor(d.main, d.main.y1 / 2)
    return d


@archetype
def factory_halves(rng: np.random.Generator) -> Draft:
    """Two factory-built halves; the joining line carries both roofs, posts at its openings."""
    d = Draft(rng, "factory_halves", (1972, 2022), (40, 60), (24, 30), base="crawl_space")
    d.outline(0, d.main)
    at = d.main.y1 / 2
    line = d.bearing_line(0, "x", at, 0.0, d.main.x1, gaps=2, role="joins_sections")
    for half in ((0.0, at), (at, d.main.y1)):
        d.partitions(0, Rect(0.0, d.main.x1, *half), "y", half, 2)
        d.joists(0, Rect(0.0, d.main.x1, *half), "y", [], "solid_boards", "attic")
    d.roof(0, d.main, "rafters", "x")
    d.house.facts["house_kind"] = "factory_joined"
    if d.chance(0.4):
        d.house.subject = line[0].id
    return d


@archetype
def attached_garage(rng: np.random.Generator) -> Draft:
    """A garage under a roof of its own; the wall between carries its joists or a truss end."""
    d = Draft(rng, "attached_garage", (1955, 2020), (46, 62), (24, 30))
    split = d.feet(20, 24)
    garage, rest = Rect(0.0, split, 0.0, d.main.y1), Rect(split, d.main.x1, 0.0, d.main.y1)
    d.outline(0, d.main)
    free = d.house.year >= 1968
    between = d.wall(0, "y", split, 0.0, d.main.y1, role="to_garage", meant=True)
    between.detail["garage"] = "yes"
    if free:
        free_rooms(d, 0, rest)
        d.trusses(0, rest, "y")
        d.trusses(0, garage, "x" if d.chance(0.5) else "y")
        d.roof(0, d.main, "trusses", "x")
    else:
        at = d.middle()
        rooms_on_line(d, 0, rest, at)
        d.joists(0, rest, "y", [(at, "end")], "solid_boards", "attic")
        d.joists(0, garage, "x", [], "solid_boards", "attic")
        d.roof(0, d.main, "rafters", "x")
    if d.chance(0.4):
        d.house.subject = between.id
    return d


@archetype
def chimney_house(rng: np.random.Generator) -> Draft:
    """A brick chimney cut off below and left standing on a wall, or on its own footing."""
    d = Draft(rng, "chimney_house", (1890, 1950), (28, 42), (18, 26), 2)
    for level in (0, 1):
        d.outline(level, d.main)
    at = d.middle()
    rooms_on_line(d, 0, d.main, at)
    rooms_on_line(d, 1, d.main, at)
    d.joists(0, d.main, "y", [(at, "end")], "solid_boards", "rooms")
    d.joists(1, d.main, "y", [(at, "end")], "solid_boards", "attic")
    x, y = d.feet(10, 16), d.feet(4, at - 2)
    wall = d.wall(0, "y", x, 0.0, at)
    wall.detail["chimney"] = "touches"
    if d.chance(0.5):
        d.point("chimney", 0, x, y)
        wall.detail["chimney"] = "in_wall"
    d.roof(1, d.main, "rafters", "x")
    d.base_floor(d.main, at)
    if d.chance(0.5):
        d.house.subject = wall.id
    return d


@archetype
def brace_wall_house(rng: np.random.Generator) -> Draft:
    """A long truss house in earthquake country: one cross wall is a designed brace."""
    d = Draft(rng, "brace_wall_house", (1975, 2022), (52, 64), (26, 34))
    d.outline(0, d.main)
    d.house.facts["quake_or_wind"] = "quakes" if d.chance(0.8) else "coast_wind"
    x = d.feet(0.4 * d.main.x1, 0.6 * d.main.x1)
    wall = d.wall(0, "y", x, 0.0, d.feet(14, d.main.y1))
    wall.opening_ft = 0.01  # no opening; closes the draw
    wall.detail["braces"] = "yes"
    wall.detail["height_fixed"] = "yes"
    d.wall(0, "x", d.feet(9, 16), 0.0, d.feet(12, x))
    d.closets(0, d.main, "x", (d.feet(2.3, 9.0),))
    d.partitions(0, d.main, "y", (d.main.y1 - d.feet(5, 9), d.main.y1), 2)
    d.trusses(0, d.main, "y")
    d.roof(0, d.main, "trusses", "x")
    d.base_floor(d.main, d.middle())
    if d.chance(0.5):
        d.house.subject = wall.id
    return d
