"""One step back from a question, and from the first one to the pages before it."""

from __future__ import annotations

from walltriage.interview import plan_outline
from walltriage.interview.client import ask_before_the_house
from walltriage.interview.terminal import Interview


def back(interview: Interview) -> None:
    """Go back one question, or from the first one to the page that was shown before it."""
    if interview.session.back():
        interview.save()
        interview.note_clashes()
        return
    interview.screen.say("That was the first question about the house.")
    if interview.triager.base.relations.answers and interview.session.case.plan is None:
        plan_outline.offer(interview)
    else:
        ask_before_the_house(interview)
