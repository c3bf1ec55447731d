"""Second looks: at answers that cannot all be true, and at what alone stands in the way."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from walltriage.interview.given import GivenAnswer
from walltriage.interview.pages import Page
from walltriage.interview.review import change
from walltriage.interview.stands_alone import (
    LEAVE,
    alone_page,
    picked_by,
    picking_page,
    to_offer,
    told_of,
)
from walltriage.interview.terminal import Interview

CLASH = "They cannot all be true. As long as they clash, the wall is not called non-bearing."


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
        told = told_of(session, session.wall_id, rules[fresh[0]].questions)
        page = picking_page(session, "Which of these do you look at once more?", CLASH, told)
        if not told or not _picked(interview, page, told):
            asked.add(fresh[0])


def look_at_what_stands_alone(interview: Interview) -> None:
    """Before the result, offer a second look at what alone keeps a wall from "non-bearing"; of
    each wall and stop once.  What was given anew may lead to more questions: they come first."""
    while (alone := to_offer(interview.session, interview.offered)) is not None:
        interview.offered.add(alone.mark)
        _picked(interview, alone_page(interview.session, alone), alone.told)


def _picked(interview: Interview, page: Page, told: Sequence[GivenAnswer]) -> bool:
    """Let one of some answers be given anew; False where the person leaves them as they are."""
    reply = interview.ask(page)
    if reply.command == "back" or reply.value == LEAVE:
        return False
    change(interview, next(i for i in told if picked_by(i) == reply.value), again=True)
    return True
