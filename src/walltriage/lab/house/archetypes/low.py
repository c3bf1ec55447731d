"""Walls that look as if they could not bear: low walls under posts, knee walls in the roof."""

from __future__ import annotations

import numpy as np

from walltriage.lab.house.archetypes.common import archetype, rooms_on_line
from walltriage.lab.house.draft import Draft
from walltriage.lab.house.model import Rect


@archetype
def post_on_low_wall(rng: np.random.Generator) -> Draft:
    """A low wall in an open room: a post stands on it and holds up a beam, or only trims it."""
    d = Draft(rng, "post_on_low_wall", (1950, 2012), (34, 50), (22, 30))
    d.outline(0, d.main)
    at = d.middle()
    end = d.feet(14, 20)
    d.bearing_line(0, "x", at, end, d.main.x1)
    carries = d.chance(0.6)
    middle = d.feet(6, end - 5)
    if carries or d.chance(0.5):  # across the beam, so that no joist ends lie over it
        low = d.wall(0, "y", middle, at - d.feet(1, 5), at + d.feet(0.4, 4))
    else:
        low = d.wall(0, "x", at + d.feet(3, 6), middle - d.feet(0.3, 3), end - 2)
    low.height = "stops_short" if d.chance(0.3) else "part_low"
    low.detail["height_fixed"] = "yes"
    if carries:
        d.beam("dropped", 0, "x", at, 0.0, middle)
        d.beam("dropped", 0, "x", at, middle, end)
        d.point("post", 0, middle, at)
    else:
        d.beam("dropped", 0, "x", at, 0.0, end)
    d.partitions(0, Rect(end, d.main.x1, 0.0, d.main.y1), "y", (0.0, at, d.main.y1), 2)
    d.closets(0, Rect(end, d.main.x1, 0.0, d.main.y1), "x", (d.feet(2.3, 3.2),))
    d.joists(0, d.main, "y", [(at, "end")], "solid_boards", "attic")
    d.roof(0, d.main, "rafters", "x")
    d.base_floor(d.main, at)
    if d.chance(0.75):
        d.house.subject = low.id
    return d


@archetype
def roof_room_knee_wall(rng: np.random.Generator) -> Draft:
    """A room in the roof, asked about from within: its knee wall holds up the rafters or not.

    Its flat ceiling is nailed to the rafters, so nothing but the rafters can rest on that wall.
    """
    d = Draft(rng, "roof_room_knee_wall", (1900, 1965), (26, 40), (22, 28), 1,
              level_kind="one_and_half")  # fmt: skip
    d.outline(0, d.main)
    at = d.middle()
    rooms_on_line(d, 0, d.main, at)
    back = d.feet(4.0, 6.0)
    upper = Rect(0.0, d.main.x1, back, d.main.y1 - back)
    d.house.levels[1] = [upper]
    carries = d.chance(0.7)
    knees = []
    for line in (upper.y0, upper.y1):
        d.knee_wall(0, "x", line, 0.0, d.main.x1, carries)
        start = d.feet(0.0, 6.0)
        knee = d.wall(1, "x", line, start, d.feet(start + 8, d.main.x1), meant=carries)
        knee.detail["knee"] = "carries" if carries else "closes_off"
        knee.detail["height_fixed"] = "yes"
        knees.append(knee)
    d.joists(0, d.main, "y", [(at, "end")], "solid_boards", "rooms")
    d.partitions(1, upper, "y", (upper.y0, upper.y1), 2)
    for low, high in ((upper.y0, upper.y0 + 4), (upper.y1 - 4, upper.y1)):
        d.roof(1, Rect(0.0, d.main.x1, low, high), "rafters", "x", "sloped_ceilings")
    d.roof(1, upper, "rafters", "x", "rooms_in_roof")
    for low, high in ((0.0, upper.y0), (upper.y1, d.main.y1)):
        d.roof(0, Rect(0.0, d.main.x1, low, high), "rafters", "x", "rooms_in_roof")
    d.base_floor(d.main, at)
    if d.chance(0.8):
        d.house.subject = knees[int(d.chance(0.5))].id
    return d
