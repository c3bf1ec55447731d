"""The kinds of house: each a few calls on the drawing board, found by name."""

from walltriage.lab.house.archetypes import (
    changed,
    floors,
    hard,
    layered,
    low,
    partial,
    shared,
    stick,
    trusses,
)
from walltriage.lab.house.archetypes.common import ARCHETYPES

__all__ = [
    "ARCHETYPES", "changed", "floors", "hard", "layered", "low", "partial", "shared", "stick",
    "trusses",
]  # fmt: skip
