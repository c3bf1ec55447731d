"""A house's lines and fields where they lie: what holds a joist up, and what is under a spot."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise

from walltriage.structure.frame_parts import Arrived, JoistField, Support

CLOSE = 0.5  # inches: nearer lines are one line


class Laid:
    """Lines and fields; level 0 is the lowest, and stands on the ground."""

    def __init__(
        self,
        supports: Iterable[Support],
        fields: Iterable[JoistField],
        *,
        through: bool = False,
        breaks: frozenset[str] = frozenset(),
    ) -> None:
        """``through`` = joists run unbroken over inner lines, except over those in ``breaks``."""
        self.supports = tuple(supports)
        self.fields = tuple(fields)
        self.through, self.breaks = through, breaks
        self.levels = 1 + max((s.level for s in self.supports), default=0)

    def strips(self, area: JoistField) -> Iterator[tuple[float, float, list[Support]]]:
        """(from, to, lines in order) across the joists, wherever the same lines hold them up."""
        low, high = area.across()
        first, last = area.along()
        crossing = [
            s
            for s in self.supports
            if s.level == area.level
            and s.carries
            and s.axis != area.run
            and first - CLOSE <= s.at <= last + CLOSE
            and s.hi > low
            and s.lo < high
        ]
        cuts = {low, high}
        cuts |= {min(max(end, low), high) for s in crossing for end in (s.lo, s.hi)}
        ordered = sorted(cuts)
        for lo, hi in pairwise(ordered):
            middle = (lo + hi) / 2
            held: list[Support] = []
            for line in sorted(crossing, key=lambda s: (s.at, s.beam, s.id)):
                if line.lo <= middle <= line.hi and (not held or line.at - held[-1].at > CLOSE):
                    held.append(line)
            yield lo, hi, held

    def level_under(self, level: int, x: float, y: float) -> int:
        """The next lower level with joists at a spot: of half levels, not the one beside it."""
        over = [
            f.level
            for f in self.fields
            if f.level < level
            and f.x0 - CLOSE <= x <= f.x1 + CLOSE
            and f.y0 - CLOSE <= y <= f.y1 + CLOSE
        ]
        return max(over, default=level - 1)

    def span_at(self, level: int, x: float, y: float) -> float | None:
        """Inches that the joists over a level span at one spot; None where none are drawn."""
        held = self._held_at(level, x, y)
        return None if held is None else held[1].at - held[0].at

    def stands_on(self, level: int, x: float, y: float) -> tuple[Support, ...]:
        """What is right under a spot of a level: a line, or the two that its joists rest on."""
        under = self.level_under(level, x, y)
        for line in sorted(self.supports, key=lambda s: (s.beam, s.id)):
            along, across = (x, y) if line.axis == "x" else (y, x)
            on_it = abs(across - line.at) <= CLOSE and line.lo - CLOSE <= along <= line.hi + CLOSE
            if line.level == under and line.carries and on_it:
                return (line,)
        held = self._held_at(under, x, y)
        return () if held is None else held[:2]

    def _held_at(self, level: int, x: float, y: float) -> tuple[Support, Support, float] | None:
        """The two lines that joists at a spot rest on, and the share of the farther one."""
        for area in (f for f in self.fields if f.level == level):
            if not (area.x0 <= x <= area.x1 and area.y0 <= y <= area.y1):
                continue
            at, across = (x, y) if area.run == "x" else (y, x)
            strips = [held for lo, hi, held in self.strips(area) if lo <= across <= hi]
            pair = beside(strips[0], at) if strips else None
            if pair is not None:
                return pair
        return None

    def applied(self) -> list[Arrived]:
        """Everything that was put on the house, at its centre: the other side of the balance."""
        found = [
            Arrived(
                (f.x0 + f.x1) / 2,
                (f.y0 + f.y1) / 2,
                f.psf.times((f.x1 - f.x0) * (f.y1 - f.y0) / 144),
                f.id,
            )
            for f in self.fields
        ]
        for line in self.supports:
            middle = (line.lo + line.hi) / 2
            x, y = (middle, line.at) if line.axis == "x" else (line.at, middle)
            found.append(Arrived(x, y, line.plf.times((line.hi - line.lo) / 12), line.id))
        return found


def beside(held: list[Support], at: float) -> tuple[Support, Support, float] | None:
    """The two lines beside a place, and the share of the farther one by the lever rule."""
    for one, other in pairwise(held):
        if one.at - CLOSE <= at <= other.at + CLOSE:
            return one, other, min(max((at - one.at) / (other.at - one.at), 0.0), 1.0)
    return None
