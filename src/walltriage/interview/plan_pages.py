"""Each wall in question on the plan: asked by three numbers, drawn, and looked at.

Everything given is checked at once against what is drawn already, and a plan that cannot be
right is not kept.
"""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from walltriage.interview.form import Form
from walltriage.interview.plan_more import draw_more
from walltriage.interview.plan_sheet import keep, looks_right, show
from walltriage.interview.plan_things import wall_line

if TYPE_CHECKING:
    from walltriage.interview.terminal import Interview


def draw_wall(interview: Interview, wall_id: str) -> None:
    """Ask where a wall stands, if there is a plan, and draw it."""
    plan = interview.session.case.plan
    if plan is None or plan.line_of(wall_id) is not None:
        return
    while True:
        made = Form(interview).fill(partial(wall_line, plan=plan, wall_id=wall_id))
        line = made[0] if made else None
        if line is None:
            return
        if keep(interview, plan.with_wall(line)):
            show(interview, line.level)
            if looks_right(interview, "the wall"):
                draw_more(interview, line.level)
                return
            interview.session.set_plan(plan)
