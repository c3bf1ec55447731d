"""What alone stands before a wall's "non-bearing", what alone it rests on, and what was not known
of it, offered for a second look before the result.

Whoever asks, at a terminal or in a browser, keeps which walls and stops were offered: each is
offered once.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from walltriage.case.model import CHECKED, CONFIRMED, HOUSE, Answer, Sureness, told_again
from walltriage.inference.alone import alone_in_the_way, looks_behind
from walltriage.interview.given import GivenAnswer
from walltriage.interview.not_known import not_known_in_the_way
from walltriage.interview.pages import Choice, Page, said
from walltriage.interview.session import Session
from walltriage.language import say
from walltriage.report.words import capitalized

if TYPE_CHECKING:
    from walltriage.knowledge.base import AskedQuestion

LEAVE = "leave"
GUESSES = "guesses"  # in place of the one stop
NOT_KNOWN = "unknown"
ONCE = "once"  # what "non-bearing" rests on, looked at once
GUESSED = (
    "Whoever has looked again and is sure of it may be able to go on from there. As long as it is "
    "a guess the wall stays open, whatever else is said."
)
UNSETTLED = (
    "All else that was said speaks against weight on this wall. As long as this is not known, the "
    "wall stays open. If you cannot look now, leave it: the result says what is still to be looked "
    "at."
)
ALONE = (
    "All else that was said speaks against weight on this wall. A slip here would keep it open for "
    "nothing; and if it is so, an engineer has to look."
)


@dataclass(frozen=True, slots=True)
class StandsAlone:
    """The one stop before a wall, or the guesses in its way, or what was not known, or nothing but
    what is to be looked at twice, and the answers it rests on."""

    wall_id: str
    rule: str
    told: tuple[GivenAnswer, ...]

    @property
    def mark(self) -> tuple[str, str]:
        """By what it is known that it was offered."""
        return (self.wall_id, self.rule)


def stands_alone(session: Session, wall_id: str) -> Iterator[StandsAlone]:
    """What alone stands before a wall, once nothing is left to ask, in the order of offering."""
    if session.step is not None:
        return
    stop = _one_stop(session, wall_id)
    if stop is not None:
        yield stop
    guesses = guesses_in_the_way(session, wall_id) if stop is None else ()
    # one that is borne out leaves fewer, and those are offered in their turn
    for kind, told in ((GUESSES, guesses), (ONCE, looked_at_once(session, wall_id))):
        if told:
            yield StandsAlone(wall_id, f"{kind}-{len(told)}", told)
    for item in not_known_in_the_way(session, wall_id):
        yield StandsAlone(wall_id, f"{NOT_KNOWN}-{item.step.question}", (item,))


def _one_stop(session: Session, wall_id: str) -> StandsAlone | None:
    base, found = session.triager.base, session.evaluation(wall_id)
    stop = alone_in_the_way(base, found)
    if stop is None:
        return None
    every = told_of(session, wall_id, base.questions)
    answers = {item.step.question: item.answer for item in every}
    told = told_of(session, wall_id, looks_behind(base, stop, found.firings, answers))
    return StandsAlone(wall_id, stop.rule, told) if told else None


def to_offer(session: Session, offered: Collection[tuple[str, str]]) -> StandsAlone | None:
    """The next one to offer, beside those ``offered`` before."""
    every = (alone for wall in session.walls for alone in stands_alone(session, wall.id))
    return next((alone for alone in every if alone.mark not in offered), None)


def guesses_in_the_way(session: Session, wall_id: str) -> tuple[GivenAnswer, ...]:
    """What was looked at and guessed, of a wall left open, that would clear it or lead to more to
    ask if it were certain: an interview ends where a guess leaves nothing worth asking."""
    base = session.triager.base
    if session.evaluation(wall_id).verdict != "cannot_tell":
        return ()
    seen = {n for n, q in base.questions.items() if q.entry.kind in base.guards.seen_kinds}
    guessed = [g for g in told_of(session, wall_id, seen) if g.answer.sure == "guess"]
    if not guessed or not _lead_on(session, wall_id, guessed):
        return ()
    needed = (g for g in guessed if not _lead_on(session, wall_id, [o for o in guessed if o != g]))
    return tuple(needed) or tuple(guessed)


def looked_at_once(session: Session, wall_id: str) -> tuple[GivenAnswer, ...]:
    """What a wall's "non-bearing" rests on alone by the rules, and was not borne out yet."""
    if session.evaluation(wall_id).verdict != "likely_non_bearing":
        return ()
    told = told_of(session, wall_id, session.triager.base.guards.twice_before_non_bearing)
    return tuple(item for item in told if item.answer.sure not in (CHECKED, CONFIRMED))


def _lead_on(session: Session, wall_id: str, guessed: Iterable[GivenAnswer]) -> bool:
    """Whether these guesses, if they were certain, would clear a wall or lead to more to ask."""
    case = session.case
    for item in guessed:
        surer = replace(item.answer, sure="certain")
        case = case.with_answer(item.step.subject, item.step.question, surer)
    then = Session(session.planner, case)
    return then.step is not None or then.evaluation(wall_id).verdict == "likely_non_bearing"


def told_of(session: Session, wall_id: str, questions: Collection[str]) -> tuple[GivenAnswer, ...]:
    """What was said of some questions, about a wall and its house."""
    return tuple(
        item for item in session.given
        if item.step.question in questions
        and item.step.subject in (wall_id, HOUSE) and item.answer.is_real
    )  # fmt: skip


def alone_page(session: Session, alone: StandsAlone) -> Page:
    """The page that offers it."""
    wall = session.case.wall(alone.wall_id).title
    if alone.rule.startswith(f"{GUESSES}-"):
        ask = say(
            "Of {wall} something was only guessed, and a guess clears no wall. Which do you look "
            "at once more?",
            wall=wall,
        )
        return picking_page(session, ask, GUESSED, alone.told)
    if alone.rule.startswith(f"{NOT_KNOWN}-"):
        ask = say(
            "You could not tell one thing that may settle {wall}. Can you look once more?",
            wall=wall,
        )
        return picking_page(session, ask, UNSETTLED, alone.told)
    if alone.rule.startswith(f"{ONCE}-"):
        ask = say(
            "Before {wall} is called likely non-bearing: no other look would show a slip in this "
            "one. Do you look once more?",
            wall=wall,
        )
        why = session.triager.base.guards.twice_before_non_bearing
        said_why = " ".join(say(why[item.step.question]) for item in alone.told)
        return picking_page(session, ask, said_why, alone.told)
    ask = say(
        "One thing alone keeps {wall} from being called non-bearing. Which do you look at "
        "once more?",
        wall=wall,
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
    if item.answer.is_real and value in (item.answer.value, item.answer.given):
        sure = told_again(item.answer.sure, sure)
    session.change(item.step, value, sure, note)


def _repeated(question: AskedQuestion, answer: Answer) -> str:
    """An answer in words that stand without their question; the question where none is known."""
    if not answer.is_real:
        return question.entry.ask
    means = question.means(answer.value) if answer.number is None else said(question, answer)
    return capitalized(say("{answer} (a guess)", answer=means) if answer.sure == "guess" else means)
