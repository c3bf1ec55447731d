"""Every kind of page, by axe's rules, on a phone and on a screen, light and dark.

Pages are made by a client and people of the firm without JavaScript, as they come; each template
has to turn up, and each with and without something wrong on it.  Chromium then shows what was
made.  With ``DESK_PICTURES=FOLDER`` a picture of each is kept, to be looked at.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

pytest.importorskip("playwright")
pytest.importorskip("axe_playwright_python")
pytest.importorskip("sqlalchemy")

from playwright.sync_api import Route, sync_playwright
from sqlalchemy import update

from tests.desk.browser import PASSWORD, Desks
from tests.desk.test_chromium import CHROMIUM, SIZES, checked
from tests.desk.test_engineer import form_with
from tests.desk.test_once_more import up_to_the_sign
from tests.desk.test_photos import photo
from tests.desk.test_plan import OUTLINE, fill
from tests.desk.test_second_look import LINE, up_to_what_stands_alone
from walltriage.desk import people, plan_steps
from walltriage.desk.houses import NewHouse, make_house
from walltriage.desk.links import make_link
from walltriage.desk.store import now
from walltriage.desk.tables import Link
from walltriage.desk.tokens import new_token
from walltriage.desk.web import app, looks, visit
from walltriage.desk.web.looks import STATIC

pytestmark = [
    pytest.mark.extras, pytest.mark.slow,
    pytest.mark.skipif(CHROMIUM is None, reason="no Chromium here"),
]  # fmt: skip
FRAMES = {"frame.html", "client_frame.html", "desk_frame.html", "parts.html"}
HOST = "http://desk.test"
MOST_LOOKS = 60


class Recorder:
    """What was shown: of each kind of page the first."""

    def __init__(self) -> None:
        self.pages: dict[str, str] = {}
        self._render = looks.render

    def render(self, template: str, **what: object) -> str:
        """As the desk does, and kept."""
        html = self._render(template, **what)
        self.pages.setdefault(kind_of(template, what), html)
        return html

    @property
    def templates(self) -> set[str]:
        return {f"{name.split()[0]}.html" for name in self.pages}


def kind_of(template: str, what: dict[str, object]) -> str:
    """A page's template, with what makes it another page."""
    name = template.removesuffix(".html")
    trouble = what.get("trouble") or what.get("troubles")
    if name == "client_trouble":
        return f"{name} {trouble}"
    look = what.get("look")
    if look is not None:
        name += f" {look.page.kind}" + (" with-photo" if what.get("photos") else "")
    if "/second-look/" in str(what.get("action", "")):
        name += " second-look"
    if template == "client_once_more.html" and not what["first"]:
        name += " stands-alone"
    if template == "client_draw.html":
        name += " pointing" if what["wanted"] else f" {what['page'].kind}"
        name += " second" if what["first"] else ""
    if template == "trouble.html":
        name += f" {what['status']}"
    return f"{name} trouble" if trouble else name


@pytest.fixture(scope="module")
def made(full, tmp_path_factory) -> Iterator[dict[str, str]]:
    """All pages by their kinds."""
    recorder, desks = Recorder(), Desks(full, tmp_path_factory.mktemp("desk"))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(visit, "render", recorder.render)
        patch.setattr(app, "render", recorder.render)
        desk = desks.make(tries_per_minute=0)
        key, token = desk.house(walls=("kitchen to dining room",), client="M. Ode")
        strangers(desk)
        links_that_ended(desk)
        client_pages(desk, token)
        firm_pages(desk, key)
        asked_besides(desk, token)
        looked_at_once_more(desk)
        looked_at_what_stands_alone(desk)
        yield recorder.pages
    desks.close()


def strangers(desk) -> None:
    """Sign-in, invitations, addresses that lead nowhere."""
    browser = desk.browser()
    browser.get("/desk/sign-in")
    browser.submit({"login": "nobody", "password": "wrong"})
    with desk.store.write() as db:
        invited = people.invite(db, "office")
    browser.get(f"/join/{invited}")
    browser.submit({"name": "Olaf", "login": "olaf", "password": "short", "again": "short"})
    browser.submit({"password": PASSWORD, "again": PASSWORD})
    browser.get(f"/join/{invited}")
    browser.get("/nowhere")


def links_that_ended(desk) -> None:
    """Guessed, expired, withdrawn."""
    browser = desk.browser()
    browser.get(f"/c/{new_token()}")
    for column in ("expires_at", "withdrawn_at"):
        with desk.store.write() as db:
            house = make_house(db, NewHouse("2 Elm Court"), "Ida")
            token = make_link(db, house, 1, "Ida")
            ended = {column: now(timedelta(seconds=-1))}
            db.execute(update(Link).where(Link.house_id == house.id).values(**ended))
        browser.get(f"/c/{token}")


def client_pages(desk, token: str) -> None:
    """A client who draws a plan, answers every look with a slip on each kind, and sends it."""
    client = desk.browser()
    client.get(f"/c/{token}")
    client.submit({"reach": ""})
    client.submit({"reach": "3", "draws": "yes"})
    client.follow("Draw it")
    fill(client, OUTLINE)
    client.follow("Draw kitchen to dining room")
    client.submit({"answer": ""})
    fill(client, [("Which way", "front")])
    client.submit({"typed": "soon", "answer": "typed"})
    fill(client, [("How far", "14 ft"), ("Where", "1 ft"), ("And", "30 ft")])
    with pytest.MonkeyPatch.context() as patch:  # as where somebody drew more in another tab
        patch.setattr(plan_steps, "MOST_THINGS", 0)
        client.client.post(f"/c/{token}/plan", data={"do": "whole", "level": "ground"})
    client.get(f"/c/{token}/plan")
    client.submit({"do": "go"})
    answer_all(client)
    _, nameless = desk.house(name="3 Elm Court")
    client.get(f"/c/{nameless}/wall/wall1")
    client.get(f"/c/{token}/answers")
    client.get(f"/c/{token}/end")
    client.submit({"do": "send"})


def answer_all(client) -> None:
    """Every look; the first of a kind once with nothing picked, the very first with a photo."""
    slips: set[str] = set()
    for number in range(MOST_LOOKS):
        if "/look/" not in client.path:
            break
        if number == 0:
            files = {"photo_new": ("a.jpg", photo(), "image/jpeg")}
            client.submit({"do": "photo"}, files=files)
        typed = client.fields().get("answer") == "typed"
        kind = "typed" if typed else "several" if client.ticks("seen-") else "choice"
        if kind not in slips:
            slips.add(kind)
            client.submit({"do": "answer"} | ({"typed": "soon"} if typed else {}))
        options = client.options("answer")
        picked = next((o for o in ("none", "unknown") if o in options), options[0])
        client.submit({"answer": "unknown" if typed else picked, "do": "answer"})
    assert client.path.endswith("/end"), client.text


def firm_pages(desk, key: str) -> None:
    """Everything an engineer opens, each form once with something missing; then the office."""
    boss = desk.engineer("Ida Quill")
    for path in ("", "/new", "/people", "/trail", "/outcomes", "/everything", "/house/nothing"):
        boss.get(f"/desk{path}")
    boss.get("/desk/new")
    boss.submit({"name": ""})
    boss.submit({"name": "9 Larch Road"})
    boss.get(f"/desk/house/{key}")
    boss.submit({"words": "How old is the roof?", "subject": "house"},
                number=form_with(boss, "/ask"))  # fmt: skip
    for path in ("facts", "delete", "outcome/wall1"):
        boss.get(f"/desk/house/{key}/{path}")
        boss.submit({"name": ""})
    boss.get(f"/desk/house/{key}/outcome/wall1")
    boss.submit({"bears": "no", "seen": "opened", "why": "work", "reporter": "engineer",
                 "found_on": "2026-11-20"})  # fmt: skip
    boss.get("/desk/outcomes")
    boss.get("/desk/people")
    boss.submit({"do": "invite", "role": "office"})
    boss.submit({"do": "close", "person": "1"})
    boss.get("/desk/everything")
    boss.submit({"do": "import"}, number=1)
    desk.engineer("Olga", "office").get("/desk/people")


def asked_besides(desk, token: str) -> None:
    """The one more thing."""
    client = desk.browser()
    client.get(f"/c/{token}")
    assert "/more/" in client.path
    client.submit({"typed": ""})


def looked_at_once_more(desk) -> None:
    """The page about what would settle a wall, and the same with nothing picked."""
    client = up_to_the_sign(desk)
    client.submit({"answer": ""})


def looked_at_what_stands_alone(desk) -> None:
    """The list and the look, each with nothing picked and then with something."""
    client = up_to_what_stands_alone(desk)
    client.submit({"answer": ""})
    client.submit({"answer": LINE})
    client.submit({"do": "answer"})
    client.submit({"answer": "unknown"})


def test_every_template_turns_up(made):
    """A page that is added has to be led to above."""
    there = {path.name for path in Path(looks.__file__).with_name("templates").glob("*.html")}
    shown = {f"{name.split()[0]}.html" for name in made}
    assert there - FRAMES == shown
    assert len(made) > 40, sorted(made)
    for page in ("client_once_more stands-alone", "client_look choice second-look"):
        assert {page, f"{page} trouble"} <= set(made)


@pytest.fixture(scope="module")
def page(made):
    """A Chromium that is given what was made, by the kind in the address."""
    named = {name.replace(" ", "-"): html for name, html in made.items()}

    def serve(route: Route) -> None:
        path = route.request.url.removeprefix(f"{HOST}/").split("?")[0]
        if path.startswith("static/"):
            route.fulfill(path=STATIC / path.removeprefix("static/"))
        elif path in named:
            route.fulfill(body=named[path], content_type="text/html; charset=utf-8")
        else:
            route.fulfill(body=photo(64, 48), content_type="image/jpeg")

    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        page = browser.new_page()
        page.route(f"{HOST}/**", serve)
        page.kinds = sorted(named)
        yield page
        browser.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", SIZES)
def test_nothing_breaks_the_rules(size, scheme, page):
    """With all details open."""
    page.set_viewport_size(SIZES[size])
    page.emulate_media(color_scheme=scheme)
    pictures = os.environ.get("DESK_PICTURES")
    for kind in page.kinds:
        page.goto(f"{HOST}/{kind}")
        page.eval_on_selector_all("details", "all => all.forEach(one => one.open = true)")
        checked(page)
        if pictures:
            page.screenshot(path=f"{pictures}/{kind}-{size}-{scheme}.png", full_page=True)
