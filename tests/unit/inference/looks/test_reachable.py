"""How far the chance of bearing could come down equals the belief worked out anew."""

from __future__ import annotations

import numpy as np
import pytest

from tests.inference.answer_sets import random_answers
from tests.interview.answering import TRUSS_HOUSE, Answering
from walltriage.case.model import SURENESS, Case, Wall
from walltriage.inference.belief.evidence import evidence_code
from walltriage.inference.belief.kernel import Told
from walltriage.inference.belief.step import chance
from walltriage.inference.columns.evaluator import ColumnEvaluator
from walltriage.inference.looks.reachable import Reachable
from walltriage.interview.planner import Planner
from walltriage.interview.session import Session

CERTAIN = SURENESS.index("certain")


def upper(triager, beliefs, told):
    """The upper bound (n,) with the base rates as they stand, by the belief's own arithmetic."""
    step, total = triager.worth.step, 0.0
    ratios = step.kernel.ratios(told)
    for column, path in enumerate(step.paths):
        if step.bears[column]:
            high = np.clip(beliefs.high[:, column], 1e-9, 1 - 1e-9)
            rate = high / (1 - high) / beliefs.ratio[:, column]
            total = total + chance(rate * ratios[path])
    return np.minimum(total, 1.0)


def answered_against(triager, beliefs, left):
    """All questions left answered as they speak most against the path that reads them last."""
    base, kernel, codes = triager.base, triager.worth.step.kernel, dict(beliefs.told.codes)
    columns = {name: column for column, name in enumerate(base.questions)}
    for path in (p for p in base.paths.values() if p.entry.bears):
        for condition, clues in path.clues.items():
            table = triager.worth.step.belief.tables[path.id][condition]
            for clue in clues:
                values = range(len(base.questions[clue.question].values))
                shown = kernel.clues[clue.id].table
                worst = min(
                    (evidence_code(value, CERTAIN) for value in values),
                    key=lambda code, shown=shown, table=table: (
                        np.dot(table.bearing, shown[:, code])
                        / np.dot(table.not_bearing, shown[:, code])
                    ),
                )
                now = codes.get(clue.id, np.zeros(len(left), np.intp))
                codes[clue.id] = np.where(left[:, columns[clue.question]], worst, now)
    return Told(len(left), codes, beliefs.told.facts)


@pytest.mark.parametrize("walls", [1, 40])
def test_least_is_the_belief_with_every_answer_against(full, walls):
    """On random walls and random questions left."""
    evaluator, reachable = ColumnEvaluator(full.base), Reachable(full.worth.conditions)
    lowered = 0
    for seed in range(0, 40, walls):
        given = [random_answers(full.base, s, (0.03, 0.1, 0.3)[s % 3])
                 for s in range(seed, seed + walls)]  # fmt: skip
        batch = evaluator.encode(given)
        ((_, _, beliefs),) = evaluator.steps(batch)
        left = (batch.codes == 0) & (np.random.default_rng(seed).random(batch.codes.shape) < 0.7)
        told = answered_against(full, beliefs, left)
        expected = upper(full, beliefs, told)
        assert reachable.least(beliefs, left) == pytest.approx(expected, rel=1e-12)
        lowered += (expected < beliefs.measures["upper"]).sum()
    assert lowered > 10


def test_if_whole_is_the_belief_with_the_whole_top_seen(full):
    """The fact of the view set, and all else as it was, all through an interview."""
    reachable, partial = Reachable(full.worth.conditions), full.base.guards.partial_look
    whole = min(partial.in_100, key=partial.in_100.__getitem__)
    view = {(partial.fact, value): np.array([value == whole]) for value in partial.in_100}
    person = Answering(full.base, TRUSS_HOUSE | {"wall_traced": "part"})
    session, moved = Session(Planner(full), Case(walls=(Wall("w1"),), reach=4)), 0
    while session.step is not None:
        session.answer(person.value(session.question(session.step)))
        beliefs = full.evaluate(session.case, "w1").beliefs
        told = Told(1, beliefs.told.codes, {**beliefs.told.facts, **view})
        found = reachable.if_whole(beliefs)
        assert found == pytest.approx(upper(full, beliefs, told), rel=1e-12)
        moved += int((found != beliefs.measures["upper"]).sum())
    assert moved
