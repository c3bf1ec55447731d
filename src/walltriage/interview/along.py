"""What is asked along a wall: its two ends, the place marked in the attic, hole after hole."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from walltriage.case.looks import Found, Look, MarkedDistance, Saw, Thing, WallLooks
from walltriage.errors import QuantityError
from walltriage.interview.pages import Choice, Page
from walltriage.interview.signs_told import NO, UNSURE, confirming_page
from walltriage.interview.terminal import Interview
from walltriage.language import say
from walltriage.units import LENGTH_HELP, format_length, parse_length

if TYPE_CHECKING:
    from walltriage.inference.finding import InspectionOpening, OpeningPlan

TRIES = 2
MEASURED, TAPPED, BARE = "measured", "tapped", "bare"
_FOUND: dict[Thing, str] = {
    "joist_end_or_lap": "A joist ends on the wall, or two overlap there",
    "wood_post": "A wood post in the wall",
    "steel_post": "A steel post in the wall",
    "stud_pack": "Three or more studs together",
    "beam_end": "The end of a beam",
    "strut_foot": "A roof brace lands on it",
}
_SAW: dict[Saw, str] = {
    "one_piece": "One piece runs across the wall and on past it",
    "along": "Joists run the same way as the wall, none on it",
    "nothing_rests": "Nothing touches the wall there",
}
NOT_CLEAR, STOP = "not_clear", "stop"


def looks_of(interview: Interview, wall_id: str) -> WallLooks | None:
    """The wall's looks, with its two ends named; None when the person would rather not."""
    looks = interview.session.case.wall(wall_id).looks or WallLooks("")
    if looks.zero_end:
        return looks
    zero = _words(
        interview, "Name one end of the wall; all distances are counted from it.",
        "For example: the kitchen window's end.",
    )  # fmt: skip
    if zero is None:
        return None
    other = _words(interview, "And what is at its other end?", "For example: the hall door.")
    return None if other is None else replace(looks, zero_end=zero, other_end=other)


def mark_place(interview: Interview, wall_id: str) -> str:
    """Ask how the wall's place was found in the attic: :data:`MEASURED` where two distances taken
    below and above agree, :data:`TAPPED`, or :data:`BARE` where nothing shows it; "" when the
    person goes back."""
    page = Page(
        ask="How was the place marked?",
        choices=(
            Choice(MEASURED, "With a tape, from two outside walls, below and in the attic"),
            Choice(TAPPED, "Somebody tapped at both ends, or a wire came up beside the wall there"),
            Choice(BARE, "Some other way, or I wrote no distances down"),
        ),
        commands=("back", "leave"),
    )
    how = interview.ask(page).value  # nothing when the person goes back
    if how != MEASURED:
        return how
    looks = looks_of(interview, wall_id)
    if looks is None:
        return BARE
    rules = interview.triager.base.seen_along
    assert rules is not None
    apart = parse_length(rules.marks_agree)
    for _ in range(TRIES):
        marks = _marks(interview, rules.marking.least)
        if marks is None:
            return BARE
        off = [mark for mark in marks if abs(mark.below_in - mark.above_in) > apart]
        interview.session.set_looks(wall_id, replace(looks, marked=marks))
        if not off:
            interview.screen.say("Below and above agree: the place is marked.")
            break
        for mark in off:
            interview.screen.trouble(
                say(
                    "From {from_wall}: {below} below, {above} above. You may have stood over "
                    "another wall. Measure again if you can.",
                    from_wall=mark.from_wall,
                    below=format_length(mark.below_in),
                    above=format_length(mark.above_in),
                )
            )
    return MEASURED


def _marks(interview: Interview, count: int) -> tuple[MarkedDistance, ...] | None:
    marks: list[MarkedDistance] = []
    for number in range(1, count + 1):
        wall = _words(
            interview,
            say("Outside wall {number} of {count}: which one?", number=number, count=count),
            "For example: the street side. Two different ones, so that they cross.",
        )  # fmt: skip
        below = wall and _length(
            interview, say("From {wall} to this wall, measured in the rooms?", wall=wall)
        )
        above = below and _length(
            interview, say("From {wall} to the same spot, in the attic?", wall=wall)
        )
        if not (wall and below and above):
            return None
        marks.append(MarkedDistance(wall, below, above))
    return tuple(marks)


def holes_left(plan: OpeningPlan | None) -> InspectionOpening | None:
    """The step of a plan that goes along the wall with holes large enough to see through."""
    steps = [step for step in plan.steps if step.where == "along"] if plan else []
    return steps[-1] if steps else None


def walk_holes(interview: Interview, wall_id: str) -> None:
    """Hole after hole as the plan says, each recorded, the result told after each; stops as soon
    as the wall is settled, or when the person says so."""
    session = interview.session
    looks = looks_of(interview, wall_id)
    if looks is None:
        return
    told_first = False
    while True:
        session.set_looks(wall_id, looks)
        interview.save()
        (wall,) = [w for w in session.finding().walls if w.id == wall_id]
        step = holes_left(wall.opening)
        if step is None or wall.opening is None:
            interview.tell_so_far()
            return
        if wall.opening.length_in is None:
            length = _length(interview, "How long is the wall, between its two ends?")
            if length is None:
                return
            looks = replace(looks, length_in=length)
            continue
        if not told_first:
            told_first = True
            interview.heed("First:", wall.opening.first, "!")
            interview.screen.say(f"Each hole: {step.size}. You need: {step.tool}.")
        skipped = {look.from_in for look in looks.looks if look.place == "hole"}
        spots = [spot for spot in step.at_in if spot not in skipped]
        if not spots:
            interview.tell_so_far()
            return
        look = _hole(interview, looks.zero_end, spots[0], len(spots))
        if look is None:
            interview.tell_so_far()
            return
        looks = replace(looks, looks=(*looks.looks, look))
        if look.found and look.sure != "guess":
            interview.screen.say(_means(step, 0))


def _hole(interview: Interview, zero_end: str, spot_in: float, left: int) -> Look | None:
    spot = format_length(spot_in)
    page = Page(
        ask=say(
            "The hole at {spot} from {zero_end}: what do you see on the wall's top?",
            spot=spot,
            zero_end=zero_end,
        ),
        heading=say("Hole by hole: {left} left at most", left=left),
        choices=(
            *(Choice(what, says) for what, says in _FOUND.items()),
            *(Choice(saw, says) for saw, says in _SAW.items()),
            Choice(NOT_CLEAR, "I can't make it out"),
            Choice(STOP, "Stop here"),
        ),
        commands=("sure", "back", "leave"),
    )
    while True:
        reply = interview.ask(page)
        if reply.command == "back" or reply.value == STOP:
            return None
        if reply.value == NOT_CLEAR:
            interview.screen.say("Make it a little larger, light it from the side, look again.")
            continue
        sure = reply.sure or "certain"
        thing = next((thing for thing in _FOUND if thing == reply.value), None)
        if thing is None:
            saw = next(saw for saw in _SAW if saw == reply.value)
            return Look("hole", spot_in, spot_in, saw=saw, sure=sure)
        again = _again(interview, _FOUND[thing])
        if again != NO:
            sure = "guess" if again == UNSURE else sure
            return Look("hole", spot_in, spot_in, found=(Found(thing, spot_in),), sure=sure)


def _again(interview: Interview, says: str) -> str:
    """Have what was found in a hole looked at once more; going back is answering again."""
    interview.screen.say()
    interview.screen.say("Look once more, please.", "bold")
    reply = interview.ask(confirming_page(says))
    return NO if reply.command == "back" else reply.value


def _means(step: InspectionOpening, index: int) -> str:
    return step.outcomes[index].means


def _words(interview: Interview, ask: str, hint: str) -> str | None:
    reply = interview.ask(Page(ask=ask, kind="text", commands=("back", "leave"), hint=hint))
    return None if reply.command == "back" else reply.value


def _length(interview: Interview, ask: str) -> float | None:
    page = Page(
        ask=ask,
        kind="length",
        commands=("unknown", "back", "leave"),
        hint=say("Type {length}.", length=say(LENGTH_HELP)),
    )
    while True:
        reply = interview.ask(page)
        if reply.command in ("unknown", "back"):
            return None
        try:
            return parse_length(reply.value, interview.session.case.units)
        except QuantityError as error:
            interview.screen.trouble(f"{error}.")
