"""The outline of the house: levels, sizes, wings, ridge.

Nobody has to measure: the plan can be declined, and any length left open.
"""

from __future__ import annotations

from functools import partial

from walltriage.case.plan import BELOW_ROOMS, Plan
from walltriage.interview.client import ask_before_the_house
from walltriage.interview.form import Form
from walltriage.interview.pages import Choice, Page
from walltriage.interview.plan_form import HEADING, WHY
from walltriage.interview.plan_house import outline
from walltriage.interview.plan_sheet import RIGHT, drawn_right, keep
from walltriage.interview.terminal import Interview

OUTLINE = "outline"


def is_begun(interview: Interview) -> bool:
    """Whether the interview stopped between two pages of the outline."""
    drawing = interview.session.case.drawing
    return drawing is not None and drawing.of == OUTLINE


def offer(interview: Interview) -> None:
    """Offer to draw the house; its outline, when the person wants to."""
    page = Page(
        ask="Shall we sketch a simple plan of the house first?",
        heading=HEADING,
        choices=(
            Choice("yes", "Yes: two sizes and the roof, then three numbers for each wall"),
            Choice("no", "No, go on without a plan"),
        ),
        commands=("why", "back", "leave"),
        why=WHY + " You can skip any number, and go on without a plan at any time.",
    )
    begun = is_begun(interview)
    while True:
        if not begun:
            reply = interview.ask(page)
            if reply.command == "back":
                ask_before_the_house(interview)
                continue
            if reply.value != "yes":
                return
        begun = False
        said = drawn_right(
            interview, Form(interview, OUTLINE), outline, partial(_put, interview), "the house"
        )
        if said == RIGHT:
            return


def _put(interview: Interview, plan: Plan) -> str | None:
    """Keep the outline; the level to show."""
    if not keep(interview, plan):
        return None
    return next(name for name in plan.levels if name not in BELOW_ROOMS)
