"""All conditions of a knowledge base side by side, so that few array steps do for all of them.

The same arithmetic as :mod:`walltriage.inference.belief.kernel`'s, factor for factor in the same
order.  That goes condition by condition, which is best for thousands of walls; for the one wall
of an interview, with every answer it could get, the steps are what costs, not the numbers.

What is told state by state is a list with an item for each state.  Conditions stand in order of
how many states they have, most first, so that each item is as long as there are conditions with
that state.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from walltriage.inference.belief.kernel import Joint, Joints, Told, Weighed
from walltriage.inference.belief.step import BeliefStep
from walltriage.inference.columns.codes import Bools, Floats


@dataclass(frozen=True, slots=True)
class Known:
    """What ``n`` walls' people told of each of ``c`` conditions.

    ``top``, ``rest``: P(answers | state) of looks along the top and of others, by state (c, n);
    1 where nothing was told.  ``met``, ``along`` (c, n): where anything was, and by such looks.
    ``by_top`` (c,): whether of any wall anything was told by such looks.
    """

    top: Joint
    rest: Joint
    met: Bools
    along: Bools
    by_top: Bools


@dataclass(frozen=True, slots=True)
class Hiding:
    """For each state of some conditions, which states it may be taken for by those who see a part
    of the top, with what chances (those with both states,)."""

    shares: tuple[tuple[tuple[int, Floats], ...], ...]

    def __call__(self, top: Joint) -> Joint:
        """What looks along the top show of each state if they took in a part of it; ``top`` is
        what they show, by state, if they took in all."""
        found = []
        for column, shares in zip(top, self.shares, strict=True):
            total = np.zeros_like(column)
            for other, share in shares:
                wide = share.reshape(-1, *[1] * (column.ndim - 1))
                total[: len(share)] += wide * top[other][: len(share)]
            found.append(total)
        return found


class Conditions:
    """The conditions of all load paths; ``pairs`` are (column of the path, condition)."""

    def __init__(self, step: BeliefStep) -> None:
        self.step = step
        tables = step.belief.tables
        by_name = {name: table for of in tables.values() for name, table in of.items()}
        names = sorted(by_name, key=lambda name: -len(by_name[name].bearing))
        self.place = {name: index for index, name in enumerate(names)}
        self._states = [len(by_name[name].bearing) for name in names]
        self.pairs = sorted(
            (self.place[name], column)
            for column, path in enumerate(step.paths)
            for name in tables[path]
        )
        self.pair_at = {pair: index for index, pair in enumerate(self.pairs)}
        self.of_pair = np.array([place for place, _ in self.pairs], np.intp)
        # the pairs of each path, in the order in which its conditions weigh
        self.of_path = [
            np.array([self.pair_at[self.place[name], column] for name in tables[path]], np.intp)
            for column, path in enumerate(step.paths)
        ]
        self._bears, self._clear = (
            self.by_state(self.of_pair, [
                getattr(tables[step.paths[column]][names[place]], side)
                for place, column in self.pairs
            ])
            for side in ("bearing", "not_bearing")
        )  # fmt: skip
        self._shifting = [
            (index, step.paths[column], names[place], {(fact, value) for fact, value, _ in where})
            for index, (place, column) in enumerate(self.pairs)
            if (where := tables[step.paths[column]][names[place]].where)
        ]
        self._in_part = [by_name[name].in_part for name in names]
        self.hiding_all = self.hiding(np.arange(len(names)))

    def by_state(self, places: np.ndarray, rows: Sequence[Sequence[float]]) -> Joint:
        """Numbers by state, each (those with that state, 1); ``places`` (k,) of the conditions
        they are of, in order."""
        counts = self.counts(places)
        return [
            np.array([row[state] for row in rows[:count]])[:, None]
            for state, count in enumerate(counts)
        ]

    def counts(self, places: np.ndarray) -> list[int]:
        """How many of these conditions (k,), in order, have each state."""
        states = [self._states[place] for place in places]
        return [sum(n > state for n in states) for state in range(max(states, default=0))]

    def known(self, joints: Mapping[str, Joints], walls: int) -> Known:
        """What was told, of conditions that were told of."""
        shape = len(self._states), walls
        counts = self.counts(np.arange(len(self._states)))
        top, rest = ([np.ones((count, walls)) for count in counts] for _ in range(2))
        met, along, by_top = np.zeros(shape, bool), np.zeros(shape, bool), np.zeros(shape[0], bool)
        for name, joint in joints.items():
            place = self.place[name]
            met[place], along[place] = joint.met, joint.along
            by_top[place] = joint.top is not None
            for target, found in ((top, joint.top), (rest, joint.rest)):
                for state, column in enumerate(found or ()):
                    target[state][place] = column
        return Known(top, rest, met, along, by_top)

    def hiding(self, places: np.ndarray) -> Hiding:
        """What a part of the top hides of these conditions (k,), in order."""
        tables = [self._in_part[place] for place in places]
        counts = self.counts(places)
        shares = []
        for state, count in enumerate(counts):
            row = []
            for other, least in enumerate(counts):
                seen = [
                    float(state == other) if table is None else table[state][other]
                    for table in tables[: min(count, least)]
                ]
                if any(seen):
                    row.append((other, np.array(seen)))
            shares.append(tuple(row))
        return Hiding(tuple(shares))

    def sides(self, told: Told) -> tuple[Joint, Joint]:
        """P(state | bears) and P(state | does not) by state, each (pairs, 1 or n)."""
        moved = list(self._moved(told))
        if not moved:
            return self._bears, self._clear
        shape = told.walls
        both = tuple(
            [np.repeat(column, shape, axis=1) for column in side]
            for side in (self._bears, self._clear)
        )
        for index, path, name in moved:
            for state, pair in enumerate(self.step.kernel.sides(path, name, told)):
                for side, column in zip(both, pair, strict=True):
                    side[state][index] = column
        return both[0], both[1]

    def moved_by(self, fact: str) -> set[str]:
        """The paths on which a condition weighs otherwise by a fact of the situation."""
        return {path for _, path, _, facts in self._shifting if fact in {f for f, _ in facts}}

    def weigh(self, known: Known, sides: tuple[Joint, Joint], part: Floats) -> Weighed:
        """What is known comes to on each path, as :meth:`Kernel.groups` has it."""
        whole = product(known.top, known.rest)
        hidden = product(self.hiding_all(known.top), known.rest)
        ones, pair = np.ones(1), self.of_pair
        along = known.along[pair]
        apart = known.met[pair] & ~along
        seen = [weighed(side, self._of_pairs(whole)) for side in sides]
        missed = [weighed(side, self._of_pairs(hidden)) for side in sides]
        plain = np.where(apart, seen[0] / seen[1], ones)
        both = [np.where(along, one, ones) for one in (*seen, *missed)]
        groups = {}
        for path, which in zip(self.step.paths, self.of_path, strict=True):
            alone, *rest = (np.multiply.reduce(one[which]) for one in (plain, *both))
            groups[path] = alone, (rest[0], rest[1]), (rest[2], rest[3])
        return Weighed({}, groups, part)

    def _of_pairs(self, joint: Joint) -> Joint:
        return [column[self.of_pair[self.of_pair < len(column)]] for column in joint]

    def _moved(self, told: Told) -> Iterator[tuple[int, str, str]]:
        for index, path, name, facts in self._shifting:
            if any(told.facts[fact].any() for fact in facts & told.facts.keys()):
                yield index, path, name


def weighed(side: Joint, joint: Joint) -> Floats:
    """P(answers | side), of what is told by state."""
    found = side[0] * joint[0]
    for share, column in zip(side[1:], joint[1:], strict=True):
        found[: len(column)] += share * column
    return found


def product(one: Joint, other: Joint) -> Joint:
    return [a * b for a, b in zip(one, other, strict=True)]
