"""Walls that bear over part of their length, or at one spot that may lie anywhere along them."""

from __future__ import annotations

import numpy as np

from walltriage.lab.house.archetypes.common import archetype, free_rooms, rooms_on_line
from walltriage.lab.house.archetypes.floors import two_levels
from walltriage.lab.house.draft import Draft
from walltriage.lab.house.model import Rect

LEAST_FROM_END_FT = 0.5


@archetype
def load_somewhere(rng: np.random.Generator) -> Draft:
    """A partition along the joists with one load on it, anywhere along its length.

    Under an attic it is a strut or a beam's end, half of them out of sight; under rooms a post
    that comes down inside a wall upstairs.
    """
    rooms = rng.random() < 0.35
    if rooms:
        d = two_levels(rng, "load_somewhere", (1925, 2010), (22, 30))
    else:
        d = Draft(rng, "load_somewhere", (1905, 1985), (32, 48), (22, 30))
        d.outline(0, d.main)
    at = d.middle()
    rooms_on_line(d, 0, d.main, at)
    x = d.feet(10, 22)
    low, high = (0.0, at) if d.chance(0.5) else (at, d.main.y1)
    wall = d.wall(0, "y", x, low, high)
    spot = d.feet(low + LEAST_FROM_END_FT, high - LEAST_FROM_END_FT)
    d.joists(0, d.main, "y", [(at, "end")], "solid_boards", "rooms" if rooms else "attic")
    if rooms:
        free_rooms(d, 1, d.main)
        d.trusses(1, d.main, "y")
        d.roof(1, d.main, "trusses", "x")
        d.point("post", 0, x, spot, seen=False)
    else:
        d.roof(0, d.main, "rafters", "x")
        hidden = d.chance(0.5)
        d.point("strut" if d.chance(0.6) else "beam_end", 0, x, spot, seen=not hidden)
        if hidden:
            d.house.facts["traced"] = "part"
    d.base_floor(d.main, at)
    if d.chance(0.7):
        d.house.subject = wall.id
    return d


@archetype
def laps_over_part(rng: np.random.Generator) -> Draft:
    """Joists lap on the first part of a wall; past a cross wall they run along it."""
    d = Draft(rng, "laps_over_part", (1920, 1985), (36, 50), (22, 28))
    d.outline(0, d.main)
    at = d.middle()
    split = d.main.x1 - d.feet(11, 14)
    start = split - d.feet(3, 9)
    d.bearing_line(0, "x", at, 0.0, start)
    wall = d.wall(0, "x", at, start, split + d.feet(4, 10), meant=True)
    d.wall(0, "y", split, 0.0, d.main.y1, meant=True)
    first = Rect(0.0, split, 0.0, d.main.y1)
    d.joists(0, first, "y", [(at, "end")], "solid_boards", "attic")
    d.joists(0, Rect(split, d.main.x1, 0.0, d.main.y1), "x", [], "solid_boards", "attic")
    d.partitions(0, first, "y", (0.0, at, d.main.y1), 3)
    d.closets(0, first, "x", (d.feet(2.3, 3.2),))
    d.roof(0, d.main, "rafters", "x")
    d.base_floor(d.main, at)
    if d.chance(0.5):
        d.house.subject = wall.id
    return d
