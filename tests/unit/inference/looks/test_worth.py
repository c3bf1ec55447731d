"""What a question is worth: never nothing while a path is open, more where more is decided."""

from __future__ import annotations

from dataclasses import replace

import pytest

from walltriage.case.model import Answer, Case, Wall
from walltriage.inference.engine.evaluate import PathState


def evaluation(small, **answers):
    given = {name: Answer(value, None, value) for name, value in answers.items()}
    return small.evaluate(Case(walls=(Wall("w1", answers=given),)), "w1")


def test_unread_question_is_worth_nothing(small):
    """A measurement no rule reads has no value."""
    assert small.worth.value("wall_length", evaluation(small)) == 0


def test_other_open_paths_do_not_hide_a_value(small):
    """With other paths wide open, the sum of chances passes one; looking is still worth it."""
    alone = evaluation(small, above_wall="attic")
    crowded = replace(alone, paths=dict(alone.paths))  # kept results are shared: never changed
    (state,) = alone.paths.values()
    for name in ("other", "third"):
        crowded.paths[name] = PathState(state.base_rate, [], {}, 0.2, 0.9, [], False)
    for question in ("joists_end", "joists_run", "wall_below"):
        assert small.worth.value(question, crowded) > 0


def test_last_steps_to_a_verdict_are_worth_more(small):
    """The nearer a path is to its mark, the larger the share of the way one look covers."""
    far = evaluation(small, above_wall="attic")
    near = evaluation(small, above_wall="attic", joists_end="none_end", wall_below="nothing")
    outcomes = {name: small.worth._outcomes("joists_run", at) for name, at in
                (("far", far), ("near", near))}  # fmt: skip
    assert small.worth._closing_value(outcomes["near"], near) > small.worth._closing_value(
        outcomes["far"], far
    )


def test_nothing_to_close_once_a_sign_is_there(small):
    """After a decisive sign no way leads to "non-bearing", so none is valued."""
    signed = evaluation(small, above_wall="attic", joists_end="some_end")
    outcomes = small.worth._outcomes("joists_run", signed)
    assert small.worth._closing_value(outcomes, signed) == 0


def test_chances_of_the_answers_add_up(small):
    """The possible answers share out all of the chance, whether the path bears or not."""
    outcomes = small.worth._outcomes("joists_end", evaluation(small, above_wall="attic"))
    assert sum(outcome.chance for outcome in outcomes) == pytest.approx(1)
    assert sum(outcome.if_clear["framing_above"] for outcome in outcomes) == pytest.approx(1)


def test_closed_paths_need_no_closing(small):
    """A path under its mark is no way left."""
    at = evaluation(small, above_wall="attic")
    outcomes = small.worth._outcomes("joists_run", at)
    closed = {name: replace(state, low=1e-5, high=1e-4) for name, state in at.paths.items()}
    at = replace(at, paths=closed)
    assert small.worth._closing_value(outcomes, at) == 0
