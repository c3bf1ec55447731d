"""Houses of more than one level: stacked lines, beams, engineered floors, stairs, split levels."""

from __future__ import annotations

import numpy as np

from walltriage.lab.house.archetypes.common import (
    archetype,
    free_rooms,
    hall_pair,
    rooms_on_line,
)
from walltriage.lab.house.draft import Draft
from walltriage.lab.house.model import Cover, Rect


def two_levels(
    rng: np.random.Generator,
    name: str,
    years: tuple[int, int],
    width: tuple[float, float],
    **more: object,
) -> Draft:
    """Outline of a two-level house with the same plan on both."""
    d = Draft(rng, name, years, (28, 44), width, 2, **more)  # type: ignore[arg-type]
    for level in (0, 1):
        d.outline(level, d.main)
    return d


def upper_roof(d: Draft, at: float) -> None:
    """The top ceiling and roof: trusses since the sixties more and more, else rafters."""
    if d.house.year >= 1968 and d.chance(0.7):
        d.trusses(1, d.main, "y")
        d.roof(1, d.main, "trusses", "x")
    else:
        d.joists(1, d.main, "y", [(at, "end")], "solid_boards", "attic")
        d.roof(1, d.main, "rafters", "x")


@archetype
def platform_stacked(rng: np.random.Generator) -> Draft:
    """Two levels, one bearing line above the other."""
    d = two_levels(rng, "platform_stacked", (1925, 2005), (22, 30))
    at = d.middle()
    rooms_on_line(d, 0, d.main, at, gaps=int(d.chance(0.4)))
    rooms_on_line(d, 1, d.main, at)
    d.joists(0, d.main, "y", [(at, "end")], "solid_boards", "rooms")
    d.joists(1, d.main, "y", [(at, "end")], "solid_boards", "attic")
    d.roof(1, d.main, "rafters", "x")
    d.base_floor(d.main, at)
    return d


@archetype
def platform_offset(rng: np.random.Generator) -> Draft:
    """Two levels; the upper line stands off the lower one by a joist depth or more."""
    d = two_levels(rng, "platform_offset", (1925, 2005), (22, 30))
    at = d.middle()
    rooms_on_line(d, 0, d.main, at)
    above = at + d.feet(0.2, 2.5) * (1 if d.chance(0.5) else -1)
    rooms_on_line(d, 1, d.main, above)
    d.joists(0, d.main, "y", [(at, "end")], "solid_boards", "rooms")
    d.joists(1, d.main, "y", [(above, "end")], "solid_boards", "attic")
    d.roof(1, d.main, "rafters", "x")
    d.base_floor(d.main, at)
    return d


@archetype
def balloon(rng: np.random.Generator) -> Draft:
    """Studs through two levels, floors on boards let into them, an inner line that bears."""
    d = two_levels(rng, "balloon", (1880, 1928), (20, 26))
    at = d.middle()
    for level in (0, 1):
        rooms_on_line(d, level, d.main, at)
        for wall in d.house.on_level(level):
            if wall.role == "outside":
                wall.detail["ribbon"] = "seen"
    d.joists(0, d.main, "y", [(at, "end")], "solid_boards", "rooms")
    d.joists(1, d.main, "y", [(at, "end")], "solid_boards", "attic")
    d.roof(1, d.main, "rafters", "x")
    d.house.facts["studs_through_floors"] = "run_past"
    d.base_floor(d.main, at)
    return d


@archetype
def i_joist_floor(rng: np.random.Generator) -> Draft:
    """I-joists over the whole width or continuous over a line."""
    d = two_levels(rng, "i_joist_floor", (1992, 2023), (26, 36))
    at = d.middle()
    rooms_on_line(d, 0, d.main, at, gaps=1, beam="flush" if d.chance(0.5) else "dropped")
    free_rooms(d, 1, d.main)
    d.joists(0, d.main, "y", [(at, "through" if d.chance(0.7) else "end")], "i_joists", "rooms")
    d.trusses(1, d.main, "y")
    d.roof(1, d.main, "trusses", "x")
    d.base_floor(d.main, at)
    return d


@archetype
def floor_truss_house(rng: np.random.Generator) -> Draft:
    """Floor trusses that clear the whole width; partitions below carry nothing."""
    d = two_levels(rng, "floor_truss_house", (1985, 2023), (20, 26))
    free_rooms(d, 0, d.main)
    free_rooms(d, 1, d.main)
    d.joists(0, d.main, "y", [], "floor_trusses", "rooms")
    d.trusses(1, d.main, "y")
    d.roof(1, d.main, "trusses", "x")
    d.base_floor(d.main, d.middle())
    return d


@archetype
def dropped_beam(rng: np.random.Generator) -> Draft:
    """A beam below the joists over an open room, in line with a wall that goes on."""
    d = two_levels(rng, "dropped_beam", (1940, 2010), (22, 30))
    at = d.middle()
    end = d.feet(12, 16)
    d.bearing_line(0, "x", at, end, d.main.x1)
    d.beam("dropped", 0, "x", at, 0.0, end)
    d.partitions(0, d.main, "y", (0.0, at, d.main.y1), 3)
    d.wall(0, "x", at + d.feet(3.0, 9.0), d.feet(14, 18), d.main.x1)
    rooms_on_line(d, 1, d.main, at)
    d.joists(0, d.main, "y", [(at, "end")], "solid_boards", "rooms")
    upper_roof(d, at)
    d.base_floor(d.main, at)
    return d


@archetype
def flush_beam(rng: np.random.Generator) -> Draft:
    """A beam level with the joists, hangers on both faces, its ends in two cross walls."""
    d = two_levels(rng, "flush_beam", (1965, 2023), (22, 30))
    at = d.middle()
    left, right = d.feet(5, 8), d.feet(17, 20)
    d.bearing_line(0, "x", at, right, d.main.x1)
    d.bearing_line(0, "x", at, 0.0, left)
    for x in (left, right):
        long = d.chance(0.5)
        d.wall(0, "y", x, 0.0 if long else at - 3, d.main.y1, meant=True)
    d.beam("flush", 0, "x", at, left, right)
    if d.chance(0.5):
        d.wall(0, "x", at + d.feet(-0.2, 0.2), left, d.feet(left + 4, right), later=True)
    d.closets(0, d.main, "x", (d.feet(2.3, 3.2),))
    d.partitions(0, Rect(right, d.main.x1, 0, d.main.y1), "y", (0.0, at, d.main.y1), 1)
    rect = Rect(left, right, 0.0, d.main.y1)
    d.joists(0, rect, "y", [(at, "hung")], "solid_boards", "rooms")
    for side in (Rect(0.0, left, 0.0, d.main.y1), Rect(right, d.main.x1, 0.0, d.main.y1)):
        d.joists(0, side, "y", [(at, "end")], "solid_boards", "rooms")
    free_rooms(d, 1, d.main)
    d.trusses(1, d.main, "y")
    d.roof(1, d.main, "trusses", "x")
    d.base_floor(d.main, at)
    return d


@archetype
def stair_opening(rng: np.random.Generator) -> Draft:
    """Joists cut for a stair hang on a header; its ends come down on a wall beside it."""
    d = two_levels(rng, "stair_opening", (1920, 2010), (22, 30))
    at = d.middle()
    rooms_on_line(d, 0, d.main, at)
    rooms_on_line(d, 1, d.main, at)
    x0 = d.feet(8, 14)
    hole = Rect(x0, x0 + 3.2, at + 0.3, at + d.feet(8.5, 9.8))
    on_wall = d.chance(0.5)
    d.stair(0, hole, "y", hole.y1 if on_wall else None)
    if on_wall:
        d.wall(0, "x", hole.y1, d.feet(2, 6), x0 + d.feet(4, 9))
    d.wall(0, "y", x0 + 3.2, at, d.main.y1 if d.chance(0.5) else hole.y1)
    d.joists(0, d.main, "y", [(at, "end")], "solid_boards", "rooms")
    upper_roof(d, at)
    d.base_floor(d.main, at)
    return d


@archetype
def cantilever_floor(rng: np.random.Generator) -> Draft:
    """The upper level hangs out over the lower one; its outer wall stands on joist ends."""
    d = two_levels(rng, "cantilever_floor", (1955, 2005), (24, 28))
    at = d.middle()
    rooms_on_line(d, 0, d.main, at)
    out = Rect(d.main.x0, d.main.x1, 0.0, d.main.y1)
    d.house.levels[1] = [out]
    rooms_on_line(d, 1, d.main, at)
    d.joists(0, d.main, "y", [(at, "end")], "solid_boards", "rooms")
    d.house.facts["juts_out_side"] = "s"
    upper_roof(d, at)
    d.base_floor(d.main, at)
    return d


@archetype
def split_level(rng: np.random.Generator) -> Draft:
    """Half stairs: two parts meet at a wall that holds floor edges at different heights."""
    d = Draft(rng, "split_level", (1955, 1982), (40, 54), (22, 28), 1, level_kind="split")
    split = d.feet(18, 26)
    low, high = Rect(0.0, split, 0.0, d.main.y1), Rect(split, d.main.x1, 0.0, d.main.y1)
    d.house.levels = {0: [low, high], 1: [high]}
    d.outline(0, low, roles={"e": "inside"}, ask=("e",))
    d.outline(0, high)
    d.house.walls = [
        w
        for w in d.house.walls
        if (w.role, w.line.axis, w.line.at, w.level) != ("outside", "y", split, 0)
    ]
    d.outline(1, high)
    at = d.middle()
    rooms_on_line(d, 0, high, at)
    rooms_on_line(d, 1, high, at)
    d.partitions(0, low, "y", (0.0, d.main.y1), 1)
    d.closets(0, low, "x", (d.feet(2.3, 8.0),))
    d.joists(0, low, "x", [], "solid_boards", "attic")
    d.joists(0, high, "y", [(at, "end")], "solid_boards", "rooms")
    d.joists(1, high, "y", [(at, "end")], "solid_boards", "attic")
    d.roof(0, low, "rafters", "y")
    d.roof(1, high, "rafters", "x")
    d.house.facts["ceiling_step_at"] = f"y:{split}"
    return d


@archetype
def basement_rooms(rng: np.random.Generator) -> Draft:
    """Walls in a basement: one under the floor's middle, the rest only rooms."""
    d = Draft(rng, "basement_rooms", (1940, 2005), (30, 46), (22, 30), 1, base="basement",
              basement_rooms=True)  # fmt: skip
    for level in (-1, 0):
        d.outline(level, d.main)
    at = d.middle()
    d.bearing_line(-1, "x", at, 0.0, d.main.x1, gaps=1)
    d.partitions(-1, d.main, "y", (0.0, at, d.main.y1), 3)
    for _ in range(2):
        place = d.feet(4, d.main.y1 - 4)
        if abs(place - at) > 1.5:
            d.wall(-1, "x", place, d.feet(0, 8), d.feet(14, d.main.x1), later=d.chance(0.7))
    rooms_on_line(d, 0, d.main, at)
    d.joists(-1, d.main, "y", [(at, "end")], "solid_boards", "rooms")
    d.joists(0, d.main, "y", [(at, "end")], "solid_boards", "attic")
    d.roof(0, d.main, "rafters", "x")
    return d


@archetype
def three_levels(rng: np.random.Generator) -> Draft:
    """Three levels with hall pairs, lines stacked all the way."""
    d = Draft(rng, "three_levels", (1895, 1935), (30, 44), (20, 27), 3)
    at = d.middle()
    for level in (0, 1, 2):
        d.outline(level, d.main)
        if level == 1:
            hall_pair(d, level, d.main, at)
        else:
            rooms_on_line(d, level, d.main, at)
        d.partitions(level, d.main, "y", (0.0, at, d.main.y1), 2)
        above: Cover = "attic" if level == 2 else "rooms"
        d.joists(level, d.main, "y", [(at, "end")], "solid_boards", above)
    d.roof(2, d.main, "rafters", "x")
    d.base_floor(d.main, at)
    return d


@archetype
def narrow_upper(rng: np.random.Generator) -> Draft:
    """An upper level set back: its outside wall stands over a wall inside the lower one."""
    d = Draft(rng, "narrow_upper", (1930, 2005), (30, 44), (28, 36))
    d.outline(0, d.main)
    back = d.feet(8, 13)
    upper = Rect(0.0, d.main.x1, back, d.main.y1)
    d.house.levels[1] = [upper]
    d.house.level_kind = "two"
    d.outline(1, upper)
    d.bearing_line(0, "x", back, 0.0, d.main.x1, gaps=1)
    at = back + (d.main.y1 - back) / 2 + d.feet(-1, 1)
    rooms_on_line(d, 0, upper, at)
    d.partitions(0, Rect(0, d.main.x1, 0, back), "y", (0.0, back), 2)
    free_rooms(d, 1, upper)
    d.joists(0, upper, "y", [(at, "end")], "solid_boards", "rooms")
    d.joists(0, Rect(0.0, d.main.x1, 0.0, back), "y", [], "solid_boards", "attic")
    d.trusses(1, upper, "y")
    d.roof(1, upper, "trusses", "x")
    d.roof(0, Rect(0.0, d.main.x1, 0.0, back), "rafters", "x")
    return d
