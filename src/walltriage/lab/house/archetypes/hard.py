"""Houses that mislead: the load hides, or the wall looks like nothing."""

from __future__ import annotations

import numpy as np

from walltriage.lab.house.archetypes.common import archetype, free_rooms, rooms_on_line
from walltriage.lab.house.archetypes.floors import two_levels
from walltriage.lab.house.draft import Draft
from walltriage.lab.house.model import Rect, Wall

THIN = {"stud": "flat_or_thin", "plates": "one", "header": "flat_board", "height_fixed": "yes"}


def _disguise(wall: Wall) -> None:
    """Make a wall look like a thin partition."""
    wall.detail.update(THIN)
    wall.meant = False


@archetype
def girder_truss_on_thin_wall(rng: np.random.Generator) -> Draft:
    """A girder truss was set down on a closet wall of thin studs."""
    d = Draft(rng, "girder_truss_on_thin_wall", (1975, 2020), (40, 58), (24, 32))
    d.outline(0, d.main)
    split, post = d.feet(16, 22), d.feet(9, 14)
    free_rooms(d, 0, Rect(split, d.main.x1, 0.0, d.main.y1))
    wall = d.wall(0, "x", post, d.feet(split - 8, split - 4), split + 0.2)
    _disguise(wall)
    d.trusses(0, Rect(split, d.main.x1, 0.0, d.main.y1), "y")
    d.trusses(0, Rect(0.0, split, 0.0, d.main.y1), "x")
    d.beam("girder_truss", 0, "y", split, 0.0, post)
    d.wall(0, "y", split, post, d.main.y1, meant=True)
    d.roof(0, d.main, "trusses", "x")
    d.house.facts["roof_shape"] = "wings"
    d.base_floor(d.main, d.middle())
    if d.chance(0.6):
        d.house.subject = wall.id
    return d


@archetype
def parallel_joists_beam_end(rng: np.random.Generator) -> Draft:
    """Joists run along the wall, yet a beam over the open room next to it ends in it."""
    d = two_levels(rng, "parallel_joists_beam_end", (1950, 2015), (22, 30))
    at = d.middle()
    x = d.feet(12, 16)
    d.bearing_line(0, "x", at, x, d.main.x1)
    wall = d.wall(0, "y", x, d.feet(1, at - 3), at + d.feet(0.2, 5))
    if d.chance(0.6):
        _disguise(wall)
    d.beam("flush", 0, "x", at, 0.0, x)
    d.partitions(0, Rect(x, d.main.x1, 0, d.main.y1), "y", (0.0, at, d.main.y1), 2)
    d.closets(0, d.main, "x", (d.feet(2.3, 3.2),))
    d.joists(0, Rect(0.0, x, 0.0, d.main.y1), "y", [(at, "hung")], "solid_boards", "rooms")
    d.joists(0, Rect(x, d.main.x1, 0.0, d.main.y1), "y", [(at, "end")], "solid_boards", "rooms")
    free_rooms(d, 1, d.main)
    d.trusses(1, d.main, "y")
    d.roof(1, d.main, "trusses", "x")
    d.base_floor(d.main, at)
    if d.chance(0.6):
        d.house.subject = wall.id
    return d


@archetype
def hidden_strut(rng: np.random.Generator) -> Draft:
    """A strut comes down behind a boarded part of the attic: nobody sees it.

    The boards show that part of the wall's top is out of sight.
    """
    d = Draft(rng, "hidden_strut", (1905, 1970), (32, 48), (22, 30))
    d.outline(0, d.main)
    at = d.middle()
    rooms_on_line(d, 0, d.main, at)
    x = d.feet(12, 20)
    cross = d.wall(0, "y", x, at, d.main.y1)
    d.joists(0, d.main, "y", [(at, "end")], "solid_boards", "attic")
    d.point("strut", 0, x, d.feet(at + 2, d.main.y1 - 4), seen=False)
    d.house.facts["traced"] = "part"
    d.roof(0, d.main, "rafters", "x")
    d.base_floor(d.main, at)
    if d.chance(0.6):
        d.house.subject = cross.id
    return d


@archetype
def joists_turn(rng: np.random.Generator) -> Draft:
    """Joists change direction over one room; a cross wall there holds their ends."""
    d = Draft(rng, "joists_turn", (1920, 1985), (34, 48), (22, 28))
    d.outline(0, d.main)
    at, turn = d.middle(), d.feet(11, 15)
    rest = Rect(turn, d.main.x1, 0.0, d.main.y1)
    rooms_on_line(d, 0, rest, at)
    cross = d.wall(0, "y", turn, 0.0, d.main.y1, meant=d.chance(0.5))
    d.joists(0, Rect(0.0, turn, 0.0, d.main.y1), "x", [], "solid_boards", "attic")
    d.joists(0, rest, "y", [(at, "end")], "solid_boards", "attic")
    d.wall(0, "x", d.feet(6, d.main.y1 - 6), 0.0, turn)
    d.roof(0, d.main, "rafters", "x")
    d.base_floor(d.main, at)
    if d.chance(0.5):
        d.house.subject = cross.id
    return d


@archetype
def added_wall_loaded_later(rng: np.random.Generator) -> Draft:
    """A partition put in later, and later still a machine, a prop or a wall set on it."""
    d = Draft(rng, "added_wall_loaded_later", (1940, 1990), (32, 46), (22, 28))
    d.outline(0, d.main)
    at = d.middle()
    rooms_on_line(d, 0, d.main, at)
    x = d.feet(10, 20)
    added = d.wall(0, "y", x, 0.0, at, later=True)
    added.settled = True
    d.joists(0, d.main, "y", [(at, "end")], "solid_boards", "attic")
    d.roof(0, d.main, "rafters", "x")
    kind = ("machine", "strut", "beam_end")[int(rng.integers(0, 3))]
    d.point(kind, 0, x, d.feet(2, at - 2))  # type: ignore[arg-type]
    d.base_floor(d.main, at)
    if d.chance(0.7):
        d.house.subject = added.id
    return d


@archetype
def short_wall_heavy_above(rng: np.random.Generator) -> Draft:
    """Something very heavy stands on the level above, over a plain partition."""
    d = two_levels(rng, "short_wall_heavy_above", (1960, 2015), (22, 28))
    at = d.middle()
    rooms_on_line(d, 0, d.main, at)
    free_rooms(d, 1, d.main)
    y = at + d.feet(4, 6)
    wall = d.wall(0, "x", y, d.feet(4, 8), d.feet(16, 22))
    x = d.feet(wall.line.start + 1, wall.line.stop - 1)
    heavy = d.chance(0.5)
    d.point("very_heavy" if heavy else "bath", 0, x, y)
    d.joists(0, d.main, "y", [(at, "end")], "solid_boards", "rooms")
    d.trusses(1, d.main, "y")
    d.roof(1, d.main, "trusses", "x")
    d.base_floor(d.main, at)
    if d.chance(0.6):
        d.house.subject = wall.id
    return d


@archetype
def twin_lines_wide_house(rng: np.random.Generator) -> Draft:
    """A wide house with two bearing lines, each a third in, and a plain wall in the middle."""
    d = Draft(rng, "twin_lines_wide_house", (1930, 1985), (36, 52), (34, 42))
    d.outline(0, d.main)
    first = d.main.y1 / 3 + d.feet(-1, 1)
    second = 2 * d.main.y1 / 3 + d.feet(-1, 1)
    for at in (first, second):
        d.bearing_line(0, "x", at, 0.0, d.main.x1)
    d.partitions(0, d.main, "y", (0.0, first, second, d.main.y1), 4)
    d.wall(0, "x", (first + second) / 2 + d.feet(-2, 2), d.feet(4, 8), d.feet(20, 30))
    d.joists(0, d.main, "y", [(first, "end"), (second, "end")], "solid_boards", "attic")
    d.roof(0, d.main, "rafters", "x")
    if d.chance(0.5):
        d.struts(0, d.main, [first, second])
    d.base_floor(d.main, first)
    return d
