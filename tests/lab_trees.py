"""Boosted trees on all answers, as a measure of what the answers hold: FILES.npz...

    python -m tests.lab_trees kept/*.npz        (needs the extra `crosscheck`)

They are fitted to simulated houses and judge nobody's wall.  With the kinds of house left out
of the fit they show what is learned of houses that nobody fitted; in sample, what the
generator itself gives away.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
from sklearn.ensemble import HistGradientBoostingClassifier
from sklearn.model_selection import GroupKFold
from threadpoolctl import threadpool_limits

from walltriage.inference.columns.codes import Batch
from walltriage.inference.columns.evaluator import ColumnEvaluator
from walltriage.knowledge.load import load_knowledge
from walltriage.lab.answers import Truth, load_answers
from walltriage.lab.measures import best_cut
from walltriage.rules_folder import default_rules_folder

MOST_MISSED = 0.0003
FOLDS = 5


def table_of(batch: Batch) -> np.ndarray:
    """Codes, how sure, and numbers side by side; columns that never vary left out."""
    whole = np.column_stack([batch.codes, batch.sure, batch.numbers]).astype(np.float32)
    varies = np.nanmax(np.nan_to_num(whole, nan=-1.0), axis=0) > np.nanmin(
        np.nan_to_num(whole, nan=-1.0), axis=0
    )
    kept: np.ndarray = whole[:, varies]
    return kept


def chances(table: np.ndarray, truth: Truth, left_out: bool) -> np.ndarray:
    """The chance that each wall bears (n,), by trees that have not seen its kind or have."""
    found = np.empty(len(truth))
    if not left_out:
        found[:] = _fit(table, truth.bears).predict_proba(table)[:, 1]
        return found
    for fit, rest in GroupKFold(FOLDS).split(table, truth.bears, truth.kind):
        found[rest] = _fit(table[fit], truth.bears[fit]).predict_proba(table[rest])[:, 1]
    return found


def _fit(table: np.ndarray, bears: np.ndarray) -> HistGradientBoostingClassifier:
    trees = HistGradientBoostingClassifier(
        max_iter=200, learning_rate=0.08, max_leaf_nodes=15, l2_regularization=1.0, random_state=0
    )
    with threadpool_limits(1, "openmp"):  # threads that wait for each other on a busy machine
        return trees.fit(table, bears)


def main(files: list[str]) -> None:
    coder = ColumnEvaluator(load_knowledge(default_rules_folder())).coder
    print("| answers | NB recognised at 0.03 % missed: kinds left out | in sample |\n|---|---|---|")
    for file in files:
        batch, truth = load_answers(Path(file), coder)
        table = table_of(batch)
        cells = [
            f"{best_cut(chances(table, truth, out), truth.bears, MOST_MISSED):.1%}"
            for out in (True, False)
        ]
        print(f"| {Path(file).stem} | {' | '.join(cells)} |", flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
