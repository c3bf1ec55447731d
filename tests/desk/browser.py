"""A browser without JavaScript: follows links, fills in forms as they stand on the page."""

from __future__ import annotations

import re
from pathlib import Path
from urllib.parse import urljoin, urlsplit

import html5lib
from starlette.testclient import TestClient

from walltriage.desk import people
from walltriage.desk.bench import Bench
from walltriage.desk.houses import NewHouse, make_house
from walltriage.desk.links import make_link
from walltriage.desk.settings import Settings
from walltriage.desk.store import Store
from walltriage.desk.web.app import make_app
from walltriage.desk.web.guard import Allowance
from walltriage.desk.web.visit import Desk
from walltriage.inference.triage import Triager

X = "{http://www.w3.org/1999/xhtml}"
PASSWORD = "plumb line and nine nails"


class Desks:
    """Desks on files of one test."""

    def __init__(self, triager: Triager, folder: Path) -> None:
        self.triager, self.folder, self._made = triager, folder, []

    def make(self, url: str = "", bench: Bench | None = None, **settings) -> OneDesk:
        number = len(self._made)
        url = url or f"sqlite:///{self.folder}/desk{number}.sqlite3"
        wanted = {"public_url": "http://testserver", "requests_per_minute": 0} | settings
        store = Store(url)
        store.bring_up_to_date()
        given = Settings(database=url, **wanted)
        desk = OneDesk(
            Desk(given, store, bench or Bench(self.triager), Allowance(given.tries_per_minute))
        )
        self._made.append(desk)
        return desk

    def close(self) -> None:
        for desk in self._made:
            desk.parts.store.close()


class OneDesk:
    """A desk, and short ways to what tests need of it."""

    def __init__(self, parts: Desk) -> None:
        self.parts = parts
        self.app = make_app(parts)

    @property
    def store(self) -> Store:
        return self.parts.store

    def browser(self, **more) -> Browser:
        return Browser(self.app, **more)

    def house(self, **facts) -> tuple[str, str]:
        """Add a house; its key and the token of a link."""
        with self.store.write() as db:
            house = make_house(db, NewHouse(**({"name": "12 Larch Road"} | facts)), "Ida")
            token = make_link(db, house, 21, "Ida")
            return house.key, token

    def engineer(self, name: str = "Ida", role: str = "engineer") -> Browser:
        """Somebody of the firm, signed in."""
        login = name.split()[0].lower()
        with self.store.write() as db:
            invited = people.invite(db, role)
            found = people.open_invitation(db, invited)
            people.accept(db, found, login, name, PASSWORD)
        browser = self.browser()
        browser.get("/desk/sign-in")
        browser.submit({"login": login, "password": PASSWORD})
        assert browser.path == "/desk", browser.text
        return browser


class Browser:
    """One browser with its cookies, at one page."""

    def __init__(self, app, **more) -> None:
        self.client = TestClient(app, raise_server_exceptions=True, **more)
        self.page = None

    def get(self, path: str):
        """Open an address."""
        self.page = self.client.get(path)
        return self.page

    @property
    def path(self) -> str:
        return urlsplit(str(self.page.url)).path

    @property
    def status(self) -> int:
        return self.page.status_code

    @property
    def text(self) -> str:
        """All that can be read on the page."""
        return " ".join("".join(self.tree.find(f"{X}body").itertext()).split())

    @property
    def tree(self):
        return html5lib.parse(self.page.text)

    @property
    def title(self) -> str:
        return " ".join("".join(self.tree.find(f".//{X}h1").itertext()).split())

    def form(self, number: int = 0):
        """The form of that number on the page, counting forms that change something."""
        forms = [f for f in self.tree.iter(f"{X}form") if f.get("method") == "post"]
        forms = [f for f in forms if not f.get("action", "").endswith("/sign-out")]
        return forms[number]

    def fields(self, number: int = 0) -> dict[str, str]:
        """What a form holds as it stands on the page."""
        held = {}
        for item in self.form(number).iter():
            name, kind = item.get("name"), item.get("type", "text")
            if not name or kind == "file":
                continue
            if item.tag == f"{X}textarea":
                held[name] = "".join(item.itertext())
            elif item.tag == f"{X}select":
                options = list(item.iter(f"{X}option"))
                picked = [o for o in options if o.get("selected") is not None] or options[:1]
                held[name] = picked[0].get("value", "") if picked else ""
            elif item.tag == f"{X}button":
                held.setdefault(name, item.get("value", ""))  # what Enter would press
            elif item.tag == f"{X}input" and (
                kind not in ("radio", "checkbox") or item.get("checked") is not None
            ):
                held[name] = item.get("value", "")
        return held

    def options(self, name: str, number: int = 0) -> list[str]:
        """The values a group of radio buttons offers."""
        return [
            item.get("value") for item in self.form(number).iter(f"{X}input")
            if item.get("name") == name and item.get("type") == "radio"
        ]  # fmt: skip

    def ticks(self, beginning: str, number: int = 0) -> list[int]:
        """The numbers of the boxes to tick whose names begin so."""
        names = [
            item.get("name") for item in self.form(number).iter(f"{X}input")
            if item.get("type") == "checkbox"
        ]  # fmt: skip
        return [int(n.removeprefix(beginning)) for n in names if n.startswith(beginning)]

    def submit(self, fill: dict[str, str] | None = None, number: int = 0, files=None):
        """Send a form as a browser would, with some of its fields filled in."""
        form = self.form(number)
        target = urljoin(str(self.page.url), form.get("action") or str(self.page.url))
        data = self.fields(number) | (fill or {})
        if form.get("enctype") == "multipart/form-data" and not files:
            files = {"none": ("", b"")}
        self.page = self.client.post(target, data=data, files=files)
        return self.page

    def follow(self, words: str):
        """Follow the link with these words."""
        for link in self.tree.iter(f"{X}a"):
            if words in " ".join("".join(link.itertext()).split()):
                return self.get(urljoin(str(self.page.url), link.get("href")))
        raise AssertionError(f"no link '{words}' on the page: {self.text}")


def step_of(path: str) -> tuple[str, str] | None:
    """The subject and question of a look's address."""
    found = re.fullmatch(r"/c/[^/]+/look/([^/]+)/([^/]+)", path)
    return (found[1], found[2]) if found else None
