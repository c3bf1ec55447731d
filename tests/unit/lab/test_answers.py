"""All answers at once: the truth told by a perfect person, kept and read again by id."""

from __future__ import annotations

import numpy as np
import pytest

from walltriage.inference.columns.codes import FIRST_VALUE, NOT_ASKED, OUT_OF_REACH
from walltriage.inference.columns.evaluator import ColumnEvaluator
from walltriage.inference.looks.column_planner import ColumnPlanner
from walltriage.lab.answers import AT_THE_TOP, EFFORT, answer_all, load_answers, save_answers
from walltriage.lab.house.build import build_house, generator
from walltriage.lab.mixes import KINDS, kind_of
from walltriage.lab.parameters import parameters
from walltriage.lab.reporter import REPORTERS, Person

WALLS = range(len(KINDS))


@pytest.fixture(scope="module")
def evaluator(full) -> ColumnEvaluator:
    return ColumnEvaluator(full.base)


@pytest.fixture(scope="module")
def told(evaluator):
    return {kind: answer_all(evaluator, 31, WALLS, kind, "opened") for kind in REPORTERS}


def test_perfect_person_tells_what_is_so(evaluator, told):
    """Every real answer is the finding of the wall itself, told as certain."""
    batch, truth = told["perfect"]
    questions = list(evaluator.base.questions.values())
    checked = 0
    for row, kind in enumerate(truth.kind):
        house = build_house(str(kind), 31, row)
        twice = generator(31, row, "person perfect")
        person = Person("perfect", house, house.wall(house.subject), twice, len(questions))
        for column, question in enumerate(questions):
            code = batch.codes[row, column]
            if question.entry.answer == "choice" and question.entry.kind != "computed" and (
                code >= FIRST_VALUE
            ):  # fmt: skip
                said = question.values[code - FIRST_VALUE]
                assert said == person.sees(question), question.id
                checked += 1
    assert checked > 40 * len(WALLS)
    assert not batch.sure.any()


@pytest.mark.parametrize("reach", list(EFFORT))
def test_nothing_out_of_reach_is_told(evaluator, reach):
    batch, _ = answer_all(evaluator, 32, range(20), "careful", reach)
    for column, question in enumerate(evaluator.base.questions.values()):
        if question.entry.kind != "computed" and question.entry.effort > EFFORT[reach]:
            assert not batch.codes[:, column].any(), question.id


def test_all_that_applies_is_answered_and_nothing_else(evaluator, told):
    batch, _ = told["perfect"]
    applies = ColumnPlanner(evaluator).applicable(evaluator.evaluate(batch).fired)
    computed = np.array([q.entry.kind == "computed" for q in evaluator.base.questions.values()])
    firm = np.array(["firm" in q.entry.who for q in evaluator.base.questions.values()])
    answered = (batch.codes != NOT_ASKED)[:, ~computed]
    assert not (answered & ~applies[:, ~computed]).any()
    missing = (applies & firm)[:, ~computed] & ~answered
    assert not missing.any()


def test_framing_seen_is_a_real_answer_about_this_top(evaluator, told):
    batch, truth = told["careful"]
    names = [n for n in AT_THE_TOP if n in evaluator.coder.column]
    codes = batch.codes[:, [evaluator.coder.column[n] for n in names]]
    assert (truth.seen == (codes > OUT_OF_REACH).any(axis=1)).all()
    assert 0 < truth.seen.mean() <= 1


def test_people_in_order_of_care(evaluator, told):
    """Share of real answers that differ from the perfect person's, least careful last."""
    truth = told["perfect"][0].codes
    wrong = []
    for kind in REPORTERS:
        codes = told[kind][0].codes
        both = (truth >= FIRST_VALUE) & (codes >= FIRST_VALUE)
        wrong.append(((codes != truth) & both).sum() / both.sum())
    assert wrong == sorted(wrong)
    assert wrong[0] == 0 < wrong[1]


def test_kept_answers_are_read_again_by_id(evaluator, told, tmp_path, full):
    batch, truth = told["usual"]
    save_answers(tmp_path / "kept.npz", evaluator.coder, batch, truth, {"seed": 31})
    again, also = load_answers(tmp_path / "kept.npz", evaluator.coder)
    assert (again.codes == batch.codes).all()
    assert (again.sure == batch.sure).all()
    assert np.array_equal(again.numbers, batch.numbers, equal_nan=True)
    assert (also.paths == truth.paths).all()
    assert (also.kind == truth.kind).all()


def test_stock_mix_draws_kinds_by_their_share():
    stock = parameters()["stock"]
    assert set(stock) == set(KINDS)
    drawn = [kind_of(5, index, "stock") for index in range(4000)]
    total = sum(stock.values())
    for name, share in stock.items():
        expected = share / total
        assert abs(drawn.count(name) / 4000 - expected) < 0.02 + expected / 5
