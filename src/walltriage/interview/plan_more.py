"""What else there is to draw round a wall, if anybody wants to: one page, left with one key.

Whatever is drawn is shown at once, and asked again when it is not right.
"""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from walltriage.case.plan import Plan
from walltriage.interview.form import Form
from walltriage.interview.pages import Page
from walltriage.interview.plan_choices import THINGS, WHY, build, choices, newest_level
from walltriage.interview.plan_form import HEADING
from walltriage.interview.plan_sheet import keep, looks_right, show
from walltriage.interview.terminal import Interview
from walltriage.language import say
from walltriage.report.plan_words import plain


def draw_more(interview: Interview, level: str) -> None:
    """Offer to draw what is on a level and next to it, until the person has had enough."""
    plan = interview.session.case.plan
    while plan is not None and level not in interview.levels_done:
        page = Page(
            ask=say(
                "What else can you draw, on the {plain} level or right above or below it?",
                plain=plain(level),
            ),
            heading=HEADING,
            choices=tuple(choices(plan, level, interview.session.case.reach)),
            commands=("why", "leave"),
            why=WHY,
        )
        picked = interview.ask(page).value
        if picked == "skip":
            if level in plan.whole:
                interview.levels_done.add(level)
            return
        if picked == "all":
            interview.session.set_plan(replace(plan, whole=(*plan.whole, level)))
            interview.save()
        else:
            _draw(interview, plan, level, picked)
        plan = interview.session.case.plan


def draw_begun(interview: Interview) -> None:
    """Go on with a thing that was being drawn when the interview stopped."""
    plan, drawing = interview.session.case.plan, interview.session.case.drawing
    if plan is None or drawing is None:
        return
    for level in plan.levels:
        for picked in ("wall", *THINGS):
            if drawing.of == _of(level, picked):
                _draw(interview, plan, level, picked)


def _of(level: str, picked: str) -> str:
    """The name under which the pages of a thing are kept."""
    return f"more {level} {picked}"


def _draw(interview: Interview, plan: Plan, level: str, picked: str) -> None:
    """Ask for one thing, show it, and ask again when it is not right."""
    while True:
        made = Form(interview, _of(level, picked)).fill(
            partial(build, plan=plan, level=level, picked=picked)
        )
        drawn = made[0] if made else plan
        if drawn == plan:
            return
        if keep(interview, drawn):
            show(interview, newest_level(plan, drawn) or level)
            if looks_right(interview, "it"):
                return
            interview.session.set_plan(plan)
            interview.save()
