"""How far the chance of bearing could still come down, by looks to come or by a look made whole."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from walltriage.inference.belief.evidence import told_as
from walltriage.inference.belief.kernel import Joint, Told, Weighed
from walltriage.inference.belief.step import LEAST_CHANCE, Beliefs, chance
from walltriage.inference.columns.codes import Bools, Floats
from walltriage.inference.looks.conditions import Conditions, Known
from walltriage.inference.looks.stack import CERTAIN

BLOCK = 512  # walls worked on together; with more the arrays leave the caches


@dataclass(frozen=True, slots=True)
class _Best:
    """Clues of one kind, along the top or not, each answered as it speaks most against bearing.

    ``questions`` (k,): columns.  ``places``: of the conditions they tell (g,), and ``starts`` (g,)
    where the clues of each begin.  ``shown``: P(that answer | state) by state (those with that
    state, 1).
    """

    questions: np.ndarray
    places: np.ndarray
    starts: np.ndarray
    shown: Joint

    def into(self, known: Joint, told: tuple[Bools, ...], left: Bools) -> None:
        """Multiply what the ``left`` (n, q) would show into what is known, by state (c, n); and
        note in ``told`` (c, n) where that is anything."""
        there = left[:, self.questions].T
        for column, shown in zip(known, self.shown, strict=False):
            count = int((self.places < len(column)).sum())
            if count:
                factor = np.where(there[: len(shown)], shown, 1.0)
                product = np.multiply.reduceat(factor, self.starts[:count])
                column[self.places[:count]] *= product
        if len(self.starts):
            some = np.logical_or.reduceat(there, self.starts)
            for where in told:
                where[self.places] |= some


class Reachable:
    """Works out the best that can still come, with one knowledge base."""

    def __init__(self, conditions: Conditions) -> None:
        self.conditions, self.step = conditions, conditions.step
        base = self.step.base
        columns = {name: index for index, name in enumerate(base.questions)}
        partial = base.guards.partial_look
        self._whole = min(partial.in_100, key=partial.in_100.__getitem__) if partial else ""
        best: dict[str, tuple[int, int, Floats]] = {}  # place, column of the question, shown
        for path in base.paths.values():
            if not path.entry.bears:
                continue
            for condition, clues in path.clues.items():
                table = self.step.belief.tables[path.id][condition]
                for clue in clues:
                    shown = told_as(self.step.kernel.clues[clue.id].table, CERTAIN)
                    bears = np.array(table.bearing) @ shown
                    clear = np.array(table.not_bearing) @ shown
                    strongest = shown[:, int(np.argmin(bears / clear))]
                    best[clue.id] = (
                        conditions.place[condition], columns[clue.question], strongest,
                    )  # fmt: skip
        self._top, self._rest = self._best(best, along=True), self._best(best, along=False)

    def _best(self, best: Mapping[str, tuple[int, int, Floats]], along: bool) -> _Best:
        clues = self.step.kernel.clues
        kept = [told for clue, told in best.items() if clues[clue].along_top == along]
        kept.sort(key=lambda told: told[0])
        of = np.array([place for place, _, _ in kept], np.intp)
        places, starts = np.unique(of, return_index=True)
        shown = self.conditions.by_state(of, [row.tolist() for _, _, row in kept])
        return _Best(np.array([column for _, column, _ in kept], np.intp), places, starts, shown)

    def least(self, beliefs: Beliefs, left: Bools) -> Floats:
        """The lowest upper bound (n,) that the chance of bearing could come down to.

        ``left`` (n, q): the questions that can still be asked; each is taken to be answered as it
        speaks most against bearing.  Base rates are taken as they stand.
        """
        walls, sides = len(left), self.conditions.sides(beliefs.told)
        known = self.conditions.known(beliefs.weighed.joints, walls)
        found = np.empty(walls)
        for start in range(0, walls, BLOCK):
            rows = slice(start, start + BLOCK)
            some = _walls(known, rows)
            self._top.into(some.top, (some.met, some.along), left[rows])
            self._rest.into(some.rest, (some.met,), left[rows])
            of = tuple([c if c.shape[1] == 1 else c[:, rows] for c in side] for side in sides)
            weighed = self.conditions.weigh(some, (of[0], of[1]), beliefs.weighed.part[rows])
            found[rows] = self._upper(beliefs, rows, weighed)
        return found

    def if_whole(self, beliefs: Beliefs) -> Floats:
        """The upper bound (n,) if the looks along the top were known to have taken in all of it."""
        partial, told, now = self.step.base.guards.partial_look, beliefs.told, beliefs.weighed
        if partial is None:
            return beliefs.measures["upper"]
        view = {(partial.fact, value): np.full(told.walls, value == self._whole)
                for value in partial.in_100}  # fmt: skip
        seen = Told(told.walls, told.codes, {**told.facts, **view})
        moved = self.conditions.moved_by(partial.fact)
        groups = {
            path: self.step.kernel.groups(path, seen, now.joints) if path in moved else group
            for path, group in now.groups.items()
        }
        part = self.step.kernel.seen_in_part(seen)
        return self._upper(beliefs, slice(None), Weighed(now.joints, groups, part))

    def _upper(self, beliefs: Beliefs, rows: slice, weighed: Weighed) -> Floats:
        ratios, total = weighed.ratios(), np.zeros(len(weighed.part))
        for column, path in enumerate(self.step.paths):
            if self.step.bears[column]:
                high = np.clip(beliefs.high[rows, column], LEAST_CHANCE, 1 - LEAST_CHANCE)
                rate = high / (1 - high) / beliefs.ratio[rows, column]
                total += chance(rate * ratios[path])
        return np.minimum(total, 1.0)


def _walls(known: Known, rows: slice) -> Known:
    """Some walls' part, to be changed in place."""
    top, rest = ([column[:, rows].copy() for column in part] for part in (known.top, known.rest))
    return Known(top, rest, known.met[:, rows].copy(), known.along[:, rows].copy(), known.by_top)
