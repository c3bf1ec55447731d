"""A case with one answer more, or without what was said on one page."""

from __future__ import annotations

from dataclasses import replace

from walltriage.case.model import HOUSE, Answer, Answers, Case, Step
from walltriage.case.pages import page_around
from walltriage.interview.given import to_name_of


def with_answer(case: Case, step: Step, given: Answer) -> Case:
    """A case in which a step is answered, asked last unless it was asked before."""
    asked = case.asked if step in case.asked else (*case.asked, step)
    return replace(case.with_answer(step.subject, step.question, given), asked=asked)


def without_page(case: Case, step: Step) -> Case:
    """A case without what was said on the page on which a step was answered."""
    dropped = page_around(case.asked, step)
    names = to_name_of(dropped, case.to_name)

    def left(subject: str, answers: Answers) -> Answers:
        return {n: a for n, a in answers.items() if Step(subject, n) not in dropped}

    return replace(
        case, house=left(HOUSE, case.house),
        walls=tuple(replace(wall, answers=left(wall.id, wall.answers)) for wall in case.walls),
        asked=tuple(s for s in case.asked if s not in dropped),
        to_name=tuple(s for s in case.to_name if s not in names),
    )  # fmt: skip


def asked_again(case: Case, step: Step) -> Case:
    """A case in which the page of a step comes next, as if it had not been answered."""
    left = without_page(case, step)
    return left if step.glance else replace(left, to_name=(*left.to_name, step))
