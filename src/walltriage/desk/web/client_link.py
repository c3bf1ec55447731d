"""What the client's pages have in common: the link that opens them, and where they lead."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps

from sqlalchemy import select
from starlette.responses import Response

from walltriage.case.model import HOUSE, NO_ANSWER, SURENESS, Step, Sureness
from walltriage.desk import intake, second_looks
from walltriage.desk.client_place import Where, where
from walltriage.desk.houses import Gone, look_at
from walltriage.desk.links import LinkError, note_use, open_link
from walltriage.desk.store import now
from walltriage.desk.tables import EngineerQuestion, HouseRecord, Link, Photo
from walltriage.desk.web.visit import Visit, see_other
from walltriage.inference.looks.glance import Picked
from walltriage.knowledge.glances import MOST_ITEMS

PLACES = tuple(str(n) for n in range(MOST_ITEMS))

Page = Callable[[Visit, HouseRecord], Response]


def of_link(page: Page) -> Callable[[Visit], Response]:
    """Open the link in the address first; a link that opens nothing gets a plain page."""

    @wraps(page)
    def handler(visit: Visit) -> Response:
        try:
            with visit.desk.store.read() as db:
                house, link = open_link(db, visit.request.path_params["token"])
        except LinkError as error:
            if not visit.desk.tries.take(visit.address):
                return visit.page("client_trouble.html", 429, trouble="often")
            return visit.page("client_trouble.html", 404, trouble=error.trouble)
        _note_use(visit, link)
        try:
            return page(visit, house)
        except intake.NotAsked:
            return see_other(f"{base(visit)}?moved=1")
        except Gone:
            return visit.page("client_trouble.html", 404, trouble="unknown")

    return handler


def link_opens(visit: Visit) -> bool:
    """Whether the link in the address leads to a house today."""
    try:
        with visit.desk.store.read() as db:
            open_link(db, visit.request.path_params["token"])
    except LinkError:
        return False
    return True


def _note_use(visit: Visit, link: Link) -> None:
    if link.used_at[:16] != now()[:16]:
        with visit.desk.store.write() as db:
            note_use(db, link.id)


def base(visit: Visit) -> str:
    """What all addresses of this link begin with."""
    return f"/c/{visit.request.path_params['token']}"


def address_of(visit: Visit, place: Where) -> str:
    """The address of a client's page."""
    root = base(visit)
    if place.step is not None:
        return f"{root}/look/{place.step.subject}/{place.step.question}"
    if place.stage == "name":
        return f"{root}/wall/{place.wall}"
    if place.stage == "more":
        return f"{root}/more/{place.asked}"
    if place.stage == "second-look":
        return f"{root}/second-look/{place.wall}/{place.stop}"
    return f"{root}/{place.stage}"


def asked_of(visit: Visit, house: HouseRecord) -> list[EngineerQuestion]:
    """What the firm has asked for besides, in order."""
    query = (
        select(EngineerQuestion)
        .where(EngineerQuestion.house_id == house.id)
        .order_by(EngineerQuestion.id)
    )
    with visit.desk.store.read() as db:
        return list(db.scalars(query).all())


def photos_of(visit: Visit, house: HouseRecord, step: Step | None = None) -> list[Photo]:
    """The photos of a house, or of one look."""
    query = select(Photo).where(Photo.house_id == house.id).order_by(Photo.id)
    if step is not None:
        query = query.where(Photo.subject == step.subject, Photo.question == step.question)
    with visit.desk.store.read() as db:
        return list(db.scalars(query).all())


def next_place(visit: Visit, house_id: int) -> str:
    """The address of the page that comes next, as things stand now."""
    with visit.desk.store.read() as db:
        house, offered = db.get(HouseRecord, house_id), second_looks.offered(db, house_id)
    if house is None:
        raise Gone
    asked = asked_of(visit, house)
    with look_at(visit.desk.bench, house) as session:
        place = where(house, session, house.place == intake.DRAWING, asked, offered)
    return address_of(visit, place)


def subject_title(subject: str, names: dict[str, str]) -> str:
    """A subject in words."""
    return "The house" if subject == HOUSE else names.get(subject) or subject


def said_of(visit: Visit) -> intake.FormReply:
    """What the form of a look says: something typed, else what was picked."""
    picked = visit.form.get("answer", "")
    typed = visit.text("typed", intake.MOST_TYPED)
    sure: Sureness = next((s for s in SURENESS if s == visit.form.get("sure")), "certain")
    value = typed if typed and picked in ("", "typed") else picked
    note, several = visit.text("note", intake.MOST_NOTE), visit.form.get("several") == "1"
    ticked = _ticked(visit) if several else Picked()
    said_none = value in NO_ANSWER and ticked == Picked()
    return intake.FormReply(
        value, sure, note, several, ticked if several and not said_none else None
    )


def _ticked(visit: Visit) -> Picked:
    """What was ticked on a page of several things."""
    ticked: dict[str, set[int]] = {"seen": set(), "unsure": set()}
    for name in visit.form:
        what, _, number = name.partition("-")
        if what in ticked and number in PLACES:
            ticked[what].add(int(number))
    return Picked(frozenset(ticked["seen"]), frozenset(ticked["unsure"] - ticked["seen"]))
