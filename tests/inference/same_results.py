"""Columns against the reference, wall for wall; also the command for the long comparison.

``python -m tests.inference.same_results --cases 20000`` compares that many random cases
on the shipped rules and prints every difference; exit status 1 when there is any.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from tests.inference.answer_sets import random_answers
from walltriage.case.model import Answer
from walltriage.inference import explain
from walltriage.inference.columns.evaluator import (
    PATH_STATES,
    VERDICTS,
    BatchResult,
    ColumnEvaluator,
)
from walltriage.inference.engine.evaluate import Evaluation
from walltriage.inference.finding import LEVELS
from walltriage.inference.numbers.computed import computed_answers
from walltriage.inference.triage import Triager
from walltriage.knowledge.load import load_knowledge

TOLERANCE = 1e-9
KINDS = ("contradiction", "caution", "scope", "gate")


def differences(
    triager: Triager, columns: ColumnEvaluator, sets: Sequence[Mapping[str, Answer]]
) -> list[str]:
    """Every way in which the columns' results differ from the reference's, in plain lines."""
    batch = columns.encode(sets)
    result = columns.evaluate(batch)
    found = []
    for row, given in enumerate(sets):
        one = triager.evaluator.evaluate({**given, **computed_answers(triager.base, given)})
        told = [*_rules(triager, one, result, row), *_belief(one, result, row)]
        found += [f"set {row}: {line}" for line in told]
    return found


def _rules(triager: Triager, one: Evaluation, result: BatchResult, row: int) -> Iterable[str]:
    theirs, ours = [firing.rule for firing in one.firings], result.fired_rules(row)
    if theirs != ours:
        yield f"fired {set(theirs) ^ set(ours) or 'in another order'}"
    for kind in KINDS:
        if [firing.rule for firing in one.fired(kind)] != result.fired_rules(row, kind):
            yield f"{kind}s differ"
    if one.verdict != VERDICTS[result.verdict[row]]:
        yield f"verdict {one.verdict} and {VERDICTS[result.verdict[row]]}"
    index = result.decided_by[row]
    decided = result.rule_ids[index] if index >= 0 else None
    if one.decided_by != decided:
        yield f"decided by {one.decided_by} and {decided}"
    level = explain.referral(triager.evaluator, one).level
    if level != LEVELS[result.referral[row]]:
        yield f"referral {level} and {LEVELS[result.referral[row]]}"


def _belief(one: Evaluation, result: BatchResult, row: int) -> Iterable[str]:
    for name, number in one.measures.items():
        if abs(number - getattr(result, name)[row]) > TOLERANCE:
            yield f"{name} {number} and {getattr(result, name)[row]}"
    for column, (path, state) in enumerate(one.paths.items()):
        if state.status != PATH_STATES[result.path_status[row, column]]:
            yield f"{path} {state.status} and {PATH_STATES[result.path_status[row, column]]}"
        if abs(state.low - result.path_low[row, column]) > TOLERANCE:
            yield f"{path} low {state.low} and {result.path_low[row, column]}"
        if abs(state.high - result.path_high[row, column]) > TOLERANCE:
            yield f"{path} high {state.high} and {result.path_high[row, column]}"
        if state.seen_against != result.seen_against[row, column]:
            yield f"{path} seen against: {state.seen_against} in the reference only"


def main() -> int:
    """Compare many random cases on one knowledge base."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--cases", type=int, default=20_000)
    parser.add_argument("--rules", type=Path, default=Path(__file__).resolve().parents[2] / "rules")
    given = parser.parse_args()
    triager = Triager(load_knowledge(given.rules))
    columns = ColumnEvaluator(triager.base)
    total = 0
    for start in range(0, given.cases, 500):
        seeds = range(start, min(start + 500, given.cases))
        found = differences(triager, columns, [random_answers(triager.base, s) for s in seeds])
        for line in found:
            print(f"seeds from {start}: {line}")
        total += len(found)
        print(f"{seeds.stop} compared, {total} differences", file=sys.stderr)
    print(f"{given.cases} cases, {total} differences")
    return 1 if total else 0


if __name__ == "__main__":
    raise SystemExit(main())
