"""A case with one answer more, or without what was said on one page."""

from __future__ import annotations

from dataclasses import replace

from walltriage.case.model import HOUSE, Answer, Answers, Case, Step


def with_answer(case: Case, step: Step, given: Answer) -> Case:
    """A case in which a step is answered, asked last unless it was asked before."""
    asked = case.asked if step in case.asked else (*case.asked, step)
    return replace(case.with_answer(step.subject, step.question, given), asked=asked)


def without_page(case: Case, step: Step, glance: str) -> Case:
    """A case without what was said on a page of several things, about one subject."""
    dropped = {s for s in case.asked if s.glance == glance and s.subject in (HOUSE, step.subject)}

    def left(subject: str, answers: Answers) -> Answers:
        return {n: a for n, a in answers.items() if Step(subject, n) not in dropped}

    return replace(
        case, house=left(HOUSE, case.house),
        walls=tuple(replace(wall, answers=left(wall.id, wall.answers)) for wall in case.walls),
        asked=tuple(s for s in case.asked if s not in dropped),
        to_name=tuple(s for s in case.to_name if s.glance != glance),
    )  # fmt: skip


def without_answer(case: Case, step: Step) -> Case:
    """A case without the answer to a question asked by itself."""
    house, walls = dict(case.house), []
    if step.subject == HOUSE:
        house.pop(step.question, None)
    for wall in case.walls:
        own = dict(wall.answers)
        if wall.id == step.subject:
            own.pop(step.question, None)
        walls.append(replace(wall, answers=own))
    asked = tuple(s for s in case.asked if s != step)
    return replace(case, house=house, walls=tuple(walls), asked=asked)
