"""What a rules folder says of many random walls, kept in a file to be compared with later.

After rules are written another way, they have to say the same:

    python -m tests.inference.rule_results before.npz                 # in the tree before
    python -m tests.inference.rule_results after.npz --against before.npz

Rules, paths and verdicts are compared by name and every chance to 1e-9; exit status 1 and each
difference counted when something differs.  Answers are drawn with the questions as they stand, so
both trees need the same questions and options in the same order.
"""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tests.inference.answer_sets import random_answers
from walltriage.inference.columns.evaluator import ColumnEvaluator
from walltriage.knowledge.load import load_knowledge

BLOCK = 500
TOLERANCE = 1e-9
MEASURES = ("lower", "middle", "upper", "upper_without_adverse")

Results = dict[str, NDArray[Any]]


def results(rules: Path, walls: int) -> Results:
    """Verdict, chances and fired rules of ``walls`` random answer sets, one row each."""
    columns = ColumnEvaluator(load_knowledge(rules))
    base, order = columns.base, np.argsort(columns.rule_ids)
    blocks: list[Results] = []
    for start in range(0, walls, BLOCK):
        seeds = range(start, min(start + BLOCK, walls))
        found = columns.evaluate(columns.encode([random_answers(base, seed) for seed in seeds]))
        blocks.append(
            {name: np.asarray(getattr(found, name)) for name in MEASURES}
            | {"low": found.path_low, "high": found.path_high, "status": found.path_status}
            | {"verdict": found.verdict, "referral": found.referral}
            | {"fired": np.asarray(found.fired)[:, order]}
        )
    whole = {name: np.concatenate([block[name] for block in blocks]) for name in blocks[0]}
    return whole | {"rules": np.array(columns.rule_ids)[order]}


def differences(before: Results, after: Results) -> list[str]:
    """What differs, in plain lines with the number of walls."""
    lost = sorted(set(before["rules"]) ^ set(after["rules"]))
    found = [f"rules that only one of them has: {', '.join(lost)}"] if lost else []
    for name in (*MEASURES, "low", "high", "status", "verdict", "referral"):
        rows = np.abs(before[name].astype(float) - after[name]).reshape(len(after[name]), -1)
        if (walls := int((rows > TOLERANCE).any(axis=1).sum())) > 0:
            found.append(f"{name}: {walls} walls, by {rows.max():.3g} at most")
    for name in sorted(set(before["rules"]) & set(after["rules"])):
        was, now = (one["fired"][:, list(one["rules"]).index(name)] for one in (before, after))
        if walls := int((was != now).sum()):
            found.append(f"{name} fired: {int(was.sum())} walls before, {int(now.sum())} now")
    return found


def main() -> int:
    """Keep the results of one tree, and compare them with those of another."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("out", type=Path)
    parser.add_argument("--against", type=Path)
    parser.add_argument("--walls", type=int, default=20_000)
    parser.add_argument("--rules", type=Path, default=Path(__file__).resolve().parents[2] / "rules")
    given = parser.parse_args()
    after = results(given.rules, given.walls)
    np.savez_compressed(given.out, **after)
    if given.against is None:
        return 0
    with np.load(given.against) as file:
        found = differences(dict(file), after)
    for line in found:
        print(line)
    print(f"{given.walls} walls, {len(found)} differences")
    return 1 if found else 0


if __name__ == "__main__":
    raise SystemExit(main())
