"""The client's pages: one look a page, the words of the terminal."""

from __future__ import annotations

from dataclasses import replace

from starlette.responses import Response

from walltriage.case.answers import AnswerError
from walltriage.case.model import Step
from walltriage.desk import intake, second_looks
from walltriage.desk.houses import look_at
from walltriage.desk.said_before import remember_said_before
from walltriage.desk.store import now
from walltriage.desk.tables import HouseRecord
from walltriage.desk.web.client_link import base, next_place, of_link, photos_of, said_of
from walltriage.desk.web.look_page import LookPage, answer_list, look_page
from walltriage.desk.web.photo_taking import take_photo
from walltriage.desk.web.plan_pages import plan_counts
from walltriage.desk.web.visit import Visit, see_other
from walltriage.inference.looks.glance import Picked
from walltriage.interview import words
from walltriage.interview.stands_alone import to_offer
from walltriage.language import say
from walltriage.report.files import make_request, rendered

REPORT_CSP = "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'; sandbox"


@of_link
def home(visit: Visit, house: HouseRecord) -> Response:
    """Wherever the client is."""
    more = "?moved=1" if "moved" in visit.request.query_params else ""
    return see_other(next_place(visit, house.id) + more)


@of_link
def begin(visit: Visit, house: HouseRecord) -> Response:
    """Welcome, and how far the client can go today."""
    trouble = ""
    if visit.request.method == "POST":
        given = visit.form.get("reach", "")
        if given in [str(n) for n in range(len(words.REACH))]:
            draws = {"yes": True, "no": False}.get(visit.form.get("draws", ""))
            intake.begin(visit.desk.store, visit.desk.bench, house, int(given), draws)
            return see_other(next_place(visit, house.id))
        trouble = say("Pick one line: how far can you go today?")
    with look_at(visit.desk.bench, house) as session:
        case, answered = session.case, len(session.given)
    picked = str(case.reach) if house.begun else ""
    return visit.page(
        "client_begin.html", 400 if trouble else 200, house=house, base=base(visit),
        reach=list(enumerate(words.REACH)), picked=picked, trouble=trouble,
        walls=[wall.name for wall in case.walls if wall.name], answered=answered,
        may_draw=plan_counts(visit) and not house.begun and case.plan is None,
    )  # fmt: skip


@of_link
def look(visit: Visit, house: HouseRecord) -> Response:
    """One look: the page, or the answer to it."""
    step = Step(visit.request.path_params["subject"], visit.request.path_params["question"])
    if visit.request.method == "POST":
        return _take(visit, house, step)
    with look_at(visit.desk.bench, house) as session:
        remember_said_before(session, house.place)
        page = look_page(session, step)
    if page is None:
        return see_other(f"{base(visit)}?moved=1")
    return _show(visit, house, step, page)


def _take(visit: Visit, house: HouseRecord, step: Step) -> Response:
    said, desk = said_of(visit), visit.desk
    if visit.form.get("do") == "photo":  # kept by itself, with what was picked meanwhile
        trouble = take_photo(visit, house, step, need=True)
        return _again(visit, house, step, said, trouble, say("The photo is saved."))
    if missing := _missing(said):
        take_photo(visit, house, step)
        # a line picked beside ticks cannot be unpicked by hand
        return _again(visit, house, step, replace(said, value=""), missing)
    try:
        intake.answer(desk.store, desk.bench, house, step, said)
    except AnswerError as error:
        return _again(visit, house, step, said, words.plainly(error, step.question))
    trouble = take_photo(visit, house, step)
    if trouble:
        told = say("Your answer is saved, the photo is not. {trouble}", trouble=trouble)
        return _again(visit, house, step, said, told)
    return see_other(next_place(visit, house.id))


def _missing(said: intake.FormReply) -> str:
    """What keeps a form from being an answer; empty when nothing does."""
    if said.picked is None:
        return "Nothing is picked or typed yet." if said.value in ("", "typed") else ""
    ticked = said.picked != Picked()
    if ticked and said.value:
        return "You ticked something and picked another line too. Which is it? The ticks are kept."
    return "" if ticked or said.value == intake.NONE_SEEN else "Nothing is picked or typed yet."


def _again(
    visit: Visit,
    house: HouseRecord,
    step: Step,
    said: intake.FormReply,
    trouble: str,
    done: str = "",
) -> Response:
    """The same look once more, with what was picked on it."""
    with look_at(visit.desk.bench, house) as session:
        remember_said_before(session, house.place)
        page = look_page(session, step)
    if page is None:
        raise intake.NotAsked
    return _show(visit, house, step, page, said, trouble, "" if trouble else done)


def _show(
    visit: Visit,
    house: HouseRecord,
    step: Step,
    page: LookPage,
    said: intake.FormReply | None = None,
    trouble: str = "",
    done: str = "",
) -> Response:
    return visit.page(
        "client_look.html", 400 if trouble else 200, house=house, base=base(visit), look=page,
        action=f"{base(visit)}/look/{step.subject}/{step.question}",
        said=said or page.before, trouble=trouble, done=done, asked_words="",
        moved="moved" in visit.request.query_params, photos=photos_of(visit, house, step),
        may_draw=plan_counts(visit), back_to=_back_to(visit, page),
    )  # fmt: skip


def _back_to(visit: Visit, page: LookPage) -> str:
    back = page.back
    return f"{base(visit)}/look/{back.subject}/{back.question}" if back else ""


@of_link
def wall(visit: Visit, house: HouseRecord) -> Response:
    """What the client calls a wall."""
    wall_id = visit.request.path_params["wall"]
    if visit.request.method == "POST":
        name = visit.text("name", intake.MOST_NAME)
        named = intake.name_wall(visit.desk.store, visit.desk.bench, house, wall_id, name)
        plan = named.case.plan
        if plan is not None and plan.line_of(wall_id) is None:
            return see_other(f"{base(visit)}/plan/wall:{wall_id}")
        return see_other(next_place(visit, house.id))
    with look_at(visit.desk.bench, house) as session:
        ids = {w.id: w.name for w in session.walls}
        number = list(ids).index(wall_id) + 1 if wall_id in ids else 0
        answered = len(session.given)
    if not number:
        return see_other(f"{base(visit)}?moved=1")
    return visit.page(
        "client_wall.html", house=house, base=base(visit), number=number, name=ids[wall_id],
        answered=answered,
    )  # fmt: skip


@of_link
def answers(visit: Visit, house: HouseRecord) -> Response:
    """Everything said so far, each to be changed."""
    with look_at(visit.desk.bench, house) as session:
        rows = answer_list(session)
    return visit.page("client_answers.html", house=house, base=base(visit), rows=rows)


@of_link
def end(visit: Visit, house: HouseRecord) -> Response:
    """The last page: look it over, add a wall, send it."""
    desk = visit.desk
    if visit.request.method == "POST":
        if visit.form.get("do") == "wall":
            intake.add_wall(desk.store, desk.bench, house, visit.text("name", intake.MOST_NAME))
            return see_other(next_place(visit, house.id))
        intake.send(desk.store, desk.bench, house)
        return see_other(f"{base(visit)}/thanks")
    with desk.store.read() as db:
        offered = second_looks.offered(db, house.id)
    with look_at(desk.bench, house) as session:
        stop = session.next.stop if session.step is None else None
        rows, names = answer_list(session), [w.name or w.id for w in session.walls]
        left = session.step is not None or to_offer(session, offered) is not None
    return visit.page(
        "client_end.html", house=house, base=base(visit), rows=rows, walls=names, left=left,
        stopped=say(words.STOPPED[stop]) if stop else "", photos=photos_of(visit, house),
    )  # fmt: skip


@of_link
def thanks(visit: Visit, house: HouseRecord) -> Response:
    """What comes after "send": a word of thanks, or the result where the firm shows it."""
    return visit.page("client_thanks.html", house=house, base=base(visit))


@of_link
def result(visit: Visit, house: HouseRecord) -> Response:
    """The buyer's page, where the firm has chosen to show it."""
    if house.shows != "result" or not house.sent_at:
        return see_other(base(visit))
    bench = visit.desk.bench
    with bench.engine() as triager:
        request = make_request(triager, bench.case_of(house.case_text), now()[:10], "buyer")
        page = rendered(request, "html")
    return Response(page, media_type="text/html", headers={"content-security-policy": REPORT_CSP})
