"""What could still take a "likely non-bearing" back is known before it is said."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tests.conftest import HERE
from walltriage.case.model import Answer
from walltriage.case.read import read_case

TRUSSED = HERE.parent / "transcripts_demo" / "01-ranch-with-trusses.yaml"


@pytest.fixture(scope="module")
def case(full):
    """A recorded interview that ends with "non-bearing"."""
    found = read_case(TRUSSED, full.base.questions)
    assert full.evaluate(found, found.walls[0].id).verdict == "likely_non_bearing"
    return found


@pytest.fixture(scope="module")
def found(full, case):
    """Of all that was not asked, what could take it back."""
    return unsettling(full, case)


def unsettling(full, case) -> set[str]:
    answers = full.answers(case, case.walls[0].id)
    batch = full.trial.evaluator.coder.encode([answers])
    names = list(full.base.questions)
    left = np.array([[name not in answers for name in names]])
    among = full.unsettling.among(batch, left)
    return {names[column] for column in np.flatnonzero(among[0])}


def test_a_sign_nobody_was_asked_about(found):
    """A beam's end seen in a hole would stop the verdict."""
    assert {"hidden_beam", "opened_joist_end", "hangs_from_above"} <= found


def test_what_it_names_does_take_the_verdict_back(full, case, found):
    """Held against the other of the two engines, answer by answer."""
    wall = case.walls[0].id
    for name in sorted(found):
        verdicts = {
            full.evaluate(case.with_answer(wall, name, Answer(value, None, value)), wall).verdict
            for value in full.base.questions[name].values
            if full.base.questions[name].scope != "house"
        }
        assert not verdicts or verdicts != {"likely_non_bearing"}, name


def test_an_answer_that_only_clashes_is_no_reason_to_ask(full, case, found):
    """Whoever has said how the wall runs against the ridge has said that there is one."""
    name = "ridge_direction"
    answer = Answer("no_ridge", None, "no_ridge")
    with_it = full.evaluate(case.with_answer("house", name, answer), case.walls[0].id)
    assert with_it.verdict != "likely_non_bearing"
    assert with_it.fired("contradiction")
    assert name not in found


def test_of_nothing_to_try_nothing_is_found(full, case):
    batch = full.trial.evaluator.coder.encode([full.answers(case, case.walls[0].id)])
    none = np.zeros((1, len(full.base.questions)), bool)
    assert not full.unsettling.among(batch, none).any()


def test_before_the_verdict_what_would_keep_it_from_being_said(full, case):
    """A beam's end would, and so would no mere clash: known while one is still up there."""
    (wall,) = case.walls
    told = {name: answer for name, answer in wall.answers.items() if name != "round_the_wall"}
    before = replace(case, walls=(replace(wall, answers=told),))
    assert full.evaluate(before, before.walls[0].id).verdict == "cannot_tell"
    found = unsettling(full, before)
    assert {"hidden_beam", "opened_joist_end", "hangs_from_above"} <= found
    assert "ridge_direction" not in found
