"""What a change of rules moves: the same walls under two knowledge bases.

Answers are read under the new rules and put over to the old ones by the ids of question
and option; measured numbers are put into the old bands.  What the old rules do not know
counts as not asked there.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from walltriage.bulk.gather import WallRef
from walltriage.bulk.rows import DIGITS, Cell, line
from walltriage.inference.columns.codes import (
    FIRST_VALUE,
    NO_BAND,
    NOT_ASKED,
    Batch,
    Coder,
    is_measured,
)
from walltriage.inference.columns.computed import fill_computed
from walltriage.inference.columns.evaluator import (
    PATH_STATES,
    VERDICTS,
    BatchResult,
    ColumnEvaluator,
)
from walltriage.inference.engine.strata import BELIEF

FIELDS = (
    "file", "line", "case", "wall", "name", "before", "after", "lowest_before",
    "highest_before", "lowest", "highest", "now_fired", "no_longer_fired", "paths_moved",
)  # fmt: skip
SHOWN = ("before", "after", "case", "wall", "now_fired", "no_longer_fired")
MOVED = 1e-9
_SAFETY = ("likely_bearing", "cannot_tell", "likely_non_bearing")


class Translator:
    """Puts batches of one knowledge base over to another."""

    def __init__(self, new: Coder, old: Coder) -> None:
        self.new, self.old = new, old
        self._tables: list[tuple[int, int, np.ndarray]] = []
        self._measured: list[tuple[int, int, int, int, np.ndarray]] = []
        for name in old.questions:
            question = old.base.questions[name]
            same = name in new.column and is_measured(question) == (name in new.number_column)
            if not same or question.entry.kind == "computed":
                continue
            ours, theirs = new.column[name], old.column[name]
            self._tables.append((ours, theirs, self._table(ours, theirs)))
            if is_measured(question):
                marks = [question.number(b.under) for b in question.entry.bands if b.under]
                numbers = new.number_column[name], old.number_column[name]
                self._measured.append((ours, theirs, *numbers, np.array(marks, float)))

    def _table(self, ours: int, theirs: int) -> np.ndarray:
        """Old code by new code (256,); 0 for an option that the old rules do not have."""
        table = np.zeros(256, np.uint8)
        table[:FIRST_VALUE] = range(FIRST_VALUE)
        old = self.old.values[theirs]
        for index, value in enumerate(self.new.values[ours]):
            if value in old:
                table[FIRST_VALUE + index] = FIRST_VALUE + old.index(value)
        if not self.new.values[ours] and not old:
            table[FIRST_VALUE] = FIRST_VALUE
        return table

    def over(self, batch: Batch) -> Batch:
        """The batch as the old knowledge base would have it."""
        found = self.old.empty(len(batch))
        for ours, theirs, table in self._tables:
            codes = table[batch.codes[:, ours]]
            found.codes[:, theirs] = codes
            found.sure[:, theirs] = np.where(codes != NOT_ASKED, batch.sure[:, ours], 0)
        for ours, theirs, number, their_number, marks in self._measured:
            given = batch.codes[:, ours] >= FIRST_VALUE
            values = batch.numbers[:, number]
            bands = FIRST_VALUE + np.searchsorted(marks, values, side="right")
            if len(marks):  # what lay about the end of a band is not put into one here
                bands[batch.codes[:, ours] == NO_BAND] = NO_BAND
            found.codes[given, theirs] = bands[given]
            found.sure[given, theirs] = batch.sure[given, ours]
            found.numbers[:, their_number] = values
        fill_computed(self.old, found)
        return found


class Comparer:
    """Evaluates walls under both knowledge bases and tells verdicts that moved."""

    def __init__(self, new: ColumnEvaluator, old: ColumnEvaluator) -> None:
        self.old = old
        self._over = Translator(new.coder, old.coder).over
        both = set(new.rule_ids) & set(old.rule_ids) - {BELIEF}
        skipped = {BELIEF, *new.base.questions, *old.base.questions}
        self._pairs = [
            (name, new.rule_ids.index(name), old.rule_ids.index(name))
            for name in new.rule_ids
            if name in both - skipped
        ]
        self._only_new = [(n, i) for i, n in enumerate(new.rule_ids) if n not in both | skipped]
        self._only_old = [(n, i) for i, n in enumerate(old.rule_ids) if n not in both | skipped]
        self._paths = [p for p in new.base.paths if p in old.base.paths]

    def compare(
        self, refs: Sequence[WallRef], batch: Batch, after: BatchResult
    ) -> tuple[list[str], dict[str, int]]:
        """Lines of walls whose verdict moved, and how many walls made each move."""
        before = self.old.evaluate(self._over(batch))
        rows, moves = [], {}
        pairs, counts = np.unique(
            np.stack([before.verdict, after.verdict]), axis=1, return_counts=True
        )
        for (was, now), count in zip(pairs.T.tolist(), counts.tolist(), strict=True):
            moves[f"{VERDICTS[was]} -> {VERDICTS[now]}"] = count
        for row in np.flatnonzero(before.verdict != after.verdict).tolist():
            rows.append(
                line(self._key(before, after, row), self._cells(refs[row], before, after, row))
            )
        return rows, moves

    def _key(self, before: BatchResult, after: BatchResult, row: int) -> int:
        """The moves towards non-bearing first: those are where a change could do harm."""
        was, now = (_SAFETY.index(VERDICTS[r.verdict[row]]) for r in (before, after))
        chance = round((1 - min(float(before.upper[row]), 1.0)) * (10**9 - 1))
        return (2 + was - now) * 10**9 + chance

    def _cells(self, ref: WallRef, before: BatchResult, after: BatchResult, row: int) -> list[Cell]:
        new, old = after.fired[row], before.fired[row]
        now = [name for name, ours, theirs in self._pairs if new[ours] and not old[theirs]]
        gone = [name for name, ours, theirs in self._pairs if old[theirs] and not new[ours]]
        now += [name for name, index in self._only_new if new[index]]
        gone += [name for name, index in self._only_old if old[index]]
        bounds = (before.lower, before.upper, after.lower, after.upper)
        return [
            ref.path, ref.line, ref.case, ref.wall, ref.name, VERDICTS[before.verdict[row]],
            VERDICTS[after.verdict[row]], *(round(float(b[row]), DIGITS) for b in bounds),
            ";".join(now), ";".join(gone), ";".join(self._moved(before, after, row)),
        ]  # fmt: skip

    def _moved(self, before: BatchResult, after: BatchResult, row: int) -> list[str]:
        """Load paths whose status or bounds moved: new weights, base rates or thresholds."""
        found = []
        for path in self._paths:
            was, now = before.path_ids.index(path), after.path_ids.index(path)
            states = (
                PATH_STATES[before.path_status[row, was]],
                PATH_STATES[after.path_status[row, now]],
            )
            high = float(before.path_high[row, was]), float(after.path_high[row, now])
            low = float(before.path_low[row, was]), float(after.path_low[row, now])
            if states[0] != states[1] or max(abs(high[0] - high[1]), abs(low[0] - low[1])) > MOVED:
                found.append(f"{path} {states[0]} {high[0]:.4f} to {states[1]} {high[1]:.4f}")
        found += [f"{path} is new" for path in after.path_ids if path not in before.path_ids]
        found += [f"{path} is gone" for path in before.path_ids if path not in after.path_ids]
        return found
