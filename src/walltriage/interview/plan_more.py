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
from walltriage.interview.plan_sheet import AGAIN, drawn_right, keep, looks_right
from walltriage.interview.terminal import Interview
from walltriage.language import say
from walltriage.report.plan_words import plain


def draw_more(interview: Interview, level: str) -> bool:
    """Offer to draw what is on a level and next to it, until the person has had enough; False when
    they went back from the first offer."""
    plan = interview.session.case.plan
    drawn: list[tuple[str, Plan]] = []  # each thing with the plan before it
    while plan is not None and level not in interview.levels_done:
        page = Page(
            ask=say(
                "What else can you draw, on this level or right above or below it ({level})?",
                level=plain(level),
            ),
            heading=HEADING,
            choices=tuple(choices(plan, level, interview.session.case.reach)),
            commands=("why", "back", "leave"),
            why=WHY,
        )
        reply = interview.ask(page)
        picked = reply.value
        if reply.command == "back":
            if not drawn:
                return False
            picked, before = drawn.pop()
            if looks_right(interview, newest_level(before, plan) or level, "it") == AGAIN:
                interview.session.set_plan(before)
                interview.save()
                _draw(interview, before, level, picked)
        elif picked == "skip":
            if level in plan.whole:
                interview.levels_done.add(level)
            return True
        elif picked == "all":
            interview.session.set_plan(replace(plan, whole=(*plan.whole, level)))
            interview.save()
        else:
            _draw(interview, plan, level, picked)
            if interview.session.case.plan != plan:
                drawn.append((picked, plan))
        plan = interview.session.case.plan
    return True


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
    said = AGAIN
    while said == AGAIN:
        said = drawn_right(
            interview, Form(interview, _of(level, picked)),
            partial(build, plan=plan, level=level, picked=picked),
            partial(_put, interview, plan, level), "it",
        )  # fmt: skip


def _put(interview: Interview, plan: Plan, level: str, drawn: Plan) -> str | None:
    """Keep the plan with the new thing; the level to show."""
    if not keep(interview, drawn):
        return None
    return newest_level(plan, drawn) or level
