"""Spans are asked of everybody with a tape: how far to where the joists end, size and spacing.

Nobody is asked who has no tape, cannot get to where joists show, has a verdict already (a measured
span could no longer change it) or whose plan or answers tell.
"""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from tests.conftest import HERE
from tests.record_transcripts import interview
from walltriage.case.model import Case
from walltriage.case.read import read_case
from walltriage.inference.finding import WallFinding
from walltriage.inference.numbers.measures import Measured
from walltriage.inference.triage import Triager
from walltriage.interview.planner import Planner

RECORDED = sorted((HERE.parent / "transcripts_demo").glob("*.yaml"))
PEOPLE = sorted((HERE / "demo_houses").glob("*.yaml"))
SIDES = ("one_side", "other_side")
JOISTS = ("joist_size", "joist_spacing", "floor_joist_size", "floor_joist_spacing")


def missing(full: Triager, case: Case, wall: WallFinding) -> list[str]:
    """What should have been asked about this wall and was not."""
    if wall.verdict != "cannot_tell":
        return []
    answers = full.answers(case, wall.id)
    known = Measured(full.base, answers)
    asked = {step.question for step in case.asked if step.subject == wall.id}
    tape = full.base.questions["distance_one_side"].entry.effort <= case.reach
    sides = [
        side for side in SIDES
        if tape and f"distance_{side}" not in asked and known.number(side) is None
    ]  # fmt: skip
    return sides + [
        name for name in JOISTS if name not in answers and shown(full, case, wall.id, name)
    ]


def shown(full: Triager, case: Case, wall: str, name: str) -> bool:
    """Whether this person can get to where joists show, and they are joists of a table."""
    question = full.base.questions[name]
    evaluation = full.evaluator.evaluate(full.answers(case, wall))
    return (
        question.entry.effort <= case.reach
        and name in full.evaluator.applicable(evaluation)
        and question.place not in Planner(full).closed_places(case, wall)
    )


@pytest.mark.parametrize("path", RECORDED, ids=lambda path: path.stem)
def test_everybody_with_a_tape(full, path):
    case = read_case(path, full.base.questions)
    assert {wall.id: missing(full, case, wall) for wall in full.finding(case).walls} == {
        wall.id: [] for wall in case.walls
    }


def forgetful(person: Case, seed: int) -> Case:
    """The same person on another day: another reach, and only some of what they could tell."""
    draw = random.Random(seed)
    walls = tuple(
        replace(wall, answers={n: a for n, a in wall.answers.items() if draw.random() < 0.7})
        for wall in person.walls
    )
    house = {n: a for n, a in person.house.items() if draw.random() < 0.9}
    return replace(person, walls=walls, house=house, reach=draw.randrange(5))


@pytest.mark.parametrize("path", [p for p in PEOPLE if not p.stem.startswith("plan_six")],
                         ids=lambda path: path.stem)  # fmt: skip
def test_people_who_know_less(full, path):
    """Whatever they can reach and know, nobody with a tape is let off."""
    planner = Planner(full)
    for seed in range(2):
        case = interview(planner, forgetful(read_case(path, full.base.questions), seed))
        for wall in full.finding(case).walls:
            assert missing(full, case, wall) == [], (seed, wall.id)


def test_who_has_no_tape_is_not_asked(full):
    person = read_case(HERE / "demo_houses" / "08-nothing-known.yaml", full.base.questions)
    asked = {step.question for step in interview(Planner(full), replace(person, reach=0)).asked}
    assert asked.isdisjoint(full.base.measures.asked_with_a_tape)
    asked = {step.question for step in interview(Planner(full), replace(person, reach=1)).asked}
    assert {"distance_one_side", "distance_other_side"} <= asked
