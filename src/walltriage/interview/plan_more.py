"""What else there is to draw round a wall, if anybody wants to: one page, left with one key.

Whatever is drawn is shown at once, and asked again when it is not right.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial

from walltriage.case.plan import BELOW_ROOMS, Plan
from walltriage.interview import plan_things as things
from walltriage.interview.form import HEADING, Form
from walltriage.interview.pages import Choice, Page
from walltriage.interview.plan_sheet import keep, looks_right, show
from walltriage.interview.terminal import Interview
from walltriage.report.plan_words import plain

LOOKED = 1  # the effort from which somebody may have seen joists
WHY = (
    "When all walls of a level are drawn I can tell how far the next one is. Beams, posts, stairs "
    "and joists answer questions too. Whatever you leave out I ask about, or do without."
)
_THINGS: dict[str, Callable[[Form, Plan, tuple[str, ...]], Plan]] = {
    "opening": things.opening,
    "beam": things.beam,
    "post": things.post,
    "stairs": things.stairs,
    "knee_wall": things.knee_wall,
    "joists": things.joists,
}


def draw_more(interview: Interview, level: str) -> None:
    """Offer to draw what is on a level and next to it, until the person has had enough."""
    plan = interview.session.case.plan
    while plan is not None and level not in interview.levels_done:
        page = Page(
            ask=f"What else can you draw, on level {plain(level)} or right above or below it?",
            heading=HEADING,
            choices=tuple(_choices(interview, plan, level)),
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
        for picked in ("wall", *_THINGS):
            if drawing.of == _of(level, picked):
                _draw(interview, plan, level, picked)


def _of(level: str, picked: str) -> str:
    """The name under which the pages of a thing are kept."""
    return f"more {level} {picked}"


def _draw(interview: Interview, plan: Plan, level: str, picked: str) -> None:
    """Ask for one thing, show it, and ask again when it is not right."""
    while True:
        drawn = _with_one_more(interview, plan, level, picked)
        if drawn is None or drawn == plan:
            return
        if keep(interview, drawn):
            show(interview, _newest_level(plan, drawn) or level)
            if looks_right(interview, "it"):
                return
            interview.session.set_plan(plan)
            interview.save()


def _choices(interview: Interview, plan: Plan, level: str) -> Iterator[Choice]:
    """What helps here: nothing that the house cannot have, or that nobody can have seen."""
    yield Choice("skip", "Nothing more")
    if level not in plan.whole:
        yield Choice("all", f"All full-height inside walls of level {plain(level)} are drawn now")
        yield Choice("wall", "Another full-height inside wall of that level")
    if any(line.level == level for line in plan.walls):
        yield Choice("opening", "A door or a wider opening in a wall of that level")
    yield Choice("beam", "A beam, or a long box that could hide one")
    yield Choice("post", "A post")
    if len(plan.levels) > 1:
        yield Choice("stairs", "The hole that stairs come up through")
    if plan.levels[-1] in _near(plan, level):
        yield Choice("knee_wall", "A short wall under the roof slope")
    if interview.session.case.reach >= LOOKED:
        yield Choice("joists", "The way joists run, where you have seen them")


def _near(plan: Plan, level: str) -> tuple[str, ...]:
    """A level, the next one below and the next one above: there things bear on its walls."""
    at = plan.levels.index(level)
    return plan.levels[max(at - 1, 0) : at + 2]


def _with_one_more(interview: Interview, plan: Plan, level: str, picked: str) -> Plan | None:
    """The plan with one more thing on it; None when the person thought better of it."""
    of = _of(level, picked)
    if picked == "wall":
        name = f"inner wall {sum(not line.wall for line in plan.walls) + 1}"
        made = Form(interview, of).fill(partial(things.wall_line, plan=plan, wall_id="", name=name))
        return plan.with_wall(made[0]) if made and made[0] is not None else None
    levels = (level,) if picked == "opening" else _near(plan, level)
    if picked == "knee_wall":
        levels = tuple(one for one in levels if one not in BELOW_ROOMS)[-1:]
    built = Form(interview, of).fill(lambda form: _THINGS[picked](form, plan, levels))
    return built[0] if built else None


def _newest_level(before: Plan, after: Plan) -> str | None:
    """The level of what one plan has and the other has not."""
    for key in ("walls", "beams", "posts", "stairs", "joists"):
        old = getattr(before, key)
        for thing in getattr(after, key):
            if thing not in old:
                return str(thing.level)
    return None
