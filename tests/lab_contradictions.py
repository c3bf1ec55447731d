"""Contradictions that true answers trip, in files of kept answers of perfect people: FILES.npz...

    python -m tests.lab_contradictions kept/first-perfect-*.npz

Whoever tells the truth must hardly ever be told that the answers cannot all be true: each
contradiction at most once in 1,000 walls (exit status 1 otherwise).
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

from walltriage.inference.columns.evaluator import ColumnEvaluator
from walltriage.knowledge.load import load_knowledge
from walltriage.lab.answers import load_answers
from walltriage.lab.where_asked import where_asked
from walltriage.rules_folder import default_rules_folder

MOST_SHARE = 1 / 1_000


def tripped(evaluator: ColumnEvaluator, file: Path) -> dict[str, float]:
    """The share of walls on which each contradiction fires that fires at all, most first."""
    batch, _ = load_answers(file, evaluator.coder)
    result = evaluator.evaluate(where_asked(evaluator, batch))
    which = np.flatnonzero(np.array(result.rule_kinds) == "contradiction")
    shares = {result.rule_ids[index]: float(result.fired[:, index].mean()) for index in which}
    return dict(sorted(((n, s) for n, s in shares.items() if s), key=lambda item: -item[1]))


def main(files: list[str]) -> int:
    evaluator = ColumnEvaluator(load_knowledge(default_rules_folder()))
    worst = 0.0
    for file in files:
        found = tripped(evaluator, Path(file))
        told = ", ".join(f"{name} {share * 1000:.2f}" for name, share in found.items())
        print(f"{Path(file).stem}: of 1,000 walls {told or 'none'}")
        worst = max([worst, *found.values()])
    return 1 if worst > MOST_SHARE else 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
