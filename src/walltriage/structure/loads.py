"""Loads by kind, the allowable-stress combinations, and the loads on a roof."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from walltriage.structure.inputs import one_of, within
from walltriage.structure.shapes import LOAD_KINDS
from walltriage.structure.steps import Range
from walltriage.structure.tables import Tables


@dataclass(frozen=True, slots=True)
class LoadSet:
    """Dead, live, roof live and snow load, kept apart; all in one unit (plf or lb)."""

    dead: float = 0.0
    live: float = 0.0
    roof_live: float = 0.0
    snow: float = 0.0

    def __add__(self, other: LoadSet) -> LoadSet:
        return LoadSet(*(getattr(self, k) + getattr(other, k) for k in LOAD_KINDS))

    def times(self, factor: float) -> LoadSet:
        return LoadSet(*(getattr(self, kind) * factor for kind in LOAD_KINDS))

    def kinds(self) -> Iterator[tuple[str, float]]:
        for kind in LOAD_KINDS:
            yield kind, getattr(self, kind)


@dataclass(frozen=True, slots=True)
class Combination:
    """One allowable-stress combination: the factor of each load and its duration factor."""

    name: str
    factors: LoadSet
    duration: float

    def total(self, loads: LoadSet) -> float:
        """The combined load."""
        return float(sum(factor * getattr(loads, kind) for kind, factor in self.factors.kinds()))


@lru_cache(maxsize=8)
def combinations(tables: Tables) -> tuple[Combination, ...]:
    """The combinations of the load rules, in their order."""
    found = []
    for name, row in tables.loads["combinations"].values.items():
        factors = LoadSet(*(row.get(kind, 0.0) for kind in LOAD_KINDS))
        found.append(Combination(name, factors, row["duration"]))
    return tuple(found)


def governing_total(tables: Tables, loads: LoadSet) -> tuple[float, str]:
    """The largest combined load, and the combination that gives it."""
    totals = [(one.total(loads), one.name) for one in combinations(tables)]
    return max(totals, key=lambda pair: pair[0])


def roof_live_psf(tables: Tables, slope_deg: float, area_sqft: float | None = None) -> float:
    """Roof live load in psf on the horizontal, by slope and tributary area.

    With the area unknown the column for small areas (the largest load) is taken.
    """
    slope = within(tables, "slope_deg", slope_deg)
    small, large = tables.loads["roof_live_areas"].values
    column = 0 if area_sqft is None or area_sqft <= small else 1 if area_sqft <= large else 2
    rows = sorted(tables.loads["roof_live"].values.values(), key=lambda row: row["below_deg"])
    row = next((row for row in rows if slope < row["below_deg"]), rows[-1])
    return float(row["psf"][column])


def roof_snow_psf(tables: Tables, ground_psf: float, slope_deg: float) -> float:
    """Balanced snow in psf on the horizontal, from the ground snow load and the slope.

    pf = 0.7 Ce Ct Is pg; ps = Cs pf, with Cs falling in a line from full to none between two
    slopes (warm roof, not slippery).  Drifts and unbalanced snow are not counted.
    """
    ground = within(tables, "ground_snow_psf", ground_psf, name="ground snow load")
    slope = within(tables, "slope_deg", slope_deg)
    rule = tables.loads["snow"]
    flat = rule["share"] * rule["Ce"] * rule["Ct"] * rule["Is"] * ground
    full, none = rule["full_to_deg"], rule["none_from_deg"]
    return float(flat * min(1.0, max(0.0, (none - slope) / (none - full))))


def on_the_flat(psf: float, slope_deg: float) -> float:
    """A load per area of sloping roof as load per horizontal area: divided by the cosine."""
    return psf / math.cos(math.radians(slope_deg))


DEAD_BLOCKS = ("dead", "dead_plaster", "dead_practice")


def dead_range(tables: Tables, kind: str, name: str) -> tuple[Range, str]:
    """A dead load of the load rules as (low, usual, high) psf, and its source.

    ``kind`` is ``floor``, ``wall``, ``roof`` or ``ceiling``: names of that kind begin with it.
    Raises :class:`InputError` for a name that is not listed.
    """
    known = {
        key: (Range(*value), tables.loads[block].source)
        for block in DEAD_BLOCKS
        for key, value in tables.loads[block].values.items()
        if key.startswith(kind)
    }
    return known[one_of(kind, name, known)]


def live_range(tables: Tables, room: str | None, unknown: str) -> Range:
    """Live load of a room or attic in psf; ``unknown`` (floor, attic) is used for ``None``."""
    if room is None:
        return Range(*tables.loads["unknown_live"][unknown])
    values = tables.loads["live"].values
    return Range.of(values[one_of("use of the room", room, values)])
