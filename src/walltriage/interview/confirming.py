"""A sign that would settle a wall is looked at once more, with its drawing, before it counts."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING

from walltriage.case.model import HOUSE, Step
from walltriage.interview.pages import Choice, Page, said
from walltriage.interview.terminal import Interview
from walltriage.language import say

if TYPE_CHECKING:
    from walltriage.interview.session import Session

YES, UNSURE, NO = "yes", "unsure", "no"


def signs(session: Session, wall_id: str) -> dict[str, frozenset[Step]]:
    """The decisive signs told of a wall so far, by rule, with the looks that told them."""
    base = session.triager.base
    found = {}
    for firing in session.fired(wall_id, "sign"):
        told = [base.questions[k.name] for k in firing.matched if k.family == "answer"]
        looks = [q for q in told if q.entry.kind in base.guards.seen_kinds]
        found[firing.rule] = frozenset(
            Step(HOUSE if look.scope == HOUSE else wall_id, look.id) for look in looks
        )
    return found


def confirm(interview: Interview, wall_id: str, before: Collection[str]) -> bool:
    """Ask once more about each look that has just told such a sign of a wall, beside those known
    ``before``; False when the person wants to answer again.

    Whoever is not sure has guessed: then it does not count as seen.
    """
    session = interview.session
    last = session.given[-1].step
    known = signs(session, wall_id)
    new = {step for rule, steps in known.items() if rule not in before for step in steps}
    just = [item for item in session.given
            if item.step in new and (item.step == last or _same_page(item.step, last))]  # fmt: skip
    for item in just:
        question = session.question(item.step)
        interview.screen.say()
        interview.screen.say("Look once more, please.", "bold")
        if question.entry.sketch:
            interview.screen.drawing(question.entry.sketch)
        reply = interview.ask(
            confirming_page(
                said(question, item.answer), question.entry.look, question.entry.sketch or ""
            )
        )
        if reply.command == "back" or reply.value == NO:
            session.back()
            return False
        if reply.value == UNSURE:
            session.change(item.step, item.answer.given or item.answer.value, "guess",
                           item.answer.note)  # fmt: skip
    return True


def confirming_page(answer: str, look: str = "", sketch: str = "") -> Page:
    """The one plain question about a sign told just now."""
    return Page(
        ask=say("You said: {answer}. Did you see just that yourself, at this wall?", answer=answer),
        choices=(
            Choice(YES, "Yes"),
            Choice(UNSURE, "I am not sure"),
            Choice(NO, "No, let me answer again"),
        ),
        commands=("why", "how", "back", "leave") if look else ("why", "back", "leave"),
        why="Much hangs on this answer; a slip here would lead astray.",
        look=look,
        sketch=sketch,
    )


def _same_page(one: Step, other: Step) -> bool:
    return bool(one.glance) and one.glance == other.glance
