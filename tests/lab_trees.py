"""Boosted trees on all answers, as a measure of what the answers hold: FILES.npz...

    python -m tests.lab_trees kept/*.npz        (needs the extra `crosscheck`)

They are fitted to simulated houses and judge nobody's wall.  Files whose names differ only in
digits (other seeds of the same people) are put together.  With the kinds of house left out of
the fit the trees show what is learned of houses that nobody fitted; in sample, what the
generator itself gives away.  Beside them stand the rules on the same walls.
"""

from __future__ import annotations

import re
import sys
from collections import defaultdict
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from sklearn.ensemble import HistGradientBoostingClassifier
from sklearn.model_selection import GroupKFold
from threadpoolctl import threadpool_limits

from walltriage.inference.columns.codes import Batch, Bools, Floats, joined
from walltriage.inference.columns.evaluator import ColumnEvaluator
from walltriage.knowledge.load import load_knowledge
from walltriage.lab.answers import Truth, load_answers
from walltriage.lab.measures import NON_BEARING
from walltriage.lab.where_asked import where_asked
from walltriage.rules_folder import default_rules_folder

MOST_MISSED = 0.0003  # of the bearing walls, the row of safety
MOST_BRACES = 0.01  # of the walls that only brace, likewise
FOLDS = 5
HEAD = (
    "| answers (NB recognized where framing was seen; bearing and only-bracing walls called NB) "
    "| rules | trees, at 0.03 % missed | trees, bracing at 1 % as well "
    "| in sample, both |\n|---|---|---|---|---|"
)


@dataclass(frozen=True, slots=True)
class Told:
    """What was called non-bearing: the share of those that bear nothing and whose framing was
    seen, and how many bear or only brace."""

    recognized: float
    missed: int
    braces: int

    def __str__(self) -> str:
        return f"{self.recognized:.1%} ({self.missed}, {self.braces})"


def told(free: Bools, truth: Truth) -> Told:
    """The walls called non-bearing (n,), counted."""
    idle_and_seen = ~truth.bears & truth.seen
    return Told(
        float(free[idle_and_seen].mean()),
        int((free & truth.bears).sum()),
        int((free & truth.braces_only).sum()),
    )


def under_cut(score: Floats, *held: tuple[Bools, float]) -> Bools:
    """The walls (n,) under the highest cut of ``score`` (n,) that keeps to every row of
    ``held``: at most that share of these walls is under it."""
    cut = np.inf
    for walls, share in held:
        worst = np.sort(score[walls])
        if len(worst):
            cut = min(cut, worst[min(int(share * len(worst)), len(worst) - 1)])
    under: Bools = score < cut
    return under


def table_of(batch: Batch) -> np.ndarray:
    """Codes, how sure, and numbers side by side; columns that never vary left out."""
    whole = np.column_stack([batch.codes, batch.sure, batch.numbers]).astype(np.float32)
    varies = np.nanmax(np.nan_to_num(whole, nan=-1.0), axis=0) > np.nanmin(
        np.nan_to_num(whole, nan=-1.0), axis=0
    )
    kept: np.ndarray = whole[:, varies]
    return kept


def chances(table: np.ndarray, target: Bools, kind: np.ndarray, left_out: bool) -> Floats:
    """The chance that ``target`` holds (n,), by trees that did not see the wall's kind or did."""
    found = np.empty(len(target))
    if not left_out:
        found[:] = _fit(table, target).predict_proba(table)[:, 1]
        return found
    for fit, rest in GroupKFold(FOLDS).split(table, target, kind):
        found[rest] = _fit(table[fit], target[fit]).predict_proba(table[rest])[:, 1]
    return found


def _fit(table: np.ndarray, target: Bools) -> HistGradientBoostingClassifier:
    trees = HistGradientBoostingClassifier(
        max_iter=200, learning_rate=0.08, max_leaf_nodes=15, l2_regularization=1.0, random_state=0
    )
    with threadpool_limits(1, "openmp"):  # threads that wait for each other on a busy machine
        return trees.fit(table, target)


def row(evaluator: ColumnEvaluator, batch: Batch, truth: Truth) -> list[Told]:
    """One row of the table: the rules, then the trees held to one row of safety, to both, and
    to both in sample.

    Trees that learn what bears, and trees that learn what bears or braces, each do better
    somewhere when held to both; the better of the two is told.
    """
    missed, braces = (truth.bears, MOST_MISSED), (truth.braces_only, MOST_BRACES)
    rules = evaluator.evaluate(where_asked(evaluator, batch)).verdict == NON_BEARING
    table = table_of(batch)
    targets = (truth.bears, truth.bears | truth.braces_only)
    outside, inside = (
        [chances(table, target, truth.kind, out) for target in targets] for out in (True, False)
    )
    both, sample = (
        max((told(under_cut(score, missed, braces), truth) for score in scores),
            key=lambda cell: cell.recognized)
        for scores in (outside, inside)
    )  # fmt: skip
    return [told(rules, truth), told(under_cut(outside[0], missed), truth), both, sample]


def main(files: list[str]) -> None:
    evaluator = ColumnEvaluator(load_knowledge(default_rules_folder()))
    pools = defaultdict(list)
    for file in files:
        pools[re.sub(r"\d", "", Path(file).stem)].append(load_answers(Path(file), evaluator.coder))
    print(HEAD)
    for name, parts in pools.items():
        batch, truth = joined([part[0] for part in parts]), Truth.joined([p[1] for p in parts])
        cells = " | ".join(str(cell) for cell in row(evaluator, batch, truth))
        print(
            f"| {name}, {len(truth)} walls, {int(truth.bears.sum())} bear, "
            f"{int(truth.braces_only.sum())} only brace | {cells} |",
            flush=True,
        )


if __name__ == "__main__":
    main(sys.argv[1:])
