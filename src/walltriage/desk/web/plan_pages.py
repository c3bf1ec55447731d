"""The plan in the browser: the sheet with all that is drawn, and the pages that draw one thing."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass

from starlette.responses import Response

from walltriage.case.geometry import Layout
from walltriage.case.plan import BELOW_ROOMS, Plan
from walltriage.desk import intake, plan_steps
from walltriage.desk.houses import look_at
from walltriage.desk.plan_replies import OUTLINE, Asking, NoSuchThing, Replies
from walltriage.desk.plan_steps import MOST_REPLIES, NotDrawn, things_on
from walltriage.desk.pointing import OffTheDrawing, Place, checked_place, points_wanted, replies_for
from walltriage.desk.tables import HouseRecord
from walltriage.desk.web.client_link import base, next_place, of_link
from walltriage.desk.web.plan_picture import SIZES, drawing_of, heights, picture, place_of
from walltriage.desk.web.visit import Visit, see_other
from walltriage.interview.plan_choices import WHY, choices
from walltriage.interview.session import Session
from walltriage.language import say
from walltriage.report.drawing import PlanDrawing
from walltriage.report.plan_words import level_title, level_words

PICTURE_CSP = "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'; sandbox"
MOST_TYPED = 60
_CORNER = re.compile(r"(-?[0-9]{1,6}),(-?[0-9]{1,6})")


@dataclass(frozen=True, slots=True)
class LevelView:
    """One level of the sheet: its drawing, if sizes are known, in words, and what to add."""

    name: str
    drawing: PlanDrawing | None
    words: tuple[str, ...]
    add: tuple[tuple[str, str], ...]
    whole: bool


def plan_counts(visit: Visit) -> bool:
    """Whether the rules can answer anything from a plan."""
    return bool(visit.desk.bench.base.relations.answers)


def _names(session: Session) -> dict[str, str]:
    return {wall.id: wall.title for wall in session.walls}


@of_link
def sheet(visit: Visit, house: HouseRecord) -> Response:
    """All that is drawn; or the offer to draw, while nothing is."""
    if visit.request.method == "POST":
        return _change(visit, house)
    with look_at(visit.desk.bench, house) as session:
        plan, names = session.case.plan, _names(session)
        walls = [(wall, plan is not None and plan.line_of(wall.id) is not None)
                 for wall in session.walls]  # fmt: skip
        levels = _levels(session, plan, names) if plan is not None else []
        things = things_on(plan, names) if plan is not None else []
        drawing = session.case.drawing
    return visit.page(
        "client_plan.html", house=house, base=base(visit), plan=plan, walls=walls, levels=levels,
        things=things, going_on=_slug(drawing.of) if drawing is not None else "", why=say(WHY),
        level_title=level_title,
    )  # fmt: skip


def _levels(session: Session, plan: Plan, names: dict[str, str]) -> list[LevelView]:
    layout, found = Layout(plan), []
    for level in reversed(plan.levels):
        add = tuple(
            (choice.value, choice.says)
            for choice in choices(plan, level, session.case.reach)
            if choice.value not in ("skip", "all") and level not in BELOW_ROOMS
        )
        found.append(
            LevelView(level, drawing_of(plan, level, names),
                      tuple(level_words(layout, level, names)), add, level in plan.whole)
        )  # fmt: skip
    return found


def _change(visit: Visit, house: HouseRecord) -> Response:
    store, bench, form = visit.desk.store, visit.desk.bench, visit.form
    do = form.get("do", "")
    try:
        if do == "go":
            intake.leave_plan(store, house)
            return see_other(next_place(visit, house.id))
        if do == "forget":
            plan_steps.forget_plan(store, bench, house)
        elif do == "away":
            plan_steps.take_away(store, bench, house, form.get("mark", ""))
        elif do in ("whole", "not_whole"):
            level = form.get("level", "")
            plan_steps.set_whole(store, bench, house, level, do == "whole")
    except NoSuchThing:
        return see_other(f"{base(visit)}/plan")
    except NotDrawn as error:
        return visit.page("client_not_drawn.html", 400, house=house, base=base(visit),
                          troubles=error.args)  # fmt: skip
    return see_other(f"{base(visit)}/plan")


@of_link
def draw(visit: Visit, house: HouseRecord) -> Response:
    """One page of one thing that is being drawn."""
    of = visit.request.path_params["of"].replace(":", " ")
    try:
        if visit.request.method == "POST":
            return _reply(visit, house, of)
        with look_at(visit.desk.bench, house) as session:
            asking = plan_steps.page_at(session, of, plan_steps.replies_kept(session, of))
            return _show(visit, house, session, of, asking)
    except NoSuchThing:
        return see_other(f"{base(visit)}/plan")


def _reply(visit: Visit, house: HouseRecord, of: str) -> Response:
    store, bench, form = visit.desk.store, visit.desk.bench, visit.form
    so_far = _so_far(form.get("so_far", ""))
    here = f"{base(visit)}/plan/{_slug(of)}"
    if form.get("do") == "back":
        plan_steps.step_back(store, bench, house, of, so_far[:-1])
        return see_other(here if so_far else f"{base(visit)}/plan")
    clicked = next((wide for wide in SIZES if f"point{wide}.x" in form), None)
    if clicked is not None:
        return _pointed(visit, house, of, so_far, clicked)
    said = form.get("answer", "")
    typed = visit.text("typed", MOST_TYPED)
    value = None if said == "unknown" else typed if said in ("", "typed") and typed else said
    try:
        plan_steps.reply(store, bench, house, of, [*so_far, "" if value == "typed" else value])
    except NotDrawn as error:
        return _again(visit, house, of, so_far, error.args, said=typed or said)
    return _onward(visit, house, of)


def _onward(visit: Visit, house: HouseRecord, of: str) -> Response:
    """The next page of the thing, or the sheet once it is drawn."""
    with visit.desk.store.read() as db:
        kept = db.get(HouseRecord, house.id)
    if kept is None:
        raise intake.NotAsked
    with look_at(visit.desk.bench, kept) as session:
        drawing = session.case.drawing
    more = drawing is not None and drawing.of == of
    return see_other(f"{base(visit)}/plan" + (f"/{_slug(of)}" if more else "#drawn"))


def _pointed(visit: Visit, house: HouseRecord, of: str, so_far: Replies, wide: int) -> Response:
    """One place was clicked: keep it on the page, or draw what it makes with the one before."""
    form, store, bench = visit.form, visit.desk.store, visit.desk.bench
    places: list[Place] = []
    try:
        with look_at(bench, house) as session:
            asking = plan_steps.page_at(session, of, so_far)
            plan, pointed = session.case.plan, asking.pointed
            if plan is None or pointed is None or asking.used != tuple(so_far):
                raise NoSuchThing
            first = _CORNER.fullmatch(form.get("first", ""))
            if first is not None:
                places = [checked_place(plan, pointed, (float(first[1]), float(first[2])))]
            at = (_whole_number(form.get(f"point{wide}.{axis}", "")) for axis in "xy")
            place = place_of(plan, pointed.level, wide, *at)
            places = [*places, checked_place(plan, pointed, place)]
            if len(places) < points_wanted(pointed):
                return _show(visit, house, session, of, asking, first=places[0])
            replies = replies_for(plan, pointed, places)
        plan_steps.reply(store, bench, house, of, [*so_far, *replies])
    except (OffTheDrawing, NotDrawn) as error:
        return _again(visit, house, of, so_far, error.args, first=next(iter(places), None))
    except KeyError:
        raise NoSuchThing from None
    return _onward(visit, house, of)


def _again(
    visit: Visit, house: HouseRecord, of: str, so_far: Replies, troubles: tuple[str, ...],
    said: str = "", first: Place | None = None,
) -> Response:  # fmt: skip
    with look_at(visit.desk.bench, house) as session:
        asking = plan_steps.page_at(session, of, so_far)
        return _show(visit, house, session, of, asking, troubles=troubles, said=said, first=first)


def _show(
    visit: Visit, house: HouseRecord, session: Session, of: str, asking: Asking,
    troubles: tuple[str, ...] = (), said: str = "", first: Place | None = None,
) -> Response:  # fmt: skip
    plan, names = session.case.plan, _names(session)
    level = asking.pointed.level if asking.pointed else _level_of(plan, of)
    drawing = drawing_of(plan, level, names) if plan is not None and level else None
    at = f"{first[0]:.0f},{first[1]:.0f}" if first else ""
    return visit.page(
        "client_draw.html", 400 if troubles else 200, house=house, base=base(visit), of=_slug(of),
        page=asking.page, so_far=json.dumps(asking.used, ensure_ascii=False), said=said,
        begun=bool(asking.used), title=_title(of, names), troubles=troubles, drawing=drawing,
        first=at, wanted=points_wanted(asking.pointed) if asking.pointed and drawing else 0,
        sizes=heights(drawing) if drawing is not None else [],
        level=level_title(level) if level else "",
        picture=f"{base(visit)}/plan-picture/{level}?r={house.revision}&at={at}",
    )  # fmt: skip


def _title(of: str, names: dict[str, str]) -> str:
    kind, _, rest = of.partition(" ")
    return (
        say("The house")
        if of == OUTLINE
        else names.get(rest, "")
        if kind == "wall"
        else say("The plan")
    )


def _level_of(plan: Plan | None, of: str) -> str:
    """The level on which a thing is drawn; that of the wall once it is known."""
    if plan is None or of == OUTLINE:
        return ""
    kind, _, rest = of.partition(" ")
    rooms = [level for level in plan.levels if level not in BELOW_ROOMS]
    return rest.rpartition(" ")[0] if kind == "more" else next(iter(rooms), plan.levels[0])


@of_link
def plan_picture(visit: Visit, house: HouseRecord) -> Response:
    """The drawing of one level, to be pointed at."""
    first = _CORNER.fullmatch(visit.request.query_params.get("at", "")[:20])
    marks = [(float(first[1]), float(first[2]))] if first else []
    with look_at(visit.desk.bench, house) as session:
        plan, names = session.case.plan, _names(session)
    level = visit.request.path_params["level"]
    if plan is None or level not in plan.levels:
        return Response("There is no such drawing.", 404, media_type="text/plain")
    try:
        text = picture(plan, level, names, marks)
    except KeyError:
        return Response("There is no such drawing.", 404, media_type="text/plain")
    return Response(text, media_type="image/svg+xml",
                    headers={"content-security-policy": PICTURE_CSP})  # fmt: skip


def _so_far(text: str) -> list[str | None]:
    """The replies that a page carries; an empty list for anything else."""
    try:
        found = json.loads(text) if len(text) < 100 * MOST_REPLIES else []
    except (ValueError, RecursionError):
        return []
    fits = isinstance(found, list) and len(found) <= MOST_REPLIES
    return found if fits and all(x is None or isinstance(x, str) for x in found) else []


def _whole_number(text: str) -> int:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 6 else -1


def _slug(of: str) -> str:
    return of.replace(" ", ":")
