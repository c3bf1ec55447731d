"""Which lines of support the joists cannot do without.

Joists run from an outside line at 0 to one at the far side; candidate lines (walls, beams)
stand between.  A set of candidates holds when no gap between neighbouring lines is longer than
the joists can span.  Counting such sets by dynamic programming tells of each candidate whether
it is in every set that holds, in none of the smallest, or depends on which others stand.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from itertools import pairwise

from walltriage.structure.inputs import refuse, within
from walltriage.structure.span_need import SpanNeed, SpanState, span_need
from walltriage.structure.tables import Tables

__all__ = [
    "LineClass",
    "LineSets",
    "SpanNeed",
    "SpanState",
    "bearing_lines",
    "solve_lines",
    "span_need",
]

CLOSE_IN = 1e-6  # two positions nearer than this are one line


class LineClass(StrEnum):
    """What the span arithmetic says of one candidate line."""

    NEEDED = "needed"
    IN_NO_SMALLEST = "in_no_smallest"
    DEPENDS = "depends"
    NOTHING_HOLDS = "nothing_holds"


@dataclass(frozen=True, slots=True)
class LineSets:
    """All sets of candidate lines that keep every gap within ``capacity_in``.

    ``holds`` is false when even all candidates together leave a gap that is too long
    (``longest_gap_in``).  ``classes`` and ``span_without_in`` (the gap that opens when this one
    line goes and all others stay) are by candidate name.
    """

    width_in: float
    capacity_in: float
    names: tuple[str, ...]
    positions_in: tuple[float, ...]
    holds: bool
    count: int
    smallest_size: int
    longest_gap_in: float
    classes: Mapping[str, LineClass]
    span_with_in: Mapping[str, float]
    span_without_in: Mapping[str, float]
    _next: tuple[tuple[int, ...], ...] = field(repr=False)
    _steps_left: tuple[int, ...] = field(repr=False)

    def sets(self) -> Iterator[tuple[str, ...]]:
        """Every set that holds, smallest first, then from the near side outward."""
        for size in range(self.smallest_size, len(self.names) + 1) if self.holds else ():
            yield from self._of_size(0, size, ())

    def smallest_sets(self) -> Iterator[tuple[str, ...]]:
        """The sets with the fewest lines."""
        if self.holds:
            yield from self._of_size(0, self.smallest_size, ())

    def _of_size(self, at: int, left: int, taken: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
        last = len(self.names) + 1
        for after in self._next[at]:
            if after == last:
                if left == 0:
                    yield taken
            elif self._steps_left[after] <= left:  # else the far side is out of reach
                yield from self._of_size(after, left - 1, (*taken, self.names[after - 1]))


def solve_lines(
    width_in: float, candidates_in: Mapping[str, float], capacity_in: float
) -> LineSets:
    """All sets of candidate lines that keep every span within ``capacity_in``.

    ``candidates_in`` gives each candidate's distance from the near outside line.  Raises
    :class:`InputError` for a width or capacity that is not above 0, a candidate outside the
    house, or two candidates on one line.
    """
    if not width_in > 0:
        raise refuse("house width", f"{width_in!r} in is out of range", "expected more than 0")
    if not capacity_in > 0:
        raise refuse("capacity", f"{capacity_in!r} in is out of range", "expected more than 0")
    ordered = sorted(candidates_in.items(), key=lambda item: (item[1], item[0]))
    for name, position in ordered:
        if not CLOSE_IN < position < width_in - CLOSE_IN:
            text = f"{position:g} in does not lie between the outside lines"
            raise refuse(f"line '{name}'", text, f"expected more than 0 and less than {width_in:g}")
    for (one, here), (other, there) in pairwise(ordered):
        if there - here <= CLOSE_IN:
            raise refuse(f"line '{other}'", f"rests on line '{one}'", "give them as one line")
    names = tuple(name for name, _ in ordered)
    marks = (0.0, *(position for _, position in ordered), float(width_in))
    reach = tuple(
        tuple(j for j in range(i + 1, len(marks)) if marks[j] - marks[i] <= capacity_in + CLOSE_IN)
        for i in range(len(marks))
    )
    gaps = [right - left for left, right in pairwise(marks)]
    holds = max(gaps) <= capacity_in + CLOSE_IN
    forward, backward = _counts(reach), _counts_back(reach)
    last = len(marks) - 1
    count, smallest = forward[last][0], forward[last][1]
    classes = {}
    for k, name in enumerate(names, start=1):
        through = forward[k][0] * backward[k][0]
        if not holds:
            classes[name] = LineClass.NOTHING_HOLDS
        elif through == count:
            classes[name] = LineClass.NEEDED
        elif forward[k][1] + backward[k][1] > smallest:
            classes[name] = LineClass.IN_NO_SMALLEST
        else:
            classes[name] = LineClass.DEPENDS
    return LineSets(
        float(width_in),
        float(capacity_in),
        names,
        marks[1:-1],
        holds,
        count,
        smallest - 1 if holds else 0,
        max(gaps),
        classes,
        {name: max(gaps[k], gaps[k + 1]) for k, name in enumerate(names)},
        {name: gaps[k] + gaps[k + 1] for k, name in enumerate(names)},
        reach,
        tuple(steps for _, steps in backward),
    )


def _counts(reach: tuple[tuple[int, ...], ...]) -> list[tuple[int, int]]:
    """For each line: number of ways to reach it from the near side, and fewest steps."""
    ways = [0] * len(reach)
    steps = [len(reach) * 2] * len(reach)
    ways[0], steps[0] = 1, 0
    for i, onward in enumerate(reach):
        for j in onward if ways[i] else ():
            ways[j] += ways[i]
            steps[j] = min(steps[j], steps[i] + 1)
    return list(zip(ways, steps, strict=True))


def _counts_back(reach: tuple[tuple[int, ...], ...]) -> list[tuple[int, int]]:
    """The same from the far side."""
    last = len(reach) - 1
    ways = [0] * len(reach)
    steps = [len(reach) * 2] * len(reach)
    ways[last], steps[last] = 1, 0
    for i in reversed(range(last)):
        ways[i] = sum(ways[j] for j in reach[i])
        steps[i] = 1 + min((steps[j] for j in reach[i] if ways[j]), default=2 * last)
    return list(zip(ways, steps, strict=True))


@dataclass(frozen=True, slots=True)
class LineRange:
    """The same candidates judged at the lowest, usual and highest capacity of the joists.

    A house that stands refutes a capacity too small for all its lines together, so ``settled``
    looks only at the capacities that hold: a candidate's class where they agree, ``DEPENDS``
    where they differ, ``NOTHING_HOLDS`` where none does.
    """

    lowest: LineSets
    usual: LineSets
    highest: LineSets
    settled: Mapping[str, LineClass]


def bearing_lines(
    tables: Tables,
    *,
    width_in: float,
    candidates_in: Mapping[str, float],
    capacity_in: tuple[float, float, float],
) -> LineRange:
    """Judge candidate lines for joists whose capacity is (lowest, usual, highest) inches.

    For an old house the highest should allow for overspanning (``could_not_over_in`` of
    :func:`span_need`).  Raises :class:`InputError` for a house width outside the accepted range
    and as :func:`solve_lines` does.
    """
    width = within(tables, "house_width_in", width_in)
    low, usual, high = (solve_lines(width, candidates_in, value) for value in sorted(capacity_in))
    holding = [one for one in (low, usual, high) if one.holds] or [high]
    settled = {}
    for name in low.names:
        classes = {one.classes[name] for one in holding}
        settled[name] = classes.pop() if len(classes) == 1 else LineClass.DEPENDS
    return LineRange(low, usual, high, settled)
