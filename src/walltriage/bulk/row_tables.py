"""Results as Arrow tables, column by column from the evaluator to the file; needs pyarrow."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pyarrow as pa

from walltriage.bulk.gather import WallRef
from walltriage.bulk.rows import DIGITS, FIRED_KINDS, FiredCells, fields, urgency
from walltriage.inference.columns.evaluator import (
    PATH_STATES,
    VERDICTS,
    BatchResult,
    ColumnEvaluator,
)
from walltriage.inference.finding import LEVELS
from walltriage.plaintext import printable

KEY = ""  # the column that rows are sorted by, of which nothing is written


class RowTables:
    """Puts the results of one evaluator into tables."""

    def __init__(self, evaluator: ColumnEvaluator) -> None:
        self._names = (KEY, *fields(evaluator.base))
        self._decided = (*evaluator.rule_ids, "")  # -1: by none
        self._fired = [FiredCells(evaluator, kind) for _, kind in FIRED_KINDS]

    def __call__(
        self, refs: Sequence[WallRef], result: BatchResult, in_order: bool = False
    ) -> list[pa.Table]:
        """A table with a row for each wall; with ``in_order`` every key is the same."""
        if not refs:
            return []
        keys = np.zeros(len(result), np.int64) if in_order else urgency(result)
        file, line, *people = zip(*refs, strict=True)
        columns = [
            keys, _people(file), pa.array(line, pa.int64()), *map(_people, people),
            _words(VERDICTS, result.verdict),
            *(np.round(bound, DIGITS) for bound in (result.lower, result.upper)),
            _words(LEVELS, result.referral),
            _words(self._decided, result.decided_by % len(self._decided)),
            *(pa.array(fired.cells(result.fired), pa.string()) for fired in self._fired),
            *(_words(PATH_STATES, status) for status in result.path_status.T),
        ]  # fmt: skip
        return [pa.table(columns, names=self._names)]


def _people(texts: Sequence[str]) -> pa.Array:
    if not "".join(texts).isprintable():  # else each of them is
        texts = list(map(printable, texts))
    return pa.array(texts, pa.string())


def _words(words: Sequence[str], which: np.ndarray) -> pa.Array:
    """Words by number, which are sorted and written as numbers until they are words of a file."""
    return pa.DictionaryArray.from_arrays(pa.array(which), pa.array(words, pa.string()))
