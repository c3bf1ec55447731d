"""Second looks: at answers that cannot all be true, and at what alone stands in the way."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from walltriage.case.model import HOUSE, Answer
from walltriage.inference.alone import alone_in_the_way, looks_behind
from walltriage.interview.given import GivenAnswer
from walltriage.interview.pages import Choice, Page, said
from walltriage.interview.review import change
from walltriage.interview.terminal import Interview
from walltriage.knowledge.base import AskedQuestion
from walltriage.language import say
from walltriage.report.words import capitalized

LEAVE = "leave"
CLASH = "They cannot all be true. As long as they clash, the wall is not called non-bearing."
ALONE = (
    "All else that was said speaks against weight on this wall. A slip here would keep it open for "
    "nothing; and if it is so, an engineer has to look."
)


def look_again(interview: Interview, before: Collection[str]) -> None:
    """Offer a second look for what clashes beside the contradictions known ``before``.

    Each answer can be given anew; it ends when nothing new clashes, or the person leaves it.
    """
    session, asked = interview.session, set(before)
    while True:
        fresh = [name for name in session.clashes() if name not in asked]
        if not fresh:
            return
        rules = {rule.id: rule for rule in interview.triager.base.contradictions}
        told = _told(interview, session.wall_id, rules[fresh[0]].questions)
        if not _picked(interview, "Which of these do you look at once more?", CLASH, told):
            asked.add(fresh[0])


def look_at_what_stands_alone(interview: Interview) -> None:
    """Before the result, offer a second look at what alone keeps a wall from "non-bearing"; of
    each wall once."""
    session, base = interview.session, interview.triager.base
    for wall in session.case.walls:
        found = session.evaluation(wall.id)
        stop = alone_in_the_way(base, found)
        if stop is None or (wall.id, stop.rule) in interview.looked_at:
            continue
        interview.looked_at.add((wall.id, stop.rule))
        told = _told(interview, wall.id, looks_behind(base, stop, found.firings))
        ask = say(
            "One thing alone keeps {wall} from being called non-bearing. Which do you look at "
            "once more?",
            wall=wall.title,
        )
        _picked(interview, ask, ALONE, told)


def _told(interview: Interview, wall_id: str, questions: Collection[str]) -> list[GivenAnswer]:
    """What was said of some questions, about a wall and its house."""
    return [
        item for item in interview.session.given
        if item.step.question in questions
        and item.step.subject in (wall_id, HOUSE) and item.answer.is_real
    ]  # fmt: skip


def _picked(interview: Interview, ask: str, why: str, told: Sequence[GivenAnswer]) -> bool:
    """Let one of some answers be given anew; False where the person leaves them as they are."""
    if not told:
        return False
    question = interview.session.question
    reply = interview.ask(
        Page(
            ask=ask,
            choices=(
                *(
                    Choice(str(at), _repeated(question(i.step), i.answer))
                    for at, i in enumerate(told)
                ),
                Choice(LEAVE, "None of them now"),
            ),
            commands=("why", "back", "leave"),
            why=why,
        )
    )
    if reply.command == "back" or reply.value == LEAVE:
        return False
    change(interview, told[int(reply.value)], again=True)
    return True


def _repeated(question: AskedQuestion, answer: Answer) -> str:
    """An answer in words that stand without their question."""
    means = question.means(answer.value) if answer.number is None else said(question, answer)
    return capitalized(means)
