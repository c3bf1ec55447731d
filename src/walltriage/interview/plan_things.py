"""What can be drawn on the outline, each asked by a few plain questions."""

from __future__ import annotations

from walltriage.case.geometry import axis_of
from walltriage.case.plan import Area, DrawnLine, DrawnPost, Length, Part, Plan, Side
from walltriage.interview.plan_form import PlanForm, Pointed
from walltriage.language import say
from walltriage.report.plan_words import SIDE_WORDS, plain

_WAYS = (("front", "Along the street, left to right"), ("left", "From front to back"))
_SIDES = {
    "front": "The front", "back": "The back", "left": "The left side", "right": "The right side",
}  # fmt: skip
_SIDE_WORDS = {
    "front": "front", "back": "back", "left": "left side", "right": "right side",
}  # fmt: skip
_FROM_WALL = "Measure from the outside wall: indoors through a doorway, or outside along the house."


def wall_line(form: PlanForm, plan: Plan, wall_id: str, name: str = "") -> DrawnLine | None:
    """A full-height wall; None for one at a slant, which a plan of squares cannot hold."""
    whose = f"'{name}'" if name else say("this wall")
    part = pick_part(form, plan, whose)
    level = pick_level(form, part.levels, whose)
    form.points(Pointed("line", part, level))
    way = form.choose(
        say("Which way does {whose} run?", whose=whose),
        (*_WAYS, ("none", "At an angle: leave it off the plan")),
    )
    if way == "none":
        return None
    along: Side = "front" if way == "front" else "left"
    return _line(form, part, level, along, say("it"), wall_id, name)


def opening(form: PlanForm, plan: Plan, levels: tuple[str, ...]) -> Plan:
    """A door or a wider opening in a wall that is drawn."""
    walls = [line for line in plan.walls if line.level in levels and line.kind == "wall"]
    names = {wall.id: wall.title for wall in form.session.walls}
    picked = form.choose(
        "In which wall is the opening?",
        tuple((str(n), names.get(line.wall, line.title)) for n, line in enumerate(walls)),
    )
    line = walls[int(picked)]
    form.points(Pointed("opening", plan.part(line.part), line.level, line))
    ends = form.stretch(
        say("does the opening"), "left side" if axis_of(line.along) == "x" else "front"
    )
    return plan if ends is None else plan.with_opening(line, ends)


def beam(form: PlanForm, plan: Plan, levels: tuple[str, ...]) -> Plan:
    """A beam, drawn on the level in whose ceiling it is."""
    part, level = _where(form, plan, levels, say("the beam"))
    form.points(Pointed("line", part, level))
    way = form.choose("Which way does the beam run?", _WAYS)
    name = say("beam {number}", number=len(plan.beams) + 1)
    along: Side = "front" if way == "front" else "left"
    line = _line(form, part, level, along, say("the beam"), "", name)
    return plan.with_beam(line)


def post(form: PlanForm, plan: Plan, levels: tuple[str, ...]) -> Plan:
    """A post; without both its places there is nothing to draw."""
    part, level = _where(form, plan, levels, say("the post"))
    form.points(Pointed("spot", part, level))
    left = form.length(
        say("How far is the post from the left of the {called}?", called=called(part)),
        _FROM_WALL,
    )
    front = form.length("And how far from its front?", _FROM_WALL)
    if left is None or front is None:
        return plan
    return plan.with_post(DrawnPost(level, left, front, part_name(part)))


def stairs(form: PlanForm, plan: Plan, levels: tuple[str, ...]) -> Plan:
    """The hole in a floor through which stairs come up."""
    part, level = _where(
        form, plan, tuple(name for name in levels if name != plan.levels[0]), say("the upper end")
    )
    form.points(Pointed("area", part, level))
    what = say("does the hole in that floor")
    left = form.stretch(what, "left side")
    front = form.stretch(what, "front")
    if left is None or front is None:
        return plan
    return plan.with_stairs(Area(level, part_name(part), left, front))


def knee_wall(form: PlanForm, plan: Plan, levels: tuple[str, ...]) -> Plan:
    """A short wall under the roof slope, measured from the outside wall it runs beside."""
    part, level = _where(form, plan, levels, say("the knee wall"))
    form.points(Pointed("beside", part, level))
    sides: tuple[Side, ...] = ("front", "back", "left", "right")
    along: Side = form.choose(  # type: ignore[assignment]
        "Which outside wall does the knee wall run along?",
        tuple((side, _SIDES[side]) for side in sides),
    )
    name = say(
        "knee wall {number}", number=sum(line.kind == "knee_wall" for line in plan.walls) + 1
    )
    line = _line(form, part, level, along, say("the knee wall"), "", name, "knee_wall")
    return plan.with_wall(line)


def joists(form: PlanForm, plan: Plan, levels: tuple[str, ...]) -> Plan:
    """The way joists run in one bay, and where somebody saw them; guesses are not drawn."""
    seen = form.choose(
        "Where did you see the joists?",
        (
            ("attic", "From the attic"),
            ("below", "From the basement or crawl space"),
            ("fixture", "Past a light, a vent or a hatch"),
            ("opened", "Through an opening in the ceiling"),
        ),
    )
    part = pick_part(form, plan, say("what you saw"))
    over = {"attic": part.levels[-1:], "below": part.levels[:1]}.get(seen, part.levels)
    level = pick_level(form, over, say("the ceiling they carry"))
    run = form.choose("Which way do they run?", _WAYS)
    ends: list[tuple[Length, Length] | None] = [None, None]
    all_over = form.choose(
        say("Do they run that way over all of the {called}?", called=called(part)),
        (
            ("all", "Yes, as far as I can see"),
            ("some", "Only over part of it, or they change direction"),
        ),
    )
    if all_over == "some":
        what = say("does that stretch of joists")
        ends = [form.stretch(what, end) for end in ("left side", "front")]
    side: Side = "front" if run == "front" else "left"
    area = Area(level, part_name(part), ends[0], ends[1], side, seen)
    return plan.with_joists(area)


def pick_part(form: PlanForm, plan: Plan, whose: str) -> Part:
    """The part something is in; not asked where there is only one."""
    return plan.part(
        form.choose(
            say("In which part of the house is {whose}?", whose=whose),
            tuple((part.id, called(part)) for part in plan.parts),
        )
    )


def called(part: Part) -> str:
    """A part in plain words."""
    if part.side is None:
        return say("main part")
    return say("part at the {side}", side=say(SIDE_WORDS[part.side]))


def part_name(part: Part) -> str:
    """A part as lines name it: the first one needs no name."""
    return "" if part.side is None else part.id


def pick_level(form: PlanForm, levels: tuple[str, ...], whose: str) -> str:
    """The level something is on."""
    return form.choose(
        say("On which level is {whose}?", whose=whose),
        tuple((name, plain(name)) for name in levels),
    )


def _where(form: PlanForm, plan: Plan, levels: tuple[str, ...], whose: str) -> tuple[Part, str]:
    """The part and the level of something, of the levels in question that the part has."""
    part = pick_part(form, plan, whose)
    both = tuple(name for name in levels if name in part.levels) or part.levels
    return part, pick_level(form, both, whose)


def _line(
    form: PlanForm, part: Part, level: str, along: Side, it: str, wall_id: str, name: str,
    kind: str = "wall",
) -> DrawnLine:  # fmt: skip
    """A line by three numbers: how far off a side, and its two ends."""
    side = say(_SIDE_WORDS[along])
    end = say(_SIDE_WORDS["left" if axis_of(along) == "x" else "front"])
    off = form.length(
        say(
            "How far is {it} from the {side} of the {called}?",
            it=it,
            side=side,
            called=called(part),
        ),
        "From the outside wall to the middle of it. Through a door, or on both levels from the "
        "same outside wall.",
    )
    start = form.length(
        say("Where does {it} begin, counted from the {end}?", it=it, end=end),
        "Type 0 if it begins at the outside wall.",
    )
    stop = form.length(
        say("And where does {it} end, counted from the {end}?", it=it, end=end),
        "Its far end. A door in it is not its end.",
    )
    return DrawnLine(along, off, start, stop, level, part_name(part), wall_id, name, kind)
