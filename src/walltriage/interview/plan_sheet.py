"""The plan of an interview: kept when it can be right, and shown."""

from __future__ import annotations

from walltriage.case.plan import Part, Plan
from walltriage.case.plan_check import plan_problems
from walltriage.interview.form import HEADING, Form
from walltriage.interview.pages import Choice, Page
from walltriage.interview.terminal import Interview
from walltriage.report.plan_terminal import plan_text

ROWS = 12  # the drawing and the next question on one screen of 24 lines


def keep(interview: Interview, plan: Plan) -> bool:
    """Keep a plan that can be right; tell what is wrong with any other."""
    troubles = list(plan_problems(plan))
    for _, what, expected in troubles:
        for wall in interview.session.walls:
            what = what.replace(f"'{wall.id}'", f"'{wall.title}'")
        interview.screen.trouble(f"{what[:1].upper()}{what[1:]}; {expected}.")
    if troubles:
        interview.screen.say("That was not drawn. Look at the two numbers and try again.")
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
        f"Is {what} drawn as it stands?",
        heading=HEADING,
        choices=(Choice("yes", "Yes"), Choice("again", "No, ask again")),
        commands=("leave",),
    )
    return interview.ask(page).value == "yes"


def pick_part(form: Form, plan: Plan, whose: str) -> Part:
    """The part something is in; not asked where there is only one."""
    return plan.part(
        form.choose(
            f"In which part of the house is {whose}?",
            tuple((part.id, called(part)) for part in plan.parts),
        )
    )


def called(part: Part) -> str:
    """A part in plain words."""
    return "main part" if part.side is None else f"part at the {part.side}"


def part_name(part: Part) -> str:
    """A part as lines name it: the first one needs no name."""
    return "" if part.side is None else part.id
