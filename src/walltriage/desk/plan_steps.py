"""What one page of the plan changes: a reply kept, a thing drawn, a thing taken away.

A plan that cannot be right is not kept, nor one that could not be read again.  Every plan that is
kept stands in the record of answers, so that what somebody drew is not lost when it is drawn anew.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from walltriage.case.model import HOUSE, Answer, Drawing, Step
from walltriage.case.plan import DrawnLine, Plan
from walltriage.case.plan_write import plan_data
from walltriage.desk.bench import Bench, text_of
from walltriage.desk.events import CLIENT
from walltriage.desk.houses import change_case
from walltriage.desk.plan_replies import Asking, NoSuchThing, Replies, run
from walltriage.desk.store import Store
from walltriage.desk.tables import HouseRecord
from walltriage.errors import InputError
from walltriage.interview.given import GivenAnswer
from walltriage.interview.plan_troubles import plan_troubles
from walltriage.interview.session import Session
from walltriage.language import say

GROUPS = ("walls", "beams", "posts", "stairs", "joists")
MOST_THINGS, MOST_REPLIES = 80, 40
PLAN = Step(HOUSE, "plan")
"""Under what a plan stands in the record of answers; no question of the rules has this name."""


class NotDrawn(Exception):  # noqa: N818 - told as what happened
    """What was replied cannot be drawn; each argument says one thing that is wrong."""


@dataclass(frozen=True, slots=True)
class Thing:
    """One thing on a plan that can be taken away again."""

    group: str
    mark: str
    level: str
    says: str


def page_at(session: Session, of: str, replies: Replies) -> Asking:
    """The page at which the replies so far lead; of a finished thing, its last page."""
    made = run(session, of, replies)
    while not isinstance(made, Asking):
        if not replies:
            raise NoSuchThing
        replies = replies[:-1]
        made = run(session, of, replies)
    return replace(made, trouble="")


def replies_kept(session: Session, of: str) -> Replies:
    """What was replied so far of a thing that is being drawn."""
    drawing = session.case.drawing
    return drawing.replies if drawing is not None and drawing.of == of else ()


def reply(store: Store, bench: Bench, house: HouseRecord, of: str, replies: Replies) -> Session:
    """Take the replies to a thing; it is drawn with the last one.

    Raises :class:`NotDrawn` and :class:`NoSuchThing`; nothing is changed then.
    """

    def act(session: Session) -> tuple[Session, Sequence[GivenAnswer]]:
        made = run(session, of, replies[:MOST_REPLIES])
        if isinstance(made, Asking):
            if made.trouble:
                raise NotDrawn(made.trouble)
            session.set_drawing(Drawing(of, made.used))
            return session, ()
        session.set_drawing(None)
        return _kept(bench, session, made)

    return change_case(store, bench, house.id, act, CLIENT)


def step_back(store: Store, bench: Bench, house: HouseRecord, of: str, replies: Replies) -> Session:
    """Go one page back in what is being drawn; before its first page nothing is being drawn."""

    def act(session: Session) -> tuple[Session, Sequence[GivenAnswer]]:
        session.set_drawing(Drawing(of, page_at(session, of, replies).used) if replies else None)
        return session, ()

    return change_case(store, bench, house.id, act, CLIENT)


def set_whole(store: Store, bench: Bench, house: HouseRecord, level: str, whole: bool) -> Session:
    """Say that all walls of a level are drawn, or that they are not."""

    def act(session: Session) -> tuple[Session, Sequence[GivenAnswer]]:
        plan = session.case.plan
        if plan is None or level not in plan.levels:
            raise NoSuchThing
        named = tuple(one for one in plan.levels if (whole if one == level else one in plan.whole))
        return _kept(bench, session, replace(plan, whole=named))

    return change_case(store, bench, house.id, act, CLIENT)


def take_away(store: Store, bench: Bench, house: HouseRecord, mark: str) -> Session:
    """Take one thing off the plan; one that is gone already stays gone."""

    def act(session: Session) -> tuple[Session, Sequence[GivenAnswer]]:
        plan = session.case.plan
        return _kept(bench, session, _without(plan, mark)) if plan is not None else (session, ())

    return change_case(store, bench, house.id, act, CLIENT)


def forget_plan(store: Store, bench: Bench, house: HouseRecord) -> Session:
    """Take the whole plan away; the record of answers keeps it."""

    def act(session: Session) -> tuple[Session, Sequence[GivenAnswer]]:
        if session.case.plan is None:
            return session, ()
        session.set_plan(None)
        session.set_drawing(None)
        return session, (GivenAnswer(PLAN, Answer("none", None, "none")),)

    return change_case(store, bench, house.id, act, CLIENT)


def _kept(bench: Bench, session: Session, plan: Plan) -> tuple[Session, Sequence[GivenAnswer]]:
    """Set a plan that can be right; the same once more is no second thing."""
    before = session.case.plan
    if before is not None and _bare(plan) == _bare(before):
        return session, ()
    troubles = [*_left_out(plan)] or plan_troubles(plan, session.walls)
    if sum(len(getattr(plan, group)) for group in GROUPS) > MOST_THINGS:
        troubles.append(
            say(
                "That is more than {most_things} things; draw what is near the walls.",
                most_things=MOST_THINGS,
            )
        )
    if not troubles:
        try:
            bench.case_of(text_of(replace(session.case, plan=plan)))
        except InputError as error:
            troubles = [str(error.problems[0].what)]
    if troubles:
        raise NotDrawn(*troubles)
    session.set_plan(plan)
    text = json.dumps(plan_data(plan), ensure_ascii=False)
    return session, (GivenAnswer(PLAN, Answer("drawn", None, text)),)


def _bare(plan: Plan) -> object:
    """What is on a plan, without names given by count and whatever is drawn twice."""
    groups = [frozenset(_nameless(thing) for thing in getattr(plan, group)) for group in GROUPS]
    return groups, plan.parts, plan.levels, plan.whole, plan.ridges, plan.tolerance


def _nameless(thing: object) -> object:
    if not isinstance(thing, DrawnLine):
        return thing
    return replace(thing, name="", openings=tuple(dict.fromkeys(thing.openings)))


def _left_out(plan: Plan) -> Iterator[str]:
    """Things in parts or on levels that a new outline no longer has."""
    parts = {part.id for part in plan.parts} | {""}
    for group in GROUPS:
        for thing in getattr(plan, group):
            if thing.part not in parts or thing.level not in plan.levels:
                yield say(
                    "Something is drawn in a part or on a level that the new outline has not. "
                    "Take it away first, on the plan's page, or draw the outline with it."
                )
                return


def things_on(plan: Plan, names: dict[str, str]) -> list[Thing]:
    """Everything that can be taken away: walls by the names people gave them, else by number."""
    found = []
    one = {"walls": say("wall"), "beams": say("beam"), "posts": say("post"),
           "stairs": say("stair opening"), "joists": say("joists")}  # fmt: skip
    for group in GROUPS:
        for number, thing in enumerate(getattr(plan, group), 1):
            says = f"{one[group]} {number}"
            if isinstance(thing, DrawnLine):
                says = names.get(thing.wall) or thing.name or says
                for at, ends in enumerate(thing.openings, 1):
                    opening = say("opening {at} in {says}", at=at, says=says)
                    found.append(Thing("openings", _mark(thing, ends), thing.level, opening))
            found.append(Thing(group, _mark(thing), thing.level, says))
    return found


def _without(plan: Plan, mark: str) -> Plan:
    """The plan without the thing, or the opening, of this mark."""
    changed: dict[str, Any] = {}
    for group in GROUPS:
        left = [thing for thing in getattr(plan, group) if _mark(thing) != mark]
        changed[group] = tuple(
            replace(thing, openings=tuple(e for e in thing.openings if _mark(thing, e) != mark))
            if isinstance(thing, DrawnLine)
            else thing
            for thing in left
        )
    return replace(plan, **changed)


def _mark(*what: object) -> str:
    """A short name for a thing by all that is known of it."""
    return hashlib.sha256(repr(what).encode()).hexdigest()[:16]
