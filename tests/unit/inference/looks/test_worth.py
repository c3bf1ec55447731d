"""What a question is worth: never nothing while a path is open, more where more is decided."""

from __future__ import annotations

import numpy as np
import pytest

from tests.inference.answer_sets import random_answers
from walltriage.case.model import Answer, Case, Wall
from walltriage.inference.looks.what_if import WhatIf
from walltriage.inference.looks.worth import _Pricing


def evaluation(small, **answers):
    given = {name: Answer(value, None, value) for name, value in answers.items()}
    return small.evaluate(Case(walls=(Wall("w1", answers=given),)), "w1")


def pricing(small, **answers):
    return _Pricing(small.worth, evaluation(small, **answers).beliefs, None)


def worth(small, question, **answers):
    return float(pricing(small, **answers).value(question, np.arange(1))[0])


def after(small, question, **answers):
    at = evaluation(small, **answers).beliefs
    what_if = WhatIf(small.worth.conditions, at.told, at.weighed)
    return what_if.after(small.worth.stack(question), np.arange(1))


def test_unread_question_is_worth_nothing(small):
    """A measurement no rule reads has no value."""
    assert small.worth.prices(["wall_length"], evaluation(small).beliefs) == {"wall_length": 0.0}


def test_looks_at_an_open_path_are_worth_something(small):
    """While the path is open, every look at it is worth its while."""
    for question in ("joists_end", "joists_run", "wall_below"):
        assert worth(small, question, above_wall="attic") > 0


def test_chances_of_the_answers_add_up(small):
    """The possible answers share out all of the chance, whether the path bears or not."""
    what = after(small, "joists_end", above_wall="attic")
    assert len(what.if_bears) == 1  # it touches one path
    assert what.if_bears.sum() == pytest.approx(1)
    assert what.if_clear.sum() == pytest.approx(1)


def test_an_answer_is_priced_as_it_would_be_believed(small):
    """The odds after each answer are those of the belief with that answer given."""
    told = {"above_wall": "attic", "wall_below": "nothing"}
    before = evaluation(small, **told).paths["framing_above"].ratio
    what = after(small, "joists_run", **told)
    for index, value in enumerate(small.base.questions["joists_run"].values):
        given = evaluation(small, **told, joists_run=value).paths["framing_above"].ratio
        assert given / before == pytest.approx(
            what.if_bears[0, 0, 0, index] / what.if_clear[0, 0, 0, index]
        )


def test_no_way_to_non_bearing_is_valued_once_a_sign_is_there(small):
    """After a decisive sign no way leads to "non-bearing", so none is valued."""
    assert pricing(small, above_wall="attic").way.scale > 0
    assert pricing(small, above_wall="attic", joists_end="some_end").way.scale == 0


def test_closed_paths_need_no_closing(small):
    """A path under its part of the wall's mark is no way left."""
    at = evaluation(small, above_wall="attic")
    at.beliefs.high[:] = 1e-4
    try:
        assert _Pricing(small.worth, at.beliefs, None).way.left.sum() == 0
    finally:
        small._evaluations.clear()  # kept results are shared: this one was changed


def test_a_shut_way_is_worth_less(small):
    """Where "non-bearing" is out of reach today the way there counts nothing."""
    beliefs = evaluation(small, above_wall="attic").beliefs
    going = small.worth.prices(["joists_run"], beliefs)["joists_run"]
    assert 0 < small.worth.prices(["joists_run"], beliefs, shut=True)["joists_run"] < going


def test_questions_together_are_worth_what_each_is_alone(full):
    """To the last bit: the planner of many walls asks one question of each, that of one all."""
    for seed in range(12):
        given = random_answers(full.base, seed, (0.03, 0.1, 0.3)[seed % 3])
        priced = _Pricing(full.worth, full.evaluator.evaluate(given).beliefs, None)
        assert len(priced._ahead) > 100
        for question, together in priced._ahead.items():
            alone = priced._clue_values(full.worth.stack(question), priced.whole)
            assert alone[0].tolist() == together.tolist(), question
