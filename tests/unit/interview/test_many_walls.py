"""Twenty walls: an answer is worked out for the walls it changes, and for no other."""

from __future__ import annotations

import pytest

from tests.benchmarks.house_walls import house
from tests.interview.answering import PLAIN_HOUSE, Answering
from walltriage.case.model import HOUSE
from walltriage.inference.triage import Triager
from walltriage.interview.planner import Planner
from walltriage.interview.session import Session

MANY = 20


@pytest.fixture
def counted(full, monkeypatch):
    """A triager, and the engine runs of each wall's answers that it has made."""
    triager, runs = Triager(full.base), []
    evaluate = triager.evaluator.evaluate

    def counting(answers):
        runs.append(answers)
        return evaluate(answers)

    monkeypatch.setattr(triager.evaluator, "evaluate", counting)
    return triager, runs


def test_an_answer_about_one_wall_runs_the_engine_for_its_bay_only(counted):
    """Of twenty walls on one level none waits for the verdict of another."""
    triager, runs = counted
    session = Session(Planner(triager), house(MANY, drawn=True))
    while session.step.subject == HOUSE:
        before = len(runs)
        session.unknown()
        # the house alone, and the wall that is asked about
        assert len(runs) - before <= 2
    for _ in range(6):
        before, of_house = len(runs), session.step.subject == HOUSE
        session.unknown()
        assert len(runs) - before <= (2 if of_house else 1)


def test_what_is_remembered_changes_no_question(full):
    """A planner that has planned for other walls and answers asks what a fresh one asks."""
    person = Answering(full.base, PLAIN_HOUSE)
    session = Session(Planner(full), house(5, drawn=True))
    while session.step is not None:
        case, fresh = session.case, Planner(full)
        for wall in case.walls:
            evaluation = full.evaluate(case, wall.id)
            expected = fresh.next_step(case, wall.id, evaluation)
            assert session.planner.next_step(case, wall.id, evaluation) == expected
        session.answer(person.value(session.question(session.step)))
    assert len(session.case.asked) > 40
