"""What a client took back after a second look, kept with the house until it is said again."""

from __future__ import annotations

import json
from collections.abc import Sequence

from walltriage.case.model import SURENESS_IN_FILES, Answer, Step
from walltriage.interview.given import GivenAnswer, TakenBack
from walltriage.interview.session import Session

_MARK = "said-before"


def place_of(back: TakenBack) -> str:
    """As the register keeps it with the house."""
    told = [[*_parts(item.step), *_told(item.answer)] for item in back.given]
    names = [_parts(step) for step in back.to_name]
    return f"{_MARK} {json.dumps([told, names], ensure_ascii=False)}"


def said_before(place: str) -> TakenBack | None:
    """What was taken back, from what the register keeps; None for any other place."""
    mark, _, rest = place.partition(" ")
    if mark != _MARK:
        return None
    told, names = json.loads(rest)
    given = (GivenAnswer(Step(*item[:3]), _answer(*item[3:])) for item in told)
    return TakenBack(tuple(given), tuple(Step(*parts) for parts in names))


def remember_said_before(session: Session, place: str) -> None:
    """Let the page that comes next show what was taken back on it."""
    back = said_before(place)
    if back is not None:
        session.remember(back)


def is_said_again(place: str, step: Step) -> bool:
    """Whether an answer to ``step`` takes the place of what was taken back."""
    back = said_before(place)
    return back is not None and any(item.step == step for item in back.given)


def _parts(step: Step) -> Sequence[str]:
    return (step.subject, step.question, step.glance)


def _told(answer: Answer) -> Sequence[str]:
    return (answer.value, answer.given, answer.sure, answer.note)


def _answer(value: str, given: str, sure: str, note: str) -> Answer:
    return Answer(value, None, given, next(s for s in SURENESS_IN_FILES if s == sure), note)
