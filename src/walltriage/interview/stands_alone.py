"""What alone stands before a wall's "non-bearing", offered for a second look before the result.

Whoever asks, at a terminal or in a browser, keeps which walls and stops were offered: each is
offered once.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from walltriage.case.model import HOUSE, Answer, Sureness, told_again
from walltriage.inference.alone import alone_in_the_way, looks_behind
from walltriage.interview.given import GivenAnswer
from walltriage.interview.pages import Choice, Page, said
from walltriage.language import say
from walltriage.report.words import capitalized

if TYPE_CHECKING:
    from walltriage.interview.session import Session
    from walltriage.knowledge.base import AskedQuestion

LEAVE = "leave"
ALONE = (
    "All else that was said speaks against weight on this wall. A slip here would keep it open for "
    "nothing; and if it is so, an engineer has to look."
)


@dataclass(frozen=True, slots=True)
class StandsAlone:
    """The one stop before a wall, and the answers it rests on."""

    wall_id: str
    rule: str
    told: tuple[GivenAnswer, ...]

    @property
    def mark(self) -> tuple[str, str]:
        """By what it is known that it was offered."""
        return (self.wall_id, self.rule)


def stands_alone(session: Session, wall_id: str) -> StandsAlone | None:
    """What alone stands before a wall, once nothing is left to ask; None where nothing does."""
    if session.step is not None:
        return None
    base, found = session.triager.base, session.evaluation(wall_id)
    stop = alone_in_the_way(base, found)
    if stop is None:
        return None
    answers = {
        item.step.question: item.answer for item in told_of(session, wall_id, base.questions)
    }
    told = told_of(session, wall_id, looks_behind(base, stop, found.firings, answers))
    return StandsAlone(wall_id, stop.rule, told) if told else None


def to_offer(session: Session, offered: Collection[tuple[str, str]]) -> StandsAlone | None:
    """The next one to offer, beside those ``offered`` before."""
    for wall in session.walls:
        alone = stands_alone(session, wall.id)
        if alone is not None and alone.mark not in offered:
            return alone
    return None


def told_of(session: Session, wall_id: str, questions: Collection[str]) -> tuple[GivenAnswer, ...]:
    """What was said of some questions, about a wall and its house."""
    return tuple(
        item for item in session.given
        if item.step.question in questions
        and item.step.subject in (wall_id, HOUSE) and item.answer.is_real
    )  # fmt: skip


def alone_page(session: Session, alone: StandsAlone) -> Page:
    """The page that offers it."""
    ask = say(
        "One thing alone keeps {wall} from being called non-bearing. Which do you look at "
        "once more?",
        wall=session.case.wall(alone.wall_id).title,
    )
    return picking_page(session, ask, ALONE, alone.told)


def picking_page(session: Session, ask: str, why: str, told: Sequence[GivenAnswer]) -> Page:
    """A page on which one of some answers is picked to be given anew, or none of them."""
    choices = (
        Choice(picked_by(item), _repeated(session.question(item.step), item.answer))
        for item in told
    )
    return Page(
        ask=ask,
        choices=(*choices, Choice(LEAVE, "None of them now")),
        commands=("why", "back", "leave"),
        why=why,
    )


def picked_by(item: GivenAnswer) -> str:
    """The value of the line that picks an answer."""
    return f"{item.step.subject}/{item.step.question}"


def answer_anew(session: Session, item: GivenAnswer, value: str, sure: Sureness, note: str) -> None:
    """Take what was said at a second look: the same answer has then been told twice."""
    if value in (item.answer.value, item.answer.given):
        sure = told_again(item.answer.sure, sure)
    session.change(item.step, value, sure, note)


def _repeated(question: AskedQuestion, answer: Answer) -> str:
    """An answer in words that stand without their question."""
    means = question.means(answer.value) if answer.number is None else said(question, answer)
    return capitalized(say("{answer} (a guess)", answer=means) if answer.sure == "guess" else means)
