"""The pieces every result is explained with: steps, checks, ranges and the standing note."""

from __future__ import annotations

from dataclasses import dataclass

NOTE = "Preliminary: for an engineer to check, not for construction."


@dataclass(frozen=True, slots=True)
class Step:
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
        """A range from one number, from (low, high) or from (low, usual, high)."""
        if isinstance(value, Range):
            return value
        if isinstance(value, int | float):
            return cls(float(value), float(value), float(value))
        if len(value) == 2:
            return cls(value[0], (value[0] + value[1]) / 2, value[1])
        return cls(*value)

    def __add__(self, other: Range) -> Range:
        return Range(self.low + other.low, self.usual + other.usual, self.high + other.high)

    @property
    def fixed(self) -> bool:
        return self.low == self.high
