"""The least and the greatest capacity that is known for joists of one size.

Joists of a measured size and spacing may be of any species and grade, cut to any dressing of
their time, under any usual load.  Over the greatest capacity of them all no joist of that size is
known to reach; under the least, every one does.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache
from itertools import product

from walltriage.errors import InputError
from walltriage.structure.inputs import one_of, within
from walltriage.structure.joist_capacity import era_of, sizes_of, usual_loads
from walltriage.structure.lumber import Lumber, sawn
from walltriage.structure.shapes import USES
from walltriage.structure.spans import is_repetitive, joist_load, limits
from walltriage.structure.tables import Tables


@dataclass(frozen=True, slots=True)
class KnownReach:
    """The least and the greatest known capacity of one size, in inches, and what gives each."""

    lowest_in: float
    highest_in: float
    lowest: str
    highest: str


def known_reach(
    tables: Tables,
    *,
    size: str,
    spacing_in: float,
    uses: tuple[str, ...] = ("floor",),
    year: int | None = None,
    snow_psf: float | None = None,
) -> KnownReach:
    """Least and greatest capacity of joists of ``size`` over all that is not known of them.

    All species and grades of the tables are tried, each dressing the year (None: any) allows,
    and the loads of the span rules from lightest to heaviest for each of ``uses``, with
    ``snow_psf`` on the ground where that is known.  A grade that
    a table does not list in this size is left out.  Raises :class:`InputError` for unknown names
    and for a spacing out of range.
    """
    spacing = within(tables, "spacing_in", spacing_in)
    era = tables.spans["eras"][era_of(tables, year)]
    found: list[tuple[float, Lumber, float, float]] = []
    for use in uses:
        one_of("use", use, USES)
        pieces = sizes_of(tables, size, era, use)
        loads = usual_loads(tables, use, None, None, snow_psf)
        for piece, (live, dead) in product(pieces, loads):
            load = joist_load(tables, use, spacing, live, dead)
            repetitive = is_repetitive(tables, spacing, piece.thickness_in)
            found += [
                (min(limits(lumber, load).values()), lumber, live, dead)
                for lumber in _every_grade(tables, piece.name, repetitive)
            ]
    low, high = min(one[0] for one in found), max(one[0] for one in found)
    lowest = min(_label(*one[1:]) for one in found if one[0] == low)
    highest = max(_label(*one[1:]) for one in found if one[0] == high)
    return KnownReach(low, high, lowest, highest)


@lru_cache(maxsize=256)
def _every_grade(tables: Tables, size: str, repetitive: bool) -> tuple[Lumber, ...]:
    """One piece of each species and grade that is listed in a size."""
    found = []
    for group in tables.species.values():
        for grade in group.grade_names:
            with suppress(InputError):  # this grade is not listed in this size
                found.append(sawn(tables, tables.sizes[size], group, grade, repetitive=repetitive))
    return tuple(found)


def _label(lumber: Lumber, live: float, dead: float) -> str:
    return f"{lumber.label}, {live:g} psf live, {dead:g} psf dead"
