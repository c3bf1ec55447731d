"""The firm's queue, and entering a house."""

from __future__ import annotations

from datetime import date

from starlette.responses import Response

from walltriage.case.model import Role
from walltriage.desk.houses import MOST_WALLS, NewHouse, find_houses, make_house
from walltriage.desk.links import make_link
from walltriage.desk.queue import in_order, refreshed
from walltriage.desk.web.sign_pages import for_staff
from walltriage.desk.web.visit import Visit
from walltriage.language import say
from walltriage.report.words import LEVEL_WORDS, VERDICT_WORDS

_EMPTY = dict.fromkeys(
    ("name", "walls", "role", "shows", "client", "contact", "address", "visit_on"), ""
)
WHO_ANSWERS: dict[Role, str] = {
    "buyer": "The owner, or someone who may buy it",
    "trade": "A contractor who prices or plans the job",
    "firm": "Someone who does the intake for us",
}
SHOWS = {"thanks": "A word of thanks", "result": "The buyer's page, with the verdicts"}


@for_staff()
def queue(visit: Visit) -> Response:
    """All houses that are not set aside, the most urgent first."""
    search = visit.request.query_params.get("q", "")[:100]
    archived = visit.request.query_params.get("aside") == "1"
    desk = visit.desk
    with desk.store.read() as db:
        found = find_houses(db, search, archived)
    rows = in_order(refreshed(desk.store, desk.bench, found))
    return visit.page(
        "queue.html", rows=rows, search=search, archived=archived, level_words=LEVEL_WORDS,
        verdict_words=VERDICT_WORDS,
    )  # fmt: skip


def new_house_of(visit: Visit) -> NewHouse | str:
    """The house typed in, or what is wrong with it."""
    walls = [line.strip()[:80] for line in visit.text("walls", 4000).splitlines() if line.strip()]
    visit_on = visit.text("visit_on", 10)
    name = visit.text("name", 120)
    if not name:
        return say("Give the house a name, such as its street and number.")
    if len(set(walls)) != len(walls) or len(walls) > MOST_WALLS:
        return say("Give each wall a name of its own, {most_walls} at most.", most_walls=MOST_WALLS)
    if visit_on and not is_date(visit_on):
        return say("The visit date is not a date. Use YYYY-MM-DD.")
    given, shows = visit.form.get("role", "buyer"), visit.form.get("shows", "thanks")
    role = next((role for role in WHO_ANSWERS if role == given), None)
    if role is None or shows not in SHOWS:
        return say("Pick who answers, and what they see at the end.")
    return NewHouse(
        name, tuple(walls), role, visit.text("client", 200), visit.text("contact", 300),
        visit.text("address", 300), visit_on, shows,
    )  # fmt: skip


def is_date(text: str) -> bool:
    """Whether a text is a day as YYYY-MM-DD, and not one of the other forms of the standard."""
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


@for_staff()
def new(visit: Visit) -> Response:
    """Add a house; its link is shown next, once."""
    trouble = ""
    if visit.request.method == "POST":
        given = new_house_of(visit)
        if isinstance(given, str):
            trouble = given
        else:
            assert visit.person is not None
            with visit.desk.store.write() as db:
                house = make_house(db, given, visit.person.name)
                days = visit.desk.settings.link_days
                token = make_link(db, house, days, visit.person.name)
            return visit.page("link_made.html", house=house, link=_address(visit, token), days=days)
    return visit.page(
        "new_house.html", 400 if trouble else 200, trouble=trouble, form=_EMPTY | visit.form,
        roles=WHO_ANSWERS, shows=SHOWS,
    )  # fmt: skip


def _address(visit: Visit, token: str) -> str:
    return f"{visit.desk.settings.public_url}/c/{token}"
