"""What can be drawn round a wall, and the questions that each thing asks."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from walltriage.case.plan import BELOW_ROOMS, Plan
from walltriage.interview import plan_things as things
from walltriage.interview.pages import Choice
from walltriage.interview.plan_form import PlanForm
from walltriage.language import say
from walltriage.report.plan_words import plain

LOOKED = 1  # the effort from which somebody may have seen joists
WHY = (
    "Once all walls of a level are drawn, I know how far it is to the next one. Beams, posts, "
    "stairs and joists answer questions too. I ask about whatever you leave out, or do without."
)
THINGS: dict[str, Callable[[PlanForm, Plan, tuple[str, ...]], Plan]] = {
    "opening": things.opening,
    "beam": things.beam,
    "post": things.post,
    "stairs": things.stairs,
    "knee_wall": things.knee_wall,
    "joists": things.joists,
}


def choices(plan: Plan, level: str, reach: int) -> Iterator[Choice]:
    """What helps here: nothing that the house cannot have, or that nobody can have seen."""
    yield Choice("skip", "Nothing more")
    if level not in plan.whole:
        yield Choice(
            "all",
            say(
                "All full-height interior walls on this level are drawn now ({level})",
                level=plain(level),
            ),
        )
        yield Choice("wall", "Another full-height interior wall of that level")
    if any(line.level == level and line.kind == "wall" for line in plan.walls):
        yield Choice("opening", "A door or a wider opening in a wall of that level")
    yield Choice("beam", "A beam, or a long boxed-in strip that could hide one")
    yield Choice("post", "A post")
    if len(plan.levels) > 1:
        yield Choice("stairs", "The stair opening")
    if plan.levels[-1] in near(plan, level):
        yield Choice("knee_wall", "A knee wall under the roof slope")
    if reach >= LOOKED:
        yield Choice("joists", "Which way joists run, where you have seen them")


def near(plan: Plan, level: str) -> tuple[str, ...]:
    """A level, the next one below and the next one above: there things bear on its walls."""
    at = plan.levels.index(level)
    return plan.levels[max(at - 1, 0) : at + 2]


def build(form: PlanForm, plan: Plan, level: str, picked: str) -> Plan:
    """The plan with one more thing on it, asked for by ``form``."""
    if picked == "wall":
        name = say("interior wall {number}", number=sum(not line.wall for line in plan.walls) + 1)
        line = things.wall_line(form, plan, wall_id="", name=name)
        return plan if line is None else plan.with_wall(line)
    levels = (level,) if picked == "opening" else near(plan, level)
    if picked == "knee_wall":
        levels = tuple(one for one in levels if one not in BELOW_ROOMS)[-1:]
    return THINGS[picked](form, plan, levels)


def newest_level(before: Plan, after: Plan) -> str | None:
    """The level of what one plan has and the other has not."""
    for key in ("walls", "beams", "posts", "stairs", "joists"):
        old = getattr(before, key)
        for thing in getattr(after, key):
            if thing not in old:
                return str(thing.level)
    return None
