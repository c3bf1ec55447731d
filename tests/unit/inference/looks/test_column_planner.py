"""Worth and choice of questions for many interviews equal the interview's own, one by one."""

from __future__ import annotations

import random

import numpy as np
import pytest

from tests.inference.answer_sets import random_answers
from tests.inference.made_rules import make_rules
from walltriage.case.model import HOUSE, ROLES, Answer, Case, Step, Wall
from walltriage.inference.columns.evaluator import ColumnEvaluator
from walltriage.inference.looks.column_planner import PLACES, STOPS, ColumnPlanner, Progress
from walltriage.inference.numbers.computed import computed_answers
from walltriage.inference.triage import Triager
from walltriage.interview import planner as interview
from walltriage.knowledge.load import load_knowledge


@pytest.fixture(params=["small", "full", 1, 2, 3, 4, 5])
def triager(request, tmp_path) -> Triager:
    """The small knowledge base, the shipped one, and random ones."""
    if isinstance(request.param, str):
        return request.getfixturevalue(request.param)
    return Triager(load_knowledge(make_rules(tmp_path, request.param)))


def complete(triager: Triager, seed: int) -> dict[str, Answer]:
    """Random answers with those that follow from them."""
    given = random_answers(triager.base, seed)
    return {**given, **computed_answers(triager.base, given)}


def random_case(triager: Triager, seed: int) -> Case:
    """An interview that has come to any point, by anybody."""
    draw = random.Random(seed)
    answers = random_answers(triager.base, seed, draw.choice([0.0, 0.1, 0.3, 0.6, 1.0]))
    answers = {
        name: answer
        for name, answer in answers.items()
        if triager.base.questions[name].entry.kind != "computed"
    }
    house = {n: a for n, a in answers.items() if triager.base.questions[n].scope == HOUSE}
    wall = {n: a for n, a in answers.items() if n not in house}
    order = draw.sample(list(answers), len(answers))
    return Case(
        house=house,
        walls=(Wall("w", answers=wall),),
        role=draw.choice(ROLES),
        reach=draw.randrange(5),
        asked=tuple(Step(HOUSE if name in house else "w", name) for name in order),
    )


def progress_of(triager: Triager, cases: list[Case]) -> Progress:
    """How far each of these interviews has come."""
    place = {name: PLACES.index(q.place) for name, q in triager.base.questions.items()}
    gone = [[place[step.question] for step in case.asked] for case in cases]
    return Progress(
        np.array([places[-1] if places else 0 for places in gone]),
        np.array([[index in places for index in range(len(PLACES))] for places in gone]),
        np.array([sum(step.subject == "w" for step in case.asked) for case in cases]),
        np.array([case.reach for case in cases]),
        np.array([ROLES.index(case.role) for case in cases]),
        np.zeros((len(cases), len(triager.base.questions)), bool),
    )


def test_worth_equals_the_worth_of_one_wall(triager):
    """The value of every question on random walls, to 1e-12."""
    evaluator = ColumnEvaluator(triager.base)
    sets = [complete(triager, seed) for seed in range(25)]
    batch = evaluator.encode(sets)
    ((_, _, beliefs),) = evaluator.steps(batch)
    values = triager.worth.values(beliefs, np.ones(batch.codes.shape, bool))
    for row, answers in enumerate(sets):
        result = triager.evaluator.evaluate(answers)
        one = triager.worth.prices(triager.base.questions, result.beliefs)
        assert values[row] == pytest.approx([one[n] for n in triager.base.questions], abs=1e-12)


def test_worth_is_worked_out_only_where_wanted(small):
    """Unwanted cells are nothing, wanted ones as when all are wanted."""
    evaluator = ColumnEvaluator(small.base)
    batch = evaluator.encode(random_answers(small.base, seed) for seed in range(30))
    ((_, _, beliefs),) = evaluator.steps(batch)
    worth, draw = small.worth, np.random.default_rng(3)
    wanted = draw.random(batch.codes.shape) < 0.4
    full = worth.values(beliefs, np.ones(batch.codes.shape, bool))
    assert np.array_equal(worth.values(beliefs, wanted), np.where(wanted, full, 0.0))
    assert full.max() > 0


def test_applicable_questions_are_the_engine_s(triager):
    """Which questions apply, on random walls."""
    evaluator = ColumnEvaluator(triager.base)
    sets = [complete(triager, seed) for seed in range(25)]
    applies = ColumnPlanner(evaluator).applicable(evaluator.evaluate(evaluator.encode(sets)).fired)
    for row, answers in enumerate(sets):
        one = triager.evaluator.applicable(triager.evaluator.evaluate(answers))
        ours = {name for name, met in zip(triager.base.questions, applies[row], strict=True) if met}
        assert ours == one


def test_next_question_is_the_interview_s(triager):
    """Fifty interviews at any point go on, or stop, as the interview would."""
    evaluator = ColumnEvaluator(triager.base)
    cases = [random_case(triager, seed) for seed in range(50)]
    plan = ColumnPlanner(evaluator).next_questions(
        evaluator.encode_cases(cases), progress_of(triager, cases)
    )
    planner = interview.Planner(triager)
    for row, case in enumerate(cases):
        one = planner.next_step(case, "w", triager.evaluate(case, "w"))
        index = plan.question[row]
        ours = evaluator.coder.questions[index] if index >= 0 else None
        assert ours == (one.step.question if one.step else None), row
        assert STOPS[plan.stop[row]] == (one.stop or ""), row


def test_progress_moves_on(small):
    """The place and the count follow the questions asked; stopped interviews stay."""
    evaluator = ColumnEvaluator(small.base)
    planner, progress = (
        ColumnPlanner(evaluator),
        Progress.start(3, len(small.base.questions), reach=2, role="firm"),
    )
    column = evaluator.coder.column["joists_run"]
    planner.advance(progress, np.array([column, -1, column]))
    assert [PLACES[place] for place in progress.here] == ["attic", "desk", "attic"]
    assert progress.asked.tolist() == [1, 0, 1]
    assert progress.role.tolist() == [ROLES.index("firm")] * 3
