"""Roofs of trusses: clear-span, girder, attic, scissor, built on the site or to bear inside."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from walltriage.lab.house.archetypes.common import archetype, free_rooms
from walltriage.lab.house.draft import Draft
from walltriage.lab.house.model import Piece, Rect, Rest


def _draft(rng: np.random.Generator, name: str, **more: object) -> Draft:
    d = Draft(rng, name, (1965, 2022), (38, 60), (24, 34), **more)  # type: ignore[arg-type]
    d.outline(0, d.main)
    return d


@archetype
def truss_plain(rng: np.random.Generator) -> Draft:
    """Trusses from outside wall to outside wall."""
    d = _draft(rng, "truss_plain")
    free_rooms(d, 0, d.main)
    d.trusses(0, d.main, "y")
    d.roof(0, d.main, "trusses", "x")
    d.base_floor(d.main, d.middle())
    return d


@archetype
def truss_slab(rng: np.random.Generator) -> Draft:
    """The same on a slab, hip or gable."""
    d = _draft(rng, "truss_slab", base="slab")
    free_rooms(d, 0, d.main)
    d.trusses(0, d.main, "y")
    d.roof(0, d.main, "trusses", "x")
    if d.chance(0.4):
        d.house.facts["roof_shape"] = "hip"
    return d


@archetype
def truss_girder(rng: np.random.Generator) -> Draft:
    """An L of trusses: a girder truss carries the wing's open side, one end on a wall inside."""
    d = _draft(rng, "truss_girder")
    split = d.feet(16, 22)
    free_rooms(d, 0, d.main)
    post = d.feet(d.main.y1 * 0.35, d.main.y1 * 0.65)
    d.wall(0, "x", post, split, d.feet(split + 4, split + 10), meant=True)
    d.trusses(0, Rect(split, d.main.x1, 0.0, d.main.y1), "y")
    d.trusses(0, Rect(0.0, split, 0.0, d.main.y1), "x")
    d.beam("girder_truss", 0, "y", split, 0.0, post)
    d.wall(0, "y", split, post, d.main.y1, meant=True)
    d.roof(0, d.main, "trusses", "x")
    d.house.facts["roof_shape"] = "wings"
    d.base_floor(d.main, d.middle())
    return d


@archetype
def truss_attic(rng: np.random.Generator) -> Draft:
    """Attic trusses: a room within the trusses, nothing needed below."""
    d = _draft(rng, "truss_attic", level_kind="one_and_half")
    free_rooms(d, 0, d.main)
    third = d.main.y1 / 3
    upper = Rect(0.0, d.main.x1, third, 2 * third)
    d.house.levels[1] = [upper]
    d.trusses(0, d.main, "y", "rooms")
    for line in (upper.y0, upper.y1):
        d.knee_wall(0, "x", line, 0.0, d.main.x1, carries=False)
    d.partitions(1, upper, "y", (upper.y0, upper.y1), 2)
    d.trusses(1, upper, "y")
    d.roof(1, upper, "trusses", "x", "rooms_in_roof")
    for low, high in ((0.0, upper.y0), (upper.y1, d.main.y1)):
        d.roof(0, Rect(0.0, d.main.x1, low, high), "trusses", "x", "rooms_in_roof")
    d.base_floor(d.main, d.middle())
    return d


@archetype
def truss_scissor(rng: np.random.Generator) -> Draft:
    """Scissor trusses over a vaulted room."""
    d = _draft(rng, "truss_scissor")
    free_rooms(d, 0, d.main)
    d.trusses(0, d.main, "y", "sloped")
    d.roof(0, d.main, "trusses", "x", "sloped_ceilings")
    d.base_floor(d.main, d.middle())
    return d


@archetype
def truss_inner_bearing(rng: np.random.Generator) -> Draft:
    """A wide house whose trusses were designed to bear on an inside wall, or end on it."""
    d = Draft(rng, "truss_inner_bearing", (1970, 2022), (44, 64), (34, 44))
    d.outline(0, d.main)
    at = d.middle()
    d.bearing_line(0, "x", at, 0.0, d.main.x1, gaps=int(d.chance(0.4)))
    d.partitions(0, d.main, "y", (0.0, at, d.main.y1), 4)
    d.closets(0, d.main, "x", (at + d.feet(2.2, 3.5), d.feet(2.3, 9.0)))
    field = d.trusses(0, d.main, "y", held=[(at, "end")])
    if d.chance(0.6):
        whole = Piece(0.0, d.main.y1, (Rest(0.0, "end"), Rest(at, "truss_bearing"),
                                       Rest(d.main.y1, "end")))  # fmt: skip
        d.house.fields[-1] = type(field)(
            field.level, field.area, field.run, field.material, field.size, field.spacing_in,
            d.main.y1 * 0.7, (whole,), field.cover, field.gap, field.joint,
        )  # fmt: skip
    d.roof(0, d.main, "trusses", "x")
    d.base_floor(d.main, at)
    return d


@archetype
def truss_two_storey(rng: np.random.Generator) -> Draft:
    """Trusses over the upper level; a floor on a bearing line over the lower."""
    d = Draft(rng, "truss_two_storey", (1968, 2020), (34, 50), (24, 32), 2)
    for level in (0, 1):
        d.outline(level, d.main)
    at = d.middle()
    d.bearing_line(0, "x", at, 0.0, d.main.x1, gaps=1)
    d.partitions(0, d.main, "y", (0.0, at, d.main.y1), 3)
    free_rooms(d, 1, d.main)
    d.joists(0, d.main, "y", [(at, "end")], "solid_boards", "rooms")
    d.trusses(1, d.main, "y")
    d.roof(1, d.main, "trusses", "x")
    d.base_floor(d.main, at)
    return d


@archetype
def site_built_trusses(rng: np.random.Generator) -> Draft:
    """Trusses nailed up on the site, with plywood gussets or bare boards at their joints.

    Some were spliced at mid-length where a wall was to stand, and need it.
    """
    d = Draft(rng, "site_built_trusses", (1946, 1968), (34, 52), (22, 28))
    d.outline(0, d.main)
    at = d.middle()
    d.wall(0, "x", at, 0.0, d.main.x1, meant=True)
    d.partitions(0, d.main, "y", (0.0, at, d.main.y1), 4)
    d.closets(0, d.main, "x", (d.feet(2.3, 3.2), at + d.feet(2.8, 3.6)))
    field = d.trusses(0, d.main, "y")
    if d.chance(0.45):
        needs = Piece(0.0, d.main.y1, (Rest(0.0, "end"), Rest(at, "truss_bearing"),
                                       Rest(d.main.y1, "end")))  # fmt: skip
        d.house.fields[-1] = replace(field, allow_ft=0.7 * d.main.y1, pieces=(needs,))
    d.roof(0, d.main, "trusses", "x")
    d.house.roof_parts[-1] = replace(d.house.roof_parts[-1], plates=d.chance(0.7))
    d.house.facts["gussets"] = "yes"
    d.base_floor(d.main, at)
    return d
