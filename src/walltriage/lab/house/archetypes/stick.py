"""Roofs of rafters: ceiling joists, purlins and struts, hips, valleys, ridge beams, attic rooms."""

from __future__ import annotations

import numpy as np

from walltriage.lab.house.archetypes.common import archetype, hall_pair, rooms_on_line
from walltriage.lab.house.draft import Draft
from walltriage.lab.house.model import Rect


def _one_storey(
    rng: np.random.Generator, name: str, years: tuple[int, int], **more: object
) -> Draft:
    d = Draft(rng, name, years, (34, 56), (22, 32), **more)  # type: ignore[arg-type]
    d.outline(0, d.main)
    return d


@archetype
def stick_centre_line(rng: np.random.Generator) -> Draft:
    """Rafters, ceiling joists that lap on a line down the middle."""
    d = _one_storey(rng, "stick_centre_line", (1900, 1985))
    at = d.middle()
    rooms_on_line(d, 0, d.main, at, gaps=int(d.chance(0.3)))
    d.joists(0, d.main, "y", [(at, "end")], "solid_boards", "attic")
    d.roof(0, d.main, "rafters", "x")
    d.base_floor(d.main, at + d.feet(-0.6, 0.6))
    return d


@archetype
def stick_purlin_struts(rng: np.random.Generator) -> Draft:
    """As above, with purlins under the rafters and struts down to walls inside."""
    d = _one_storey(rng, "stick_purlin_struts", (1890, 1980))
    at = d.middle()
    line = rooms_on_line(d, 0, d.main, at)
    d.joists(0, d.main, "y", [(at, "end")], "solid_boards", "attic")
    d.roof(0, d.main, "rafters", "x")
    partitions = [w.line.at for w in d.house.walls if w.line.axis == "x" and w.role == "inside"]
    d.struts(0, d.main, [w.line.at for w in line] + (partitions if d.chance(0.3) else []))
    d.base_floor(d.main, at)
    return d


@archetype
def stick_hall_pair(rng: np.random.Generator) -> Draft:
    """Two hall walls: joists lap on one and run on over the other."""
    d = _one_storey(rng, "stick_hall_pair", (1935, 1985))
    at = d.middle()
    first, _ = hall_pair(d, 0, d.main, at)
    d.partitions(0, d.main, "y", (0.0, first.line.at, d.main.y1), 4)
    d.joists(0, d.main, "y", [(at, "end")], "solid_boards", "attic")
    d.roof(0, d.main, "rafters", "x")
    d.base_floor(d.main, at)
    return d


@archetype
def collar_tie_cottage(rng: np.random.Generator) -> Draft:
    """A narrow cottage: ceiling joists span the whole width, collar ties high up."""
    d = Draft(rng, "collar_tie_cottage", (1900, 1960), (24, 34), (12, 17))
    d.outline(0, d.main)
    d.partitions(0, d.main, "y", (0.0, d.main.y1), 3)
    d.closets(0, d.main, "x", (d.feet(2.3, 7.0),))
    d.joists(0, d.main, "y", [], "solid_boards", "attic")
    d.roof(0, d.main, "rafters", "x")
    d.base_floor(d.main, d.main.y1 / 2)
    return d


@archetype
def hip_stick(rng: np.random.Generator) -> Draft:
    """A hip roof: joists turned at one end, hips propped down to the walls they cross."""
    d = _one_storey(rng, "hip_stick", (1910, 1975))
    at, turn = d.middle(), d.feet(9, 13)
    rooms_on_line(d, 0, Rect(turn, d.main.x1, 0, d.main.y1), at)
    d.wall(0, "y", turn, 0.0, d.main.y1, meant=True)
    end = Rect(0.0, turn, 0.0, d.main.y1)
    d.joists(0, end, "x", [], "solid_boards", "attic")
    d.joists(0, Rect(turn, d.main.x1, 0, d.main.y1), "y", [(at, "end")], "solid_boards", "attic")
    d.roof(0, d.main, "rafters", "x")
    if d.chance(0.7):
        for share in (0.35, 0.65):
            d.point("hip_post", 0, turn, d.main.y1 * share)
    d.house.facts["roof_shape"] = "hip"
    d.base_floor(d.main, at)
    return d


@archetype
def valley_wing(rng: np.random.Generator) -> Draft:
    """An L of rafters: the wing's joists run the other way, valley posts stand at the joint."""
    d = _one_storey(rng, "valley_wing", (1915, 1985))
    at, depth = d.middle(), d.feet(14, 20)
    wing_x = d.feet(14, 18)
    wing = Rect(0.0, wing_x, d.main.y1, d.main.y1 + depth)
    d.house.levels[0].append(wing)
    rooms_on_line(d, 0, d.main, at)
    inner = d.outline(0, wing, roles={"s": "inside"})["s"]
    for wall in [w for w in d.house.walls if w.level == 0 and w.role == "outside"]:
        if wall.line.axis == "x" and wall.line.at == d.main.y1 and wall.line.start == 0.0:
            d.house.walls.remove(wall)
            d.wall(0, "x", d.main.y1, wing_x, d.main.x1, role="outside", meant=True, askable=False)
            break
    inner.askable = True
    d.joists(0, d.main, "y", [(at, "end")], "solid_boards", "attic")
    d.joists(0, wing, "x", [], "solid_boards", "attic")
    d.roof(0, d.main, "rafters", "x")
    d.roof(0, wing, "rafters", "y")
    d.partitions(0, wing, "y", (wing.y0, wing.y1), 1)
    if d.chance(0.6):
        d.point("hip_post", 0, wing_x / 2, at)
    d.house.facts["roof_shape"] = "wings"
    d.base_floor(d.main, at)
    return d


@archetype
def ridge_beam_vaulted(rng: np.random.Generator) -> Draft:
    """A vaulted roof on a ridge beam; its middle post stands in a cross wall."""
    d = _one_storey(rng, "ridge_beam_vaulted", (1955, 2015))
    ridge = d.main.y1 / 2
    middle = d.feet(0.4 * d.main.x1, 0.6 * d.main.x1)
    d.wall(0, "y", middle, d.feet(2, 6), d.main.y1, meant=True)
    d.partitions(0, d.main, "y", (0.0, d.main.y1), 2)
    d.wall(0, "x", d.feet(6, d.main.y1 - 6), 0.0, middle)
    d.closets(0, d.main, "x", (ridge + d.feet(-1, 1),))
    d.joists(0, d.main, "y", [(ridge, "hung")], "solid_boards", "sloped")
    d.beam("ridge", 0, "x", ridge, 0.0, middle)
    d.beam("ridge", 0, "x", ridge, middle, d.main.x1)
    d.point("ridge_post", 0, middle, ridge, seen=False)
    d.roof(0, d.main, "ridge_beam", "x", "sloped_ceilings")
    d.base_floor(d.main, ridge)
    return d


@archetype
def attic_rooms_knee_walls(rng: np.random.Generator) -> Draft:
    """One storey and a half: rooms in the roof between knee walls, floor joists below them."""
    d = Draft(rng, "attic_rooms_knee_walls", (1900, 1960), (28, 40), (22, 28), 1,
              level_kind="one_and_half")  # fmt: skip
    d.outline(0, d.main)
    at = d.middle()
    rooms_on_line(d, 0, d.main, at)
    knee = d.feet(4.0, 6.0)
    upper = Rect(0.0, d.main.x1, knee, d.main.y1 - knee)
    d.house.levels[1] = [upper]
    carries = d.chance(0.75)
    for line in (upper.y0, upper.y1):
        d.knee_wall(0, "x", line, 0.0, d.main.x1, carries)
    if d.chance(0.7):
        under = d.wall(0, "x", upper.y0 + d.feet(-0.3, 0.3), d.feet(2, 8), d.feet(18, d.main.x1))
        if d.chance(0.5):
            d.house.subject = under.id
    d.joists(0, d.main, "y", [(at, "end")], "solid_boards", "rooms")
    d.joists(1, upper, "y", [], "solid_boards", "attic")
    d.partitions(1, upper, "y", (upper.y0, upper.y1), 2)
    d.wall(1, "x", at + d.feet(-3, 3), d.feet(4, 10), d.feet(16, 24))
    d.roof(1, upper, "rafters", "x", "rooms_in_roof")
    for low, high in ((0.0, upper.y0), (upper.y1, d.main.y1)):
        d.roof(0, Rect(0.0, d.main.x1, low, high), "rafters", "x", "rooms_in_roof")
    d.base_floor(d.main, at)
    return d


@archetype
def hung_from_strongback(rng: np.random.Generator) -> Draft:
    """Ceiling joists hung from a timber laid over them: an open room, the ends in cross walls."""
    d = _one_storey(rng, "hung_from_strongback", (1920, 1980))
    at = d.middle()
    left, right = d.feet(3, 8), d.feet(20, 26)
    d.bearing_line(0, "x", at, right, d.main.x1)
    d.bearing_line(0, "x", at, 0.0, left)
    for x in (left, right):
        d.wall(0, "y", x, 0.0 if d.chance(0.5) else at - 2, d.main.y1)
    hung = Rect(left, right, 0.0, d.main.y1)
    d.joists(0, hung, "y", [(at, "hung")], "solid_boards", "attic")
    for rect in (Rect(0.0, left, 0.0, d.main.y1), Rect(right, d.main.x1, 0.0, d.main.y1)):
        d.joists(0, rect, "y", [(at, "end")], "solid_boards", "attic")
    d.beam("attic", 0, "x", at, left, right)
    if d.chance(0.5):
        d.wall(0, "x", at + d.feet(-0.2, 0.2), left, d.feet(left + 5, right), later=True)
    d.closets(0, d.main, "x", (d.feet(2.3, 3.2),))
    d.partitions(0, d.main, "y", (0.0, at), 1)
    d.roof(0, d.main, "rafters", "x")
    d.base_floor(d.main, at)
    return d


@archetype
def flat_roof_line(rng: np.random.Generator) -> Draft:
    """A flat roof whose joists rest on a line down the middle."""
    d = _one_storey(rng, "flat_roof_line", (1945, 1975))
    at = d.middle()
    rooms_on_line(d, 0, d.main, at, gaps=int(d.chance(0.4)))
    d.joists(0, d.main, "y", [(at, "end")], "solid_boards", "flat_roof")
    d.roof(0, d.main, "flat_joists", "x", "flat_roof")
    d.house.facts["roof_shape"] = "one_slope"
    d.base_floor(d.main, at)
    return d


@archetype
def slab_ranch_stick(rng: np.random.Generator) -> Draft:
    """A slab house with rafters and a bearing line over a thickened strip."""
    d = _one_storey(rng, "slab_ranch_stick", (1948, 1980), base="slab")
    at = d.middle()
    rooms_on_line(d, 0, d.main, at, gaps=int(d.chance(0.3)))
    d.joists(0, d.main, "y", [(at, "end")], "solid_boards", "attic")
    d.roof(0, d.main, "rafters", "x")
    if d.chance(0.4):
        d.struts(0, d.main, [at])
    return d
