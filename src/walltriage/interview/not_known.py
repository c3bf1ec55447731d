"""What somebody could not tell of a wall left open, where one more look would settle it.

An interview asks nothing twice of its own accord, and goes on past a "don't know".
"""

from __future__ import annotations

from collections.abc import Iterator

from walltriage.case.model import HOUSE, UNKNOWN, Answer, Step
from walltriage.interview.given import GivenAnswer
from walltriage.interview.session import Session


def not_known_in_the_way(session: Session, wall_id: str) -> Iterator[GivenAnswer]:
    """The looks that were answered with "don't know", of a wall left open, of which one answer,
    told as certain, would make the wall non-bearing."""
    base = session.triager.base
    if session.evaluation(wall_id).verdict != "cannot_tell":
        return
    seen = {n for n, q in base.questions.items() if q.entry.kind in base.guards.seen_kinds}
    for item in session.given:
        step = item.step
        look = step.question in seen and step.subject in (wall_id, HOUSE)
        if look and item.answer.value == UNKNOWN and _would_clear(session, wall_id, step):
            yield item


def _would_clear(session: Session, wall_id: str, step: Step) -> bool:
    answers = (Answer(value, None, value) for value in session.question(step).values)
    cases = (session.case.with_answer(step.subject, step.question, answer) for answer in answers)
    evaluate = session.triager.evaluate
    return any(evaluate(then, wall_id).verdict == "likely_non_bearing" for then in cases)
