"""The same cases through both doors: one at a time as ``triage``, many at once as ``batch``.

``python -m tests.inference.both_doors --cases 5000`` judges that many random cases on the shipped
rules, a third of them with plans, and every shipped case and transcript, and prints every
difference; exit status 1 when there is any.
"""

from __future__ import annotations

import argparse
import json
import random
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from tests.inference.answer_sets import random_answers
from tests.inference.house_plans import random_plan
from tests.inference.same_results import TOLERANCE
from walltriage.bulk.blocks import Block, blocks
from walltriage.bulk.read import BlockReader
from walltriage.case.model import HOUSE, Case, Wall
from walltriage.case.read import parse_case
from walltriage.case.write import case_data
from walltriage.errors import InputError
from walltriage.inference import explain
from walltriage.inference.columns.evaluator import (
    PATH_STATES,
    VERDICTS,
    BatchResult,
    ColumnEvaluator,
)
from walltriage.inference.finding import LEVELS
from walltriage.inference.triage import Triager
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.load import load_knowledge

ROOT = Path(__file__).resolve().parents[2]
SHIPPED = tuple(ROOT / name for name in ("tests/demo_houses", "transcripts_demo", "tests/red_team"))


@dataclass(slots=True)
class Count:
    """What was compared."""

    cases: int = 0
    walls: int = 0
    with_plan: int = 0
    refused: int = 0

    def __str__(self) -> str:
        return (
            f"{self.cases} cases ({self.with_plan} with plans) of {self.walls} walls compared, "
            f"{self.refused} refused by both"
        )


def random_block(base: KnowledgeBase, seed: int) -> Block:
    """A case as a line of JSON: every third with a plan, of one to four walls."""
    draw = random.Random(seed)
    planned = seed % 3 == 0
    names = [f"w{i + 1}" for i in range(draw.randrange(2, 5) if planned else 1)]
    share = draw.choice([None, 0.05, 0.2])
    answers = [_asked(base, seed * 7 + i, share) for i in range(len(names))]
    house = {n: a for n, a in answers[0].items() if base.questions[n].scope == HOUSE}
    walls = tuple(
        Wall(name, answers={n: a for n, a in own.items() if base.questions[n].scope != HOUSE})
        for name, own in zip(names, answers, strict=True)
    )
    data = case_data(Case(f"case {seed}", house, walls))
    if planned:
        data["plan"] = random_plan(draw, names)
    return Block(f"seed {seed}", "jsonl", data=json.dumps(data).encode())


def _asked(base, seed, share):
    answers = random_answers(base, seed, share)
    return {n: a for n, a in answers.items() if base.questions[n].entry.kind != "computed"}


def shipped_blocks() -> list[Block]:
    """Every case and transcript that comes with the program."""
    return list(blocks(path for folder in SHIPPED for path in sorted(folder.glob("[0-9p]*.yaml"))))


def differences(
    triager: Triager, columns: ColumnEvaluator, given: Sequence[Block], count: Count
) -> list[str]:
    """Every way in which the two doors differ on these blocks, each of one case."""
    batch, gathered = BlockReader(columns).read(given)
    result = columns.evaluate(batch)
    told, row = [], 0
    for block in given:
        try:
            case = parse_case(block.data.decode(), block.path, triager.base.questions)
        except InputError:
            count.refused += 1
            continue
        count.cases += 1
        count.with_plan += case.plan is not None
        for wall in case.walls:
            ref = gathered.refs[row]
            if (ref.path, ref.wall) != (block.path, wall.id):
                return [*told, f"{block.path} {wall.id}: row {row} is {ref.path} {ref.wall}"]
            told += [
                f"{block.path} {wall.id}: {line}"
                for line in _wall(triager, case, wall.id, result, row)
            ]
            row += 1
            count.walls += 1
    if row != len(gathered.refs):
        told.append(f"{len(gathered.refs) - row} walls more in the batch")
    return told


def _wall(triager: Triager, case: Case, wall_id: str, result: BatchResult, row: int):
    answers = triager.answers(case, wall_id)
    one = triager.evaluate(case, wall_id)
    evaluator = triager.evaluator
    decided = result.decided_by[row]
    pairs = {
        "verdict": (one.verdict, VERDICTS[result.verdict[row]]),
        "decided by": (one.decided_by, result.rule_ids[decided] if decided >= 0 else None),
        "load paths": (
            [state.status for state in one.paths.values()],
            [PATH_STATES[code] for code in result.path_status[row]],
        ),
        "contradictions": (
            [clash.rule for clash in explain.contradictions(evaluator, one, answers)],
            result.fired_rules(row, "contradiction"),
        ),
        "cautions": (
            sorted(caution.rule for caution in explain.cautions(evaluator, one)),
            sorted(result.fired_rules(row, "caution")),
        ),
        "referral": (explain.referral(evaluator, one).level, LEVELS[result.referral[row]]),
        "scope": ([firing.rule for firing in one.fired("scope")], result.fired_rules(row, "scope")),
        "rules fired": ([firing.rule for firing in one.firings], result.fired_rules(row)),
    }
    yield from (f"{name} {a} and {b}" for name, (a, b) in pairs.items() if a != b)
    bounds = [
        (one.measures["lower"], result.lower[row]),
        (one.measures["upper"], result.upper[row]),
    ]
    bounds += zip((s.low for s in one.paths.values()), result.path_low[row], strict=True)
    bounds += zip((s.high for s in one.paths.values()), result.path_high[row], strict=True)
    apart = np.abs(np.subtract(*np.array(bounds, float).T)).max()
    if not apart <= TOLERANCE:
        yield f"bounds {apart} apart"


def main() -> int:
    """Compare many random cases, and all that are shipped."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--cases", type=int, default=5000)
    parser.add_argument("--rules", type=Path, default=ROOT / "rules")
    given = parser.parse_args()
    triager = Triager(load_knowledge(given.rules))
    columns = ColumnEvaluator(triager.base)
    count = Count()
    found = differences(triager, columns, shipped_blocks(), count)
    for start in range(0, given.cases, 250):
        seeds = range(start, min(start + 250, given.cases))
        made = [random_block(triager.base, seed) for seed in seeds]
        found += differences(triager, columns, made, count)
        print(f"{seeds.stop} compared, {len(found)} differences", file=sys.stderr)
    for line in found:
        print(line)
    print(f"{count}; {len(found)} differences")
    return 1 if found else 0


if __name__ == "__main__":
    raise SystemExit(main())
