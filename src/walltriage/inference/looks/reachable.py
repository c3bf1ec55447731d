"""How far the chance of bearing could still come down, by looks to come or by a look made whole."""

from __future__ import annotations

import numpy as np

from walltriage.inference.belief.kernel import Told, evidence_code
from walltriage.inference.belief.step import LEAST_CHANCE, Beliefs, BeliefStep, chance
from walltriage.inference.columns.codes import Bools, Floats
from walltriage.inference.looks.what_if import CERTAIN


class Reachable:
    """Works out the best that can still come, with one knowledge base."""

    def __init__(self, step: BeliefStep) -> None:
        self.step = step
        base, kernel = step.base, step.kernel
        columns = {name: index for index, name in enumerate(base.questions)}
        partial = base.guards.partial_look
        self._whole = min(partial.in_100, key=partial.in_100.__getitem__) if partial else ""
        self._best: list[tuple[str, int, int]] = []  # clue, column of its question, best code
        for path in base.paths.values():
            if not path.entry.bears:
                continue
            for condition, clues in path.clues.items():
                table = step.belief.tables[path.id][condition]
                for clue in clues:
                    shown = kernel.clues[clue.id].table
                    codes = [
                        evidence_code(value, CERTAIN)
                        for value in range(len(base.questions[clue.question].values))
                    ]
                    bears = np.array(table.bearing) @ shown[:, codes]
                    clear = np.array(table.not_bearing) @ shown[:, codes]
                    best = codes[int(np.argmin(bears / clear))]
                    self._best.append((clue.id, columns[clue.question], best))

    def least(self, beliefs: Beliefs, left: Bools) -> Floats:
        """The lowest upper bound (n,) that the chance of bearing could come down to.

        ``left`` (n, q): the questions that can still be asked; each is taken to be answered as it
        speaks most against bearing.  Base rates are taken as they stand.
        """
        told, walls = beliefs.told, len(left)
        codes = dict(told.codes)
        for clue, column, best in self._best:
            now = codes.get(clue)
            if now is None:
                if left[:, column].any():
                    codes[clue] = np.where(left[:, column], best, 0)
            else:
                codes[clue] = np.where(left[:, column], best, now)
        return self._upper(beliefs, Told(walls, codes, told.facts))

    def if_whole(self, beliefs: Beliefs) -> Floats:
        """The upper bound (n,) if the looks along the top were known to have taken in all of it."""
        partial, told = self.step.base.guards.partial_look, beliefs.told
        if partial is None:
            return beliefs.measures["upper"]
        view = {(partial.fact, value): np.full(told.walls, value == self._whole)
                for value in partial.in_100}  # fmt: skip
        return self._upper(beliefs, Told(told.walls, told.codes, {**told.facts, **view}))

    def _upper(self, beliefs: Beliefs, told: Told) -> Floats:
        ratios, total = self.step.kernel.ratios(told), np.zeros(told.walls)
        for column, path in enumerate(self.step.paths):
            if self.step.bears[column]:
                high = np.clip(beliefs.high[:, column], LEAST_CHANCE, 1 - LEAST_CHANCE)
                rate = high / (1 - high) / beliefs.ratio[:, column]
                total += chance(rate * ratios[path])
        return np.minimum(total, 1.0)
