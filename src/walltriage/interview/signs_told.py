"""Signs that would settle a wall, told just now, and the one plain question about each look."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING

from walltriage.case.model import HOUSE, Step
from walltriage.case.pages import page_around
from walltriage.interview.given import GivenAnswer
from walltriage.interview.pages import Choice, Page
from walltriage.language import say

if TYPE_CHECKING:
    from walltriage.interview.session import Session

YES, UNSURE, NO = "yes", "unsure", "no"
ONCE_MORE = "Look once more, please."


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


def told_now(
    session: Session, wall_id: str, before: Collection[str], last: Step
) -> list[GivenAnswer]:
    """The looks of the last answer, or of its page, that told of a sign not among those
    ``before``."""
    known = signs(session, wall_id)
    new = {step for rule, steps in known.items() if rule not in before for step in steps}
    page = page_around((item.step for item in session.given), last)
    return [item for item in session.given if item.step in new and item.step in page]


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
