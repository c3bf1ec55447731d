"""Which kind of house comes next: each in turn, or by its share of the stock."""

from __future__ import annotations

from typing import Literal

from walltriage.lab.house.archetypes import ARCHETYPES
from walltriage.lab.house.build import generator
from walltriage.lab.house.finish import pick
from walltriage.lab.parameters import parameters

Mix = Literal["equal", "stock"]
MIXES: tuple[Mix, ...] = ("equal", "stock")
KINDS = tuple(sorted(ARCHETYPES))


def kind_of(seed: int, index: int, mix: Mix = "equal") -> str:
    """The kind of house number ``index``."""
    if mix == "equal":
        return KINDS[index % len(KINDS)]
    return pick(generator(seed, index, "mix"), parameters()["stock"])
