"""The pieces every result is explained with: steps, checks, ranges and the standing note."""

from __future__ import annotations

import math
from dataclasses import dataclass

from walltriage.errors import QuantityError

NOTE = "Preliminary: for an engineer to check, not for construction."


@dataclass(frozen=True, slots=True)
class CalcStep:
    """One line of arithmetic: the symbol, its formula, the numbers put in, the result."""

    symbol: str
    formula: str
    numbers: str
    result: float
    unit: str
    source: str

    def __str__(self) -> str:
        put_in = f" = {self.numbers}" if self.numbers else ""
        cited = f"  [{self.source}]" if self.source else ""
        return f"{self.symbol} = {self.formula}{put_in} = {self.result:,.4g} {self.unit}{cited}"


@dataclass(frozen=True, slots=True)
class Check:
    """A demand against its limit; ``ratio`` above 1 means that it is passed.

    ``decides`` is false for a figure shown for information only.
    """

    name: str
    demand: float
    limit: float
    unit: str
    decides: bool = True
    combination: str = ""

    @property
    def ratio(self) -> float:
        return self.demand / self.limit


@dataclass(frozen=True, slots=True)
class Range:
    """Lowest, usual and highest value of one quantity."""

    low: float
    usual: float
    high: float

    @classmethod
    def of(cls, value: float | tuple[float, ...] | Range) -> Range:
        """A range from one number, from (low, high) or from (low, usual, high).

        Raises :class:`QuantityError` for anything else, and for numbers out of order.
        """
        if isinstance(value, Range):
            return value
        ends = (value,) if isinstance(value, int | float) else tuple(value)
        if len(ends) == 2:
            ends = (ends[0], (ends[0] + ends[1]) / 2, ends[1])
        low, usual, high = ends if len(ends) == 3 else ends * 3 if len(ends) == 1 else (1, 0, 0)
        if not low <= usual <= high or high == math.inf:
            raise QuantityError(f"{value!r} is not a range; expected lowest, usual, highest")
        return cls(float(low), float(usual), float(high))

    def __add__(self, other: Range) -> Range:
        return Range(self.low + other.low, self.usual + other.usual, self.high + other.high)

    @property
    def fixed(self) -> bool:
        return self.low == self.high
