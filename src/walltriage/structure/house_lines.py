"""Which lines of support a house cannot do without, over all its levels together.

On every level the chosen lines must leave no span longer than the joists can reach, and every
chosen line must stand within a joist's depth of a chosen line of the level below (IRC R502.4),
or over an outside wall.  All such choices are counted by dynamic programming over the sets of
one level at a time; nothing is enumerated across levels.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from walltriage.errors import refuse

CLOSE_IN = 1e-6  # two positions nearer than this are one line
MOST_LINES = 14  # of one level: their sets are walked through one by one


class LineClass(StrEnum):
    """What the span arithmetic says of one candidate line: in every choice that holds, in none of
    the smallest, or in some of them."""

    NEEDED = "needed"
    IN_NO_SMALLEST = "in_no_smallest"
    DEPENDS = "depends"
    NOTHING_HOLDS = "nothing_holds"


@dataclass(frozen=True, slots=True)
class LevelLines:
    """One level: its width square to the lines, the candidates in it, the reach of its joists.

    ``known`` are lines that are known to bear (true) or not to (false).
    """

    width_in: float
    candidates_in: Mapping[str, float]
    capacity_in: float
    known: Mapping[str, bool]


@dataclass(frozen=True, slots=True)
class HouseLines:
    """``count`` choices hold; the class of every candidate by name; fewest lines needed.

    With ``count`` 0 nothing holds: spans beyond reach, or lines that do not stack.
    """

    count: int
    fewest: int
    classes: Mapping[str, LineClass]


def solve_house(levels: Sequence[LevelLines], joist_depth_in: float) -> HouseLines:
    """Judge the candidates of every level, given from the lowest level up.

    Raises :class:`InputError` for more than 14 candidates on one level, a candidate outside
    the house, or one name used twice.
    """
    names = [name for level in levels for name in level.candidates_in]
    if len(set(names)) != len(names):
        raise refuse("lines", "one name is used twice", "give each line its own name")
    for level in levels:
        if len(level.candidates_in) > MOST_LINES:
            raise refuse("lines", f"{len(level.candidates_in)} on one level", "expected 14 at most")
        for name, at in level.candidates_in.items():
            if not CLOSE_IN < at < level.width_in - CLOSE_IN:
                expected = f"expected more than 0 and less than {level.width_in:g}"
                raise refuse(f"line '{name}'", f"{at:g} in lies outside the house", expected)
    count, fewest = _solve(levels, joist_depth_in, {})
    classes = {}
    for name in names:
        if not count:
            classes[name] = LineClass.NOTHING_HOLDS
            continue
        without, _ = _solve(levels, joist_depth_in, {name: False})
        _, fewest_with = _solve(levels, joist_depth_in, {name: True})
        if not without:
            classes[name] = LineClass.NEEDED
        else:
            within = fewest_with == fewest
            classes[name] = LineClass.DEPENDS if within else LineClass.IN_NO_SMALLEST
    return HouseLines(count, fewest if count else 0, classes)


def _solve(
    levels: Sequence[LevelLines], depth_in: float, forced: Mapping[str, bool]
) -> tuple[int, int]:
    """(number of choices that hold, fewest lines in one) with some lines forced in or out."""
    best = 10**9
    if any(level.known.get(name, bears) is not bears
           for level in levels for name, bears in forced.items()):  # fmt: skip
        return 0, best
    above: list[tuple[int, int]] | None = None  # by set of the level above: ways, fewest
    above_lines: list[float] = []
    for level in reversed(levels):
        ordered = sorted(level.candidates_in.items(), key=lambda item: item[1])
        marks = [at for _, at in ordered]
        known = {**level.known, **forced}
        must = sum(1 << i for i, (name, _) in enumerate(ordered) if known.get(name) is True)
        must_not = sum(1 << i for i, (name, _) in enumerate(ordered) if known.get(name) is False)
        summed = _over_subsets(above, len(above_lines)) if above is not None else None
        here: list[tuple[int, int]] = []
        for chosen in range(1 << len(marks)):
            if chosen & must != must or chosen & must_not or not _holds(level, marks, chosen):
                here.append((0, best))
                continue
            size = chosen.bit_count()
            if summed is None:
                here.append((1, size))
                continue
            ways, fewest = summed[_stands_on(above_lines, marks, chosen, level, depth_in)]
            here.append((ways, size + fewest))
        above, above_lines = here, marks
    ways = sum(one for one, _ in above or [])
    return ways, min((fewest for one, fewest in above or [] if one), default=best)


def _holds(level: LevelLines, marks: list[float], chosen: int) -> bool:
    at = 0.0
    for index, mark in enumerate((*marks, level.width_in)):
        if index == len(marks) or chosen >> index & 1:
            if mark - at > level.capacity_in + CLOSE_IN:
                return False
            at = mark
    return True


def _stands_on(
    above: list[float], marks: list[float], chosen: int, level: LevelLines, depth_in: float
) -> int:
    """The set of upper lines that have one of the chosen lines, or an outside wall, below."""
    below = [m for i, m in enumerate(marks) if chosen >> i & 1] + [0.0, level.width_in]
    return sum(1 << i for i, at in enumerate(above) if min(abs(at - b) for b in below) <= depth_in)


def _over_subsets(table: list[tuple[int, int]], lines: int) -> list[tuple[int, int]]:
    """For every set, the ways of all its subsets added up, and the fewest lines among them."""
    ways = [one for one, _ in table]
    fewest = [few if one else 10**9 for one, few in table]
    for bit in range(lines):
        for chosen in range(len(ways)):
            if chosen >> bit & 1:
                ways[chosen] += ways[chosen ^ (1 << bit)]
                fewest[chosen] = min(fewest[chosen], fewest[chosen ^ (1 << bit)])
    return list(zip(ways, fewest, strict=True))
