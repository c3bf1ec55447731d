"""No interview ends with "likely non-bearing" before what is rare and deadly was looked for."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.conftest import HERE, shipped_rules
from walltriage.case.model import HOUSE, UNKNOWN, Answer
from walltriage.case.read import read_case
from walltriage.interview.planner import Planner
from walltriage.interview.session import Session

SOUGHT = shipped_rules().guards.sought_before_non_bearing
TRUSSED = HERE.parent / "transcripts_demo" / "01-ranch-with-trusses.yaml"


def without(case, question: str):
    """The case before this was asked."""
    (wall,) = case.walls
    house, answers = dict(case.house), dict(wall.answers)
    (house if question in house else answers).pop(question)
    asked = tuple(step for step in case.asked if step.question != question)
    return replace(case, house=house, walls=(replace(wall, answers=answers),), asked=asked)


@pytest.mark.parametrize("question", SOUGHT)
def test_an_interview_that_is_all_but_over_still_asks(full, question):
    """In a recorded interview that ends with "non-bearing", one of these was left out."""
    case = read_case(TRUSSED, full.base.questions)
    (wall,) = full.finding(case).walls
    assert wall.verdict == "likely_non_bearing"
    if question not in {**case.house, **case.walls[0].answers}:
        pytest.fail(f"{question} was never asked in {TRUSSED.stem}")
    before = without(case, question)
    session = Session(Planner(full), before)
    met = []
    while session.step is not None and question not in met:
        met.append(session.step.question)
        own = case.house if session.step.subject == HOUSE else case.walls[0].answers
        told = own.get(session.step.question, Answer(UNKNOWN, None, UNKNOWN))
        session.answer(told.given, told.sure, told.note)
    assert question in met
