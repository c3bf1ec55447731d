"""Distances are asked of everybody with a tape, wherever the span of joists is a question."""

from __future__ import annotations

import pytest

from tests.conftest import HERE
from walltriage.case.read import read_case
from walltriage.inference.looks.policy import InterviewPolicy
from walltriage.inference.numbers.measures import Measured

MOST = InterviewPolicy().most_wall_questions
RECORDED = sorted((HERE.parent / "transcripts_demo").glob("*.yaml"))


def why_not(full, case, wall: str) -> str:
    """Why the spans beside a wall are nobody's question; empty where they are one."""
    found = next(one for one in full.finding(case).walls if one.id == wall)
    answers = full.answers(case, wall)
    measured = Measured(full.base, answers)
    within_reach = [
        check
        for check in found.next_checks
        if check.effort <= case.reach and check.question not in answers
    ]
    reasons = {
        "nothing within reach settles it": found.verdict == "cannot_tell" and not within_reach,
        "out of scope": found.scope,
        "answered": found.verdict == "likely_non_bearing",
        "no tape within reach": case.reach < full.base.questions["distance_one_side"].entry.effort,
        "joists run along": measured.word("run") == "along",
        "the maker's spans, not a table's": measured.word("not_sawn") == "yes",
        "asked enough": sum(step.subject == wall for step in case.asked) >= MOST,
    }
    return next((reason for reason, holds in reasons.items() if holds), "")


@pytest.mark.parametrize("path", RECORDED, ids=lambda path: path.stem)
def test_everybody_with_a_tape(full, path):
    """In every recorded interview: asked, or on the plan, or with the reason why not."""
    case = read_case(path, full.base.questions)
    for wall in case.walls:
        known = Measured(full.base, full.answers(case, wall.id))
        asked = {step.question for step in case.asked if step.subject == wall.id}
        for side in ("distance_one_side", "distance_other_side"):
            told = side in asked or known.number(side.removeprefix("distance_")) is not None
            assert told or why_not(full, case, wall.id), (wall.id, side)
