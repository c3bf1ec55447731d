"""The plan of an interview: kept when it can be right, and shown."""

from __future__ import annotations

from walltriage.case.plan import Plan
from walltriage.interview.pages import Choice, Page
from walltriage.interview.plan_form import HEADING
from walltriage.interview.plan_troubles import plan_troubles
from walltriage.interview.terminal import Interview
from walltriage.language import say
from walltriage.report.plan_terminal import plan_text

ROWS = 12  # the drawing and the next question on one screen of 24 lines


def keep(interview: Interview, plan: Plan) -> bool:
    """Keep a plan that can be right; tell what is wrong with any other."""
    troubles = plan_troubles(plan, interview.session.walls)
    for trouble in troubles:
        interview.screen.trouble(trouble)
    if troubles:
        interview.screen.say("That was not drawn. Check the two numbers and try again.")
        return False
    interview.session.set_plan(plan)
    interview.save()
    return True


def show(interview: Interview, level: str) -> None:
    """Draw one level as it stands."""
    plan = interview.session.case.plan
    if plan is not None:
        interview.screen.say()
        names = {wall.id: wall.name for wall in interview.session.walls}
        interview.screen.drawing(plan_text(plan, level, names, most_rows=ROWS))


def looks_right(interview: Interview, what: str) -> bool:
    """Whether the thing just drawn is where it stands: a short page, with the drawing above it."""
    page = Page(
        say("Is {what} drawn right?", what=what),
        heading=HEADING,
        choices=(Choice("yes", "Yes"), Choice("again", "No, ask me again")),
        commands=("leave",),
    )
    return interview.ask(page).value == "yes"
