"""The outline of the house: levels, sizes, wings, ridge.

Nobody has to measure: the plan can be declined, and any length left open.
"""

from __future__ import annotations

from walltriage.case.plan import BELOW_ROOMS
from walltriage.interview.form import Form
from walltriage.interview.pages import Choice, Page
from walltriage.interview.plan_form import HEADING, WHY
from walltriage.interview.plan_house import outline
from walltriage.interview.plan_sheet import keep, looks_right, show
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
        commands=("why", "leave"),
        why=WHY + " You can skip any number, and go on without a plan at any time.",
    )
    begun = is_begun(interview)
    while begun or interview.ask(page).value == "yes":
        begun = False
        for plan in Form(interview, OUTLINE).fill(outline):
            if keep(interview, plan):
                show(interview, next(n for n in plan.levels if n not in BELOW_ROOMS))
                if looks_right(interview, "the house"):
                    return
                interview.session.set_plan(None)
                interview.save()
