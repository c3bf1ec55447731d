"""What one wall may carry: the one load that pages, house section and beams all go by."""

from __future__ import annotations

from dataclasses import dataclass

from walltriage.structure.loads import LoadSet, governing_total
from walltriage.structure.steps import NOTE, Range
from walltriage.structure.strips import PointLoad
from walltriage.structure.tables import Tables
from walltriage.structure.takedown import Swing, Takedown

NOTHING_MORE_PLF = 0.5  # under half a pound a foot beside its own weight a wall carries nothing


@dataclass(frozen=True, slots=True)
class WallLoad:
    """Load per foot of wall (plf) and at spots (lb), lowest to highest.

    ``high`` is an envelope: each kind of load as great as any way of settling the unknowns makes
    it.  ``spots`` are the greatest loads at one place each, ``at_in`` from the wall's left or
    front end.  ``own_plf`` is the most that the wall itself weighs.  ``swings`` tell what each
    open question moves, the widest first.  ``from_house`` is true when the load was followed
    through the whole house as drawn.
    """

    low: LoadSet
    usual: LoadSet
    high: LoadSet
    governing_plf: Range
    combination: str
    spots: tuple[PointLoad, ...]
    own_plf: float
    swings: tuple[Swing, ...]
    from_house: bool
    note: str = NOTE

    @property
    def carries_only_itself(self) -> bool:
        """Whether nothing but the wall's own weight is counted."""
        return not self.spots and self.governing_plf.high <= self.own_plf + NOTHING_MORE_PLF


def load_of(
    tables: Tables,
    low: LoadSet,
    usual: LoadSet,
    high: LoadSet,
    *,
    spots: tuple[PointLoad, ...] = (),
    own_plf: float = 0.0,
    swings: tuple[Swing, ...] = (),
    from_house: bool,
) -> WallLoad:
    """A wall's load with its governing combinations worked out."""
    totals = [governing_total(tables, one)[0] for one in (low, usual, high)]
    _, combination = governing_total(tables, high)
    ordered = tuple(sorted(swings, key=lambda swing: (-swing.width_plf, swing.name)))
    return WallLoad(
        low, usual, high, Range(*totals), combination, spots, own_plf, ordered, from_house
    )


def load_of_takedown(tables: Tables, down: Takedown, own_plf: float) -> WallLoad:
    """The load of a wall that stands on no plan, from its own take-down."""
    return load_of(
        tables, down.low, down.usual, down.high, spots=down.points, own_plf=own_plf,
        swings=down.swings, from_house=False,
    )  # fmt: skip
