"""Which questions could still take a "likely non-bearing" back, or make its referral more urgent.

Every answer that might be given is tried through all rules.  An answer that only clashes with what
was told does not count: what it speaks of was asked already, another way.

Where "non-bearing" does not stand yet, an answer counts that would have to be known when it does:
nobody should be sent up again for it.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from walltriage.inference.columns.codes import Batch, Bools
from walltriage.inference.columns.evaluator import VERDICTS, BatchResult
from walltriage.inference.looks.trial import MOST_TOGETHER, Options, Trial, tried

FREE = VERDICTS.index("likely_non_bearing")


class Unsettling:
    """Tries answers on walls of which "likely non-bearing" is said, or all but said."""

    def __init__(self, trial: Trial) -> None:
        self._trial, self._evaluator = trial, trial.evaluator
        base, ids = trial.evaluator.base, trial.evaluator.rule_ids
        self._questions = list(base.questions.values())
        signs = {sign.id for _, sign in base.signs()}
        alarms = {rule.id for rule in base.cautions.referrals if rule.level == "urgent"}
        kinds = [item.kind for item in self._evaluator.stratified]
        self._counts = np.array(
            [n in signs | alarms or k == "scope" for n, k in zip(ids, kinds, strict=True)]
        )
        self._gates = np.array([kind == "gate" for kind in kinds])
        self._mark = base.guards.thresholds["non_bearing_at_most"]
        self._picked = {
            (name, base.questions[name].values.index(value))
            for glance in base.glances for item in glance.items
            for name, value in item.seen.items()
        }  # fmt: skip
        self._clashes = np.array([kind == "contradiction" for kind in kinds])

    def among(self, batch: Batch, left: Bools, passed: Bools | None = None) -> Bools:
        """Of the questions ``left`` (n, q), those that could take "likely non-bearing" back, or
        would keep it from being said; of those ``passed`` over on a page (n, q) not by what would
        have been picked there."""
        found = np.zeros(left.shape, bool)
        waiting: list[tuple[int, Options]] = []
        rows = 0
        for row in np.flatnonzero(left.any(axis=1)).tolist():
            options = [
                (self._questions[column].id, value)
                for column in np.flatnonzero(left[row]).tolist()
                for value in tried(self._questions[column])
                if passed is None
                or not passed[row, column]
                or (self._questions[column].id, value) not in self._picked
            ]
            waiting.append((row, options))
            rows += len(options) + 1
            if rows >= MOST_TOGETHER:
                self._try(batch, waiting, found)
                waiting, rows = [], 0
        if waiting:
            self._try(batch, waiting, found)
        return found

    def _try(self, batch: Batch, waiting: Sequence[tuple[int, Options]], found: Bools) -> None:
        column = self._evaluator.coder.column
        tries = [self._trial.rows(batch.rows(np.array([row])), o) for row, o in waiting]
        result, start = self._trial.evaluate(tries), 0
        for (row, options), own in zip(waiting, tries, strict=True):
            lost = self._lost(result.rows(slice(start, start + len(own))))
            start += len(own)
            found[
                row, [column[name] for (name, _), gone in zip(options, lost, strict=True) if gone]
            ] = True

    def _lost(self, result: BatchResult) -> Bools:
        """Where an answer takes the verdict of the last row back, or raises an alarm."""
        fresh = result.fired[:-1] & ~result.fired[-1:]
        shown = np.any(fresh[:, self._counts], axis=1)
        clash = np.any(fresh[:, self._clashes], axis=1)
        stands = result.verdict[-1] == FREE
        if stands:
            taken: Bools = result.verdict[:-1] != FREE
        else:
            taken = np.any(fresh[:, self._gates], axis=1)
            taken |= (result.upper[:-1] > self._mark) & (result.upper[-1] <= self._mark)
        lost: Bools = shown | (taken & ~clash)
        return lost
