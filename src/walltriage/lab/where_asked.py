"""Which of all answers would have been asked for: those to questions that apply."""

from __future__ import annotations

import numpy as np

from walltriage.inference.columns.codes import NOT_ASKED, Batch, Bools, Coder
from walltriage.inference.columns.computed import fill_computed
from walltriage.inference.columns.evaluator import ColumnEvaluator
from walltriage.inference.looks.column_planner import ColumnPlanner

_ROUNDS = 12


def where_asked(evaluator: ColumnEvaluator, batch: Batch) -> Batch:
    """Only the answers to questions that apply, with the computed answers worked out.

    Whether a question applies may depend on other answers: it is gone through again until
    nothing changes, and after some rounds answers are only taken away.
    """
    planner = ColumnPlanner(evaluator)
    computed = np.array([q.entry.kind == "computed" for q in evaluator.base.questions.values()])
    kept = np.zeros(batch.codes.shape, bool)
    for turn in range(2 * _ROUNDS):
        shown = Batch(
            np.asfortranarray(np.where(kept, batch.codes, NOT_ASKED)),
            np.asfortranarray(np.where(kept, batch.sure, 0)),
            _numbers(evaluator.coder, batch, kept),
        )
        shown.codes[:, computed] = NOT_ASKED
        fill_computed(evaluator.coder, shown)
        wanted = planner.applicable(evaluator.evaluate(shown).fired) & (batch.codes != NOT_ASKED)
        wanted[:, computed] = False
        if turn >= _ROUNDS:
            wanted &= kept
        if (wanted == kept).all():
            break
        kept = wanted
    return shown


def _numbers(coder: Coder, batch: Batch, kept: Bools) -> np.ndarray:
    columns = [coder.column[name] for name in coder.number_column]
    return np.asfortranarray(np.where(kept[:, columns], batch.numbers, np.nan))
