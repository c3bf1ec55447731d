"""The plan of an interview: kept when it can be right, and shown."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from walltriage.case.plan import Plan
from walltriage.interview.form import Form
from walltriage.interview.pages import Choice, Page
from walltriage.interview.plan_form import HEADING
from walltriage.interview.plan_troubles import plan_troubles
from walltriage.interview.terminal import Interview
from walltriage.language import say
from walltriage.report.plan_terminal import plan_text

Built = TypeVar("Built")
RIGHT, AGAIN, LEFT = "yes", "again", "left"
# Of the drawing itself, without its words; its title scrolls away where even the least is too much
MOST_ROWS, LEAST_ROWS = 12, 8
QUESTION_LINES = 11  # what "Is it drawn right?" takes below it


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
    """Draw one level as it stands, small enough to share a screen with the next question."""
    plan = interview.session.case.plan
    if plan is None:
        return
    names = {wall.id: wall.name for wall in interview.session.walls}
    room = interview.screen.console.size.height - QUESTION_LINES - 1
    for rows in range(MOST_ROWS, LEAST_ROWS - 1, -1):
        text = plan_text(plan, level, names, most_rows=rows)
        if text.count("\n") < room:
            break
    interview.screen.say()
    interview.screen.drawing(text)


def drawn_right(
    interview: Interview,
    form: Form,
    build: Callable[[Form], Built],
    put: Callable[[Built], str | None],
    what: str,
    after: Callable[[str], bool] = lambda level: True,
) -> str:
    """Have something drawn until it is right: :data:`RIGHT`, :data:`AGAIN` (from its first page),
    or :data:`LEFT` when the person went back before that.

    ``put`` keeps what was built and tells the level to show, None when it cannot be right; going
    back from the drawing leads to the last page before it, with all that was said before.
    ``after`` asks what follows once it is right; False when the person went back from there.
    """
    before = interview.session.case.plan
    made = form.fill(build)
    while made:
        level = put(made[0])
        if level is None:
            return AGAIN
        said = looks_right(interview, level, what)
        while said == RIGHT and not after(level):
            said = looks_right(interview, level, what)
        if said == RIGHT:
            return RIGHT
        interview.session.set_plan(before)
        interview.save()
        if said == AGAIN:
            return AGAIN
        made = form.fill_again(build)
    return LEFT


def looks_right(interview: Interview, level: str, what: str) -> str:
    """Whether the thing just drawn is where it stands: a short page, with the drawing above it."""
    show(interview, level)
    page = Page(
        say("Is {what} drawn right?", what=what),
        heading=HEADING,
        choices=(Choice(RIGHT, "Yes"), Choice(AGAIN, "No, ask me again")),
        commands=("back", "leave"),
    )
    return interview.ask(page).value  # nothing when the person goes back
