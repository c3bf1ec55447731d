"""Each wall in question on the plan: asked by three numbers, drawn, and looked at.

Everything given is checked at once against what is drawn already, and a plan that cannot be
right is not kept.
"""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from walltriage.case.plan import BELOW_ROOMS, DrawnLine, Plan
from walltriage.interview.form import Form
from walltriage.interview.pages import Choice, Page
from walltriage.interview.plan_form import HEADING
from walltriage.interview.plan_more import draw_begun, draw_more
from walltriage.interview.plan_sheet import AGAIN, RIGHT, drawn_right, keep, show
from walltriage.interview.plan_things import wall_line
from walltriage.interview.terminal import Interview
from walltriage.language import say
from walltriage.report.plan_words import plain


def draw_wall(interview: Interview, wall_id: str) -> bool:
    """Ask where a wall stands, if there is a plan, and draw it; False when the person went back
    from the first page of it."""
    plan = interview.session.case.plan
    if plan is None or plan.line_of(wall_id) is not None:
        return True
    said = AGAIN
    while said == AGAIN:
        said = drawn_right(
            interview, Form(interview, f"wall {wall_id}"),
            partial(wall_line, plan=plan, wall_id=wall_id), partial(_put, interview, plan),
            "the wall", partial(draw_more, interview),
        )  # fmt: skip
    return said == RIGHT


def _put(interview: Interview, plan: Plan, line: DrawnLine | None) -> str | None:
    """Keep a wall's line; the level to show."""
    if line is None or not keep(interview, plan.with_wall(line)):
        return None
    return line.level


def draw_left_open(interview: Interview) -> None:
    """Go on with what was being drawn when an interview stopped, then draw walls not asked about.

    Those are the walls that were named and have no answer yet.
    """
    draw_begun(interview)
    for wall in interview.session.walls:
        if wall.name and not wall.answers:
            draw_wall(interview, wall.id)


def mend(interview: Interview) -> None:
    """Draw a wall anew, or more on a level, until the plan is right."""
    while True:
        plan = interview.session.case.plan
        if plan is None:
            return
        walls = {wall.id: wall for wall in interview.session.walls}
        rooms = [level for level in plan.levels if level not in BELOW_ROOMS]
        page = Page(
            "What needs fixing on the plan?",
            heading=HEADING,
            choices=(
                Choice("", "Nothing more"),
                *(
                    Choice(
                        wall.id,
                        say("Draw {wall} again", wall=wall.title)
                        if plan.line_of(wall.id)
                        else say("Draw {wall}", wall=wall.title),
                    )
                    for wall in walls.values()
                ),
                *(Choice(level, say("Draw more: {level}", level=plain(level))) for level in rooms),
            ),
            commands=("back", "leave"),
        )
        picked = interview.ask(page).value  # nothing when the person goes back
        if picked in walls:
            _anew(interview, plan, picked)
        elif picked:
            interview.levels_done.discard(picked)
            show(interview, picked)
            draw_more(interview, picked)
        else:
            return


def _anew(interview: Interview, plan: Plan, wall_id: str) -> None:
    """Ask for one wall again; the old line stays when the person goes back without a new one."""
    walls = tuple(line for line in plan.walls if line.wall != wall_id)
    interview.session.set_plan(replace(plan, walls=walls))
    draw_wall(interview, wall_id)
    now = interview.session.case.plan
    if now is not None and now.line_of(wall_id) is None:
        interview.session.set_plan(plan)
        interview.save()
