"""A seed and an archetype give one finished house, always the same."""

from __future__ import annotations

import zlib

import numpy as np

from walltriage.lab.house.archetypes import ARCHETYPES
from walltriage.lab.house.finish import finish, pick, settle
from walltriage.lab.house.model import House, Wall
from walltriage.lab.house.wear import wear
from walltriage.lab.parameters import parameters

LEAST_WALL_FT = 3.0


def generator(seed: int, index: int, part: str) -> np.random.Generator:
    """An independent stream of random numbers for one part of one wall's story."""
    return np.random.default_rng([seed, index, zlib.crc32(part.encode())])


def build_house(archetype: str, seed: int, index: int) -> House:
    """Draw, frame, settle and finish house number ``index``; its subject wall is chosen.

    Raises :class:`KeyError` for an unknown archetype.
    """
    rng = generator(seed, index, archetype)
    house = ARCHETYPES[archetype](rng).house
    house.walls = [w for w in house.walls if w.line.length >= 1.0]
    settle(house, rng)
    finish(house, rng)
    wear(house, rng)
    values = parameters()["house"]
    house.attic_reachable = bool(rng.random() >= values["hatch_missing"])
    house.below_reachable = bool(rng.random() >= values["below_closed"])
    forgotten = rng.random() < values["addition_forgotten"]
    house.facts["forgotten"] = "yes" if forgotten else "no"
    house.facts.setdefault("house_kind", "detached")
    house.facts.setdefault("additions", "none_known")
    house.facts.setdefault("walls_gone", "none_known")
    house.facts.setdefault(
        "walls_made_of", pick(rng, {"wood_frame": 0.75, "brick_skin": 0.22, "solid_masonry": 0.03})
    )
    choices = askable(house)
    if house.subject not in {wall.id for wall in choices}:
        lengths = np.array([wall.line.length for wall in choices])
        house.subject = choices[int(rng.choice(len(choices), p=lengths / lengths.sum()))].id
    return house


def askable(house: House) -> list[Wall]:
    """The walls somebody might want gone; the longer, the more often asked about."""
    return [
        wall for wall in house.walls
        if wall.askable and wall.role != "outside" and wall.line.length >= LEAST_WALL_FT
    ]  # fmt: skip
