"""What came of simulated interviews, in columns."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from walltriage.lab.house.archetypes import ARCHETYPES
from walltriage.lab.house.truth import PATHS

NAMES = tuple(sorted(ARCHETYPES))


@dataclass(frozen=True, slots=True)
class Outcomes:
    """What came of ``n`` interviews; every array has one row for each.

    ``archetype``: index into ``NAMES``.  ``paths`` (n, 6): truth by path, in the order of
    ``PATHS``.  ``verdict``: index into ``VERDICTS``.  ``lower``, ``upper``: the program's
    bounds.  ``chance``: see
    :func:`calibration.point_chance`.  ``questions``, ``effort``: asked until the end or the
    verdict, and in units of :data:`EFFORT_COST`; what is measured after a verdict, to size what
    the wall carries, is not counted.  ``stop``: index into ``STOPS``.  ``seen``: the
    frame over the wall could be seen (an attic that opens, for a person who goes there).
    """

    index: np.ndarray
    archetype: np.ndarray
    paths: np.ndarray
    verdict: np.ndarray
    lower: np.ndarray
    upper: np.ndarray
    chance: np.ndarray
    questions: np.ndarray
    effort: np.ndarray
    stop: np.ndarray
    seen: np.ndarray

    def __len__(self) -> int:
        return len(self.index)

    @property
    def bears(self) -> np.ndarray:
        """Truth (n,): whether any path but bracing reaches the wall."""
        reached: np.ndarray = np.any(self.paths[:, : len(PATHS) - 1], axis=1)
        return reached

    def rows(self, which: np.ndarray) -> Outcomes:
        """Some of the interviews."""
        return Outcomes(*(getattr(self, f.name)[which] for f in fields(self)))


def joined(parts: list[Outcomes]) -> Outcomes:
    """Outcomes put one after the other; at least one."""
    return Outcomes(
        *(np.concatenate([getattr(part, f.name) for part in parts]) for f in fields(Outcomes))
    )
