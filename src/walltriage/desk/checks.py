"""Answers an engineer has checked against what was sent in, and the case that then counts.

A checked answer counts as far as a professional's look does: at a sureness of its own, above
certain, whose reliability stands in ``guards.yaml``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Literal

from sqlalchemy import select
from sqlalchemy.orm import Session as Db

from walltriage.case.answers import make_answer
from walltriage.case.measure import is_metric
from walltriage.case.model import CHECKED, HOUSE, Answer, Case, Step
from walltriage.desk.events import note_event
from walltriage.desk.store import now
from walltriage.desk.tables import AnswerCheck, HouseRecord
from walltriage.knowledge.base import KnowledgeBase

Says = Literal["agrees", "corrects", "unseen"]
SAYS: dict[Says, str] = {
    "agrees": "Agrees with the answer",
    "corrects": "Corrects it",
    "unseen": "Cannot be seen in what was sent",
}
CHECKED_WORDS: dict[Says, str] = {  # as the trail tells it
    "agrees": "answer checked: it agrees",
    "corrects": "answer checked: corrected",
    "unseen": "answer checked: cannot be seen",
}
COUNTS_AS = CHECKED


def checks_of(db: Db, house: HouseRecord) -> Sequence[AnswerCheck]:
    """All checks of a house."""
    return db.scalars(select(AnswerCheck).where(AnswerCheck.house_id == house.id)).all()


def answer_of(case: Case, step: Step) -> Answer | None:
    """The answer to a step, if there is one."""
    if step.subject == HOUSE:
        return case.house.get(step.question)
    wall = next((w for w in case.walls if w.id == step.subject), None)
    return wall.answers.get(step.question) if wall is not None else None


def holds(check: AnswerCheck, answer: Answer | None) -> bool:
    """Whether the answer is still the one that was checked."""
    return answer is not None and check.of_value == (answer.given or answer.value)


def check_answer(
    db: Db, base: KnowledgeBase, house: HouseRecord, case: Case, step: Step, says: Says, value: str,
    note: str, by: str,
) -> None:  # fmt: skip
    """Mark an answer; a second mark takes the place of the first.

    Raises :class:`AnswerError` for a correction that does not fit, :class:`KeyError` for an answer
    that nobody gave.
    """
    answer = answer_of(case, step)
    if answer is None:
        raise KeyError(step)
    if says == "corrects":
        made = make_answer(
            step.question, base.questions[step.question], value, units=case.units,
            metric=is_metric(case),
        )  # fmt: skip
        value = made.given or made.value
    elif says == "agrees" and not answer.is_real:
        raise KeyError(step)  # nothing was seen, so there is nothing to agree with
    here = (AnswerCheck.house_id == house.id, AnswerCheck.subject == step.subject,
            AnswerCheck.question == step.question)  # fmt: skip
    check = db.scalar(select(AnswerCheck).where(*here))
    if check is None:
        check = AnswerCheck(house_id=house.id, subject=step.subject, question=step.question)
        db.add(check)
    check.says, check.of_value = says, answer.given or answer.value
    check.value = value if says == "corrects" else ""
    check.note, check.by, check.at = note, by, now()
    house.revision += 1
    house.changed_at = check.at
    note_event(db, by, CHECKED_WORDS[says], house.key, f"{step.subject}/{step.question}")


def uncheck(db: Db, house: HouseRecord, step: Step, by: str) -> None:
    """Take a mark off again."""
    here = (AnswerCheck.house_id == house.id, AnswerCheck.subject == step.subject,
            AnswerCheck.question == step.question)  # fmt: skip
    check = db.scalar(select(AnswerCheck).where(*here))
    if check is not None:
        db.delete(check)
        house.revision += 1
        note_event(db, by, "mark removed", house.key, f"{step.subject}/{step.question}")


def counted_case(base: KnowledgeBase, case: Case, checks: Iterable[AnswerCheck]) -> Case:
    """The case as the desk judges it: checked answers by who checked them, at their sureness.

    A mark on an answer that the client has changed since does not count; nor does "cannot be
    seen", which leaves the client's word as it was.
    """
    for check in checks:
        step = Step(check.subject, check.question)
        answer = answer_of(case, step)
        if answer is None or not holds(check, answer) or check.says == "unseen":
            continue
        case = case.with_answer(step.subject, step.question, _checked(base, case, check, answer))
    return case


def _checked(base: KnowledgeBase, case: Case, check: AnswerCheck, answer: Answer) -> Answer:
    note = "; ".join(filter(None, (answer.note, check.note)))
    by = f"checked by {check.by}"
    if check.says == "agrees":
        return replace(answer, sure=COUNTS_AS, by=by, seen_on=check.at[:10], note=note)
    return make_answer(
        check.question, base.questions[check.question], check.value, units=case.units,
        sure=COUNTS_AS, by=by, seen_on=check.at[:10], note=note,
    )  # fmt: skip


def by_step(checks: Iterable[AnswerCheck]) -> Mapping[Step, AnswerCheck]:
    """The checks by what they are of."""
    return {Step(check.subject, check.question): check for check in checks}
