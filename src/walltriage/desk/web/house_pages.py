"""One house at the desk: what was sent in, side by side with what came out."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps

from starlette.responses import Response

from walltriage.case.model import HOUSE
from walltriage.desk.checks import SAYS
from walltriage.desk.houses import Gone, house_by_key
from walltriage.desk.links import links_of, make_link, withdraw
from walltriage.desk.remarks import asked_of, notes_of
from walltriage.desk.store import now
from walltriage.desk.tables import EngineerQuestion, HouseRecord
from walltriage.desk.web import photo_pages
from walltriage.desk.web.client_link import photos_of
from walltriage.desk.web.house_view import house_view
from walltriage.desk.web.more_pages import photo_step
from walltriage.desk.web.sign_pages import for_staff
from walltriage.desk.web.visit import Visit, see_other
from walltriage.interview.words import SURE_SHORT
from walltriage.language import say

Page = Callable[[Visit, HouseRecord], Response]


def of_house(role: str = "") -> Callable[[Page], Callable[[Visit], Response]]:
    """For people of the firm, with the house in the address looked up."""

    def wrap(page: Page) -> Callable[[Visit], Response]:
        @for_staff(role)
        @wraps(page)
        def handler(visit: Visit) -> Response:
            try:
                with visit.desk.store.read() as db:
                    house = house_by_key(db, visit.request.path_params["key"])
            except Gone:
                return visit.page("desk_trouble.html", 404, trouble="gone")
            return page(visit, house)

        return handler

    return wrap


def by(visit: Visit) -> str:
    """The name that goes into the trail."""
    assert visit.person is not None
    return visit.person.name


def back(house: HouseRecord, anchor: str = "") -> Response:
    """To the house's page again."""
    return see_other(f"/desk/house/{house.key}" + (f"#{anchor}" if anchor else ""))


@of_house()
def house(visit: Visit, house: HouseRecord) -> Response:
    """The whole house."""
    desk = visit.desk
    view = house_view(desk.store, desk.bench, house)
    with desk.store.read() as db:
        links, notes, asked = links_of(db, house), notes_of(db, house), asked_of(db, house)
    by_look = {item.id: photo_step(item) for item in asked}
    photos = photos_of(visit, house)
    questions = desk.bench.base.questions
    titles = {HOUSE: say("The house")} | view.case.called()

    def said_to(item: EngineerQuestion) -> str:
        options = questions[item.question].entry.options if item.question else []
        return {option.id: option.says for option in options}.get(item.reply, item.reply)

    return visit.page(
        "house.html", house=house, view=view, links=links, now=now(), notes=notes, asked=asked,
        titles=titles, says=SAYS, sure_words=SURE_SHORT, said_to=said_to,
        questions={n: q for n, q in questions.items() if q.entry.kind != "computed"},
        asked_photos={
            number: [p for p in photos if (p.subject, p.question) == (s.subject, s.question)]
            for number, s in by_look.items()
        },
    )  # fmt: skip


@of_house()
def link(visit: Visit, house: HouseRecord) -> Response:
    """A new link for the client; the others go on working until they are withdrawn."""
    if visit.request.method != "POST":
        return back(house)
    days = visit.desk.settings.link_days
    with visit.desk.store.write() as db:
        token = make_link(db, house, days, by(visit))
    address = f"{visit.desk.settings.public_url}/c/{token}"
    return visit.page("link_made.html", house=house, link=address, days=days)


@of_house()
def end_link(visit: Visit, house: HouseRecord) -> Response:
    """Withdraw a link."""
    if visit.request.method == "POST":
        with visit.desk.store.write() as db:
            withdraw(db, house, visit.number("link"), by(visit))
    return back(house, "links")


@of_house()
def photo(visit: Visit, house: HouseRecord) -> Response:
    """A photo of this house."""
    return photo_pages.picture(visit, house)
