"""The plan built while asking: outline first, then each wall, drawn after each step.

Nobody has to measure: the plan can be declined, and any length left open.  Everything given is
checked at once against what is drawn already, and a plan that cannot be right is not kept.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, TypeVar

from walltriage.case.plan import BELOW_ROOMS, Length, Line, Part, Plan, Side
from walltriage.case.plan_check import plan_problems
from walltriage.errors import QuantityError
from walltriage.interview.pages import Choice, Page
from walltriage.report.plan_terminal import plan_text
from walltriage.units import LENGTH_HELP

if TYPE_CHECKING:
    from walltriage.interview.terminal import Interview

Built = TypeVar("Built")
ROWS = 12  # the drawing and the next question on one screen of 24 lines
WHY = "With a few sizes I can work out many answers, so that I ask less and see what fits."
_LEVELS = {
    "ground": ("One level", ("ground",)),
    "two": ("Ground level and one above", ("ground", "upstairs")),
    "basement": ("Basement and ground level", ("basement", "ground")),
    "basement_two": ("Basement, ground level and one above", ("basement", "ground", "upstairs")),
    "crawl": ("Crawl space and ground level", ("crawl_space", "ground")),
    "crawl_two": ("Crawl space, ground level and one above", ("crawl_space", "ground", "upstairs")),
    "three": ("Ground level and two above", ("ground", "upstairs", "top")),
    "basement_three": (
        "Basement, ground level and two above", ("basement", "ground", "upstairs", "top"),
    ),
}  # fmt: skip
_HOW = {
    "tape": ("With a tape", Length(3.0, "3 in")),
    "paced": ("Pacing, or off a listing plan", Length(12.0, "1 ft")),
    "eye": ("By eye", Length(30.0, "2 ft 6 in")),
}
_SIDES: tuple[tuple[Side, str], ...] = (
    ("back", "At the back"),
    ("front", "At the front"),
    ("left", "On the left, seen from the street"),
    ("right", "On the right, seen from the street"),
)


class Back(Exception):  # noqa: N818 - a wish, not an error
    """The person wants the page before."""


class Form:
    """Asks pages one after another; ``b`` goes one back, and each page remembers its answer."""

    def __init__(self, interview: Interview) -> None:
        self.interview = interview
        self._given: list[str | None] = []
        self._at = 0

    def fill(self, build: Callable[[Form], Built]) -> list[Built]:
        """What ``build`` makes by asking, alone in a list; empty when the person left backward."""
        while True:
            self._at = 0
            try:
                return [build(self)]
            except Back:
                if not self._given:
                    return []
                self._given.pop()

    def _put(self, page: Page, accept: Callable[[str], str | None]) -> str | None:
        if self._at < len(self._given):
            value = self._given[self._at]
            self._at += 1
            return value
        while True:
            reply = self.interview.ask(page)
            if reply.command == "back":
                raise Back
            if reply.command == "unknown":
                value = None
            else:
                trouble = accept(reply.value)
                if trouble is not None:
                    self.interview.screen.trouble(trouble)
                    continue
                value = reply.value
            self._given.append(value)
            self._at += 1
            return value

    def choose(self, ask: str, choices: tuple[tuple[str, str], ...], look: str = "") -> str:
        """One of several; each as (value, words)."""
        page = Page(
            ask=ask,
            heading="The plan",
            choices=tuple(Choice(value, says) for value, says in choices),
            commands=("why", "how", "back", "leave") if look else ("why", "back", "leave"),
            why=WHY,
            look=look,
        )
        return self._put(page, lambda _: None) or choices[0][0]

    def length(self, ask: str, look: str) -> Length | None:
        """A length, or None for "don't know"."""
        units = self.interview.session.case.units
        page = Page(
            ask=ask,
            heading="The plan",
            kind="length",
            commands=("unknown", "why", "how", "back", "leave"),
            hint=f"Type {LENGTH_HELP}. A pace is about 2 ft 6 in.",
            why=WHY,
            look=look,
        )

        def accept(text: str) -> str | None:
            try:
                Length.of(text, units)
            except QuantityError as error:
                return f"{error}."
            return None

        text = self._put(page, accept)
        return None if text is None else Length.of(text, units)


def offer(interview: Interview) -> None:
    """Offer to draw the house; its outline, when the person wants to."""
    page = Page(
        ask="Shall we draw a simple plan of the house first?",
        heading="The plan",
        choices=(
            Choice("yes", "Yes: two sizes and the roof; then each wall by three numbers"),
            Choice("no", "No, go on without"),
        ),
        commands=("why", "leave"),
        why=WHY + " You can leave any number open, and go on without a plan at any time.",
    )
    while interview.ask(page).value == "yes":
        for plan in Form(interview).fill(_outline):
            if _keep(interview, plan):
                show(interview, next(n for n in plan.levels if n not in BELOW_ROOMS))
                return


def _outline(form: Form) -> Plan:
    levels = _LEVELS[
        form.choose(
            "Which levels has the house?",
            tuple((key, says) for key, (says, _) in _LEVELS.items()),
        )
    ][1]
    tolerance = _HOW[
        form.choose("How will you measure?", tuple((key, says) for key, (says, _) in _HOW.items()))
    ][1]
    width = form.length(
        "How wide is the main part of the house, along the street?",
        "Stand in the street and face the house: left and right are as you see them now. Take the "
        "main part only, without wings and porches.",
    )
    depth = form.length(
        "How deep is it, from front to back?",
        "Along one side, outside. Or add the rooms up, and half a foot for each wall.",
    )
    parts = [Part("main", width, depth, levels)]
    while len(parts) < 4:
        side = form.choose(
            "Is there a wing or an added part?" if len(parts) == 1 else "And another part?",
            (("none", "No"), *_SIDES),
        )
        if side == "none":
            break
        parts.append(_part(form, next(s for s, _ in _SIDES if s == side), levels, len(parts)))
    ridge = form.choose(
        "Which way does the main ridge of the roof run?",
        (
            ("front", "Along the street"),
            ("left", "From front to back"),
            ("none", "There is none, or several, or I don't know"),
        ),
        "The ridge is the top line of the roof. Look from across the street.",
    )
    ridges: tuple[Line, ...] = ()
    if ridge != "none":
        ridges = (_middle_ridge("front" if ridge == "front" else "left", parts[0]),)
    return Plan(tolerance, levels, (), tuple(parts), ridges)


def _middle_ridge(along: Side, main: Part) -> Line:
    """A ridge over the middle of the main part: gables are built that way."""
    across, long = (main.depth, main.width) if along == "front" else (main.width, main.depth)
    off = None if across is None else Length(across.inches / 2, f"{across.inches / 24:g} ft")
    return Line(along, off, Length(0.0, "0 ft"), long)


def _part(form: Form, side: Side, levels: tuple[str, ...], number: int) -> Part:
    end = "left" if side in ("front", "back") else "front"
    start = form.length(
        f"How far from the {end} end of that side does it begin?",
        f"Measure along the main part's {side} from its {end} corner. 0 when it begins there.",
    )
    width = form.length("How wide is that part, left to right?", "Outside, along the street.")
    depth = form.length("How deep is it, front to back?", "Outside, away from the street.")
    rooms = tuple(level for level in levels if level not in ("basement", "crawl_space"))
    on: tuple[str, ...] = rooms[:1]
    if len(rooms) > 1:
        every = form.choose(
            "How many levels has that part?", (("one", "One"), ("all", "As many as the house"))
        )
        on = rooms if every == "all" else on
    later = form.choose(
        "Was it built with the house, or added later?",
        (("with", "With the house, or I don't know"), ("later", "Added later")),
    )
    year = None
    if later == "later":
        decade = form.choose(
            "When, about?",
            (("1930", "Before 1940"), ("1955", "1940 to 1969"), ("1980", "1970 to 1989"),
             ("1998", "1990 to 2005"), ("2015", "Later")),
        )  # fmt: skip
        year = int(decade)
    return Part(f"part{number + 1}", width, depth, on, side, "main", start, year)


def draw_wall(interview: Interview, wall_id: str) -> None:
    """Ask where a wall stands, if there is a plan, and draw it."""
    plan = interview.session.case.plan
    if plan is None or plan.line_of(wall_id) is not None:
        return
    while True:
        made = Form(interview).fill(partial(_wall, plan=plan, wall_id=wall_id))
        line = made[0] if made else None
        if line is None:
            return
        if _keep(interview, plan.with_wall(line)):
            show(interview, line.level)
            page = Page(
                "Is the wall drawn where it stands?",
                heading="The plan",
                choices=(Choice("yes", "Yes"), Choice("again", "No, ask again")),
                commands=("leave",),
            )
            if interview.ask(page).value == "yes":
                _others(interview, line.level)
                return
            interview.session.set_plan(plan)


def _wall(form: Form, plan: Plan, wall_id: str, name: str = "") -> Line | None:
    whose = f"'{name}'" if name else "this wall"
    part = _pick_part(form, plan, whose)
    level = part.levels[0]
    if len(part.levels) > 1:
        level = form.choose(
            f"On which level is {whose}?", tuple((item, item) for item in part.levels)
        )
    way = form.choose(
        f"Which way does {whose} run?",
        (
            ("front", "Along the street, left to right"),
            ("left", "From front to back"),
            ("none", "At a slant: leave it off the plan"),
        ),
    )
    if way == "none":
        return None
    along: Side = "front" if way == "front" else "left"
    side, end = ("front", "left side") if along == "front" else ("left side", "front")
    off = form.length(
        f"How far is it from the {side} of the {_called(part)}?",
        "From the outside wall to the middle of this wall. Through a door, or on both levels "
        "from the same outside wall.",
    )
    start = form.length(
        f"Where does it begin, counted from the {end}?", "0 when it begins at the outside wall."
    )
    stop = form.length(
        f"And where does it end, counted from the {end}?",
        "Its end that is farther away. Doors in it do not end it.",
    )
    return Line(along, off, start, stop, level, "" if part.side is None else part.id, wall_id, name)


def _pick_part(form: Form, plan: Plan, whose: str) -> Part:
    if len(plan.parts) == 1:
        return plan.parts[0]
    return plan.part(
        form.choose(
            f"In which part of the house is {whose}?",
            tuple((part.id, _called(part)) for part in plan.parts),
        )
    )


def _called(part: Part) -> str:
    return "main part" if part.side is None else f"part at the {part.side}"


def _others(interview: Interview, level: str) -> None:
    """Further walls of that level, and whether all of them are drawn then."""
    while True:
        plan = interview.session.case.plan
        if plan is None or level in plan.whole:
            return
        page = Page(
            ask=f"Other full-height inside walls on level {level}:",
            heading="The plan",
            choices=(
                Choice("skip", "Leave them; ask me for distances instead"),
                Choice("all", "All of them are drawn now"),
                Choice("draw", "Draw another one"),
            ),
            commands=("why", "leave"),
            why="Only when all walls of a level are drawn can I tell which wall is the next one.",
        )
        value = interview.ask(page).value
        if value == "all":
            interview.session.set_plan(replace(plan, whole=(*plan.whole, level)))
            interview.save()
        if value != "draw":
            return
        name = f"inner wall {len(plan.walls) + 1}"
        made = Form(interview).fill(partial(_wall, plan=plan, wall_id="", name=name))
        line = made[0] if made else None
        if line is not None and _keep(interview, plan.with_wall(line)):
            show(interview, line.level)


def _keep(interview: Interview, plan: Plan) -> bool:
    """Keep a plan that can be right; tell what is wrong with any other."""
    troubles = list(plan_problems(plan))
    for _, what, expected in troubles:
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
        interview.screen.drawing(plan_text(plan, level, most_rows=ROWS))
