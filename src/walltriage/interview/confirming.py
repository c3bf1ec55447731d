"""A sign that would settle a wall is looked at once more, with its drawing, before it counts."""

from __future__ import annotations

from collections.abc import Collection

from walltriage.case.model import found_again
from walltriage.interview.pages import said
from walltriage.interview.signs_told import NO, ONCE_MORE, UNSURE, confirming_page, told_now
from walltriage.interview.terminal import Interview


def confirm(interview: Interview, wall_id: str, before: Collection[str]) -> bool:
    """Ask once more about each look that has just told such a sign of a wall, beside those known
    ``before``; False when the person wants to answer again.

    Whoever is not sure has guessed: then it does not count as seen.
    """
    session = interview.session
    for item in told_now(session, wall_id, before, session.given[-1].step):
        question = session.question(item.step)
        interview.screen.say()
        interview.screen.say(ONCE_MORE, "bold")
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
        sure = "guess" if reply.value == UNSURE else found_again(item.answer.sure)
        session.change(item.step, item.answer.given or item.answer.value, sure, item.answer.note)
    return True
