"""A whole client and a firm's engineer in a browser, all in the pseudo-language.

Houses, walls and people have names without Latin letters, so that every Latin word outside the
pseudo-language's brackets is a word of the program that went past the catalog.
"""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from tests.conftest import RULES
from tests.desk.browser import Browser, Desks, X, step_of
from tests.desk.test_client import give_as
from tests.desk.test_engineer import form_with
from tests.desk.test_photos import photo
from tests.desk.test_second_look import LINE, up_to_what_stands_alone
from tests.pseudo import Pseudo, left
from tests.record_transcripts import HOUSES
from walltriage import language
from walltriage.case.model import HOUSE, Case
from walltriage.case.read import read_case
from walltriage.inference.triage import Triager
from walltriage.knowledge.load import load_knowledge

pytestmark = pytest.mark.extras

SHOWN = ("aria-label", "alt", "placeholder", "title")
UNITS = r"ft|in|sq|lb|psf|plf|ft²|mm|cm|kg|kN|UTC|dB"
FORMATS = r"walltriage|PDF|HTML|JSON|YYYY|MM|DD|desk import|outcomes --rules-diff|candidate.diff"
OURS = re.compile(rf"http://\S+|\b(?:{UNITS}|{FORMATS}|outcomes\.jsonl|Ida)\b")
NAME, WALLS, PERSON = "№ 12", ("Ж–Ш", "Я–Ю"), "Ωμέγα"


def is_english(text: str) -> bool:
    """Whether a word of two letters or more kept a vowel without an accent, outside brackets.

    The lines of a sketch stand apart, so that brackets around all of them are not seen.
    """
    words = re.findall(r"\w{2,}", OURS.sub(" ", left(text)))
    return any(re.search(r"[aeiouAEIOU]", word) for word in words)


class Reading(Browser):
    """Reads every page it comes to, and keeps the texts that are not in the pseudo-language."""

    def __init__(self, app, **more) -> None:
        super().__init__(app, **more)
        self.english: dict[str, set[str]] = {}

    def read(self) -> None:
        texts = [self.page.text]
        if "html" in self.page.headers.get("content-type", ""):
            tree = self.tree
            for hidden in [*tree.iter(f"{X}style"), *tree.iter(f"{X}script")]:
                hidden.text = ""
            texts = [*tree.itertext(), *(i.get(name, "") for i in tree.iter() for name in SHOWN)]
        said = {" ".join(text.split()) for text in texts if is_english(text)}
        if said:
            where = re.sub(r"(/c/|/join/|/house/)[^/]+", r"\1…", self.path)
            self.english.setdefault(where, set()).update(said)

    def get(self, path: str):
        super().get(path)
        self.read()
        return self.page

    def submit(self, fill=None, number: int = 0, files=None):
        super().submit(fill, number, files)
        self.read()
        return self.page


@pytest.fixture(scope="module")
def triager():
    undo = language.use_catalog(Pseudo())
    yield Triager(load_knowledge(RULES, say=language.say))
    undo()


@pytest.fixture
def desk(triager, tmp_path):
    made = Desks(triager, tmp_path)
    yield made.make(firm="Φ")
    made.close()


def client_of(desk, of: str = "04-bungalow-with-roof-props.yaml", **facts):
    """A client at the first page, with the person who knows the house."""
    person = read_case(HOUSES / of, desk.parts.bench.base.questions)
    person = without_notes(person)
    facts = {"name": NAME, "walls": WALLS[: len(person.walls)], "role": "firm"} | facts
    key, token = desk.house(**facts)
    browser = Reading(desk.app)
    browser.get(f"/c/{token}")
    return browser, person, key, token


def without_notes(case: Case) -> Case:
    """A person who adds no words of their own."""
    for subject in (HOUSE, *(wall.id for wall in case.walls)):
        answers = case.house if subject == HOUSE else case.wall(subject).answers
        for name, answer in answers.items():
            case = case.with_answer(subject, name, replace(answer, note=""))
    return case


def all_looks(browser, person) -> None:
    ids = {f"wall{n}": w.id for n, w in enumerate(person.walls, 1)}
    while (at := step_of(browser.path)) is not None:
        give_as(browser, person, ids.get(at[0], at[0]), at[1])


HOUSES_WALKED = sorted(path.name for path in HOUSES.glob("[0-9]*.yaml"))


@pytest.mark.parametrize("of", HOUSES_WALKED)
def test_every_look_of_a_client(desk, of):
    """From the welcome to the firm's own words of thanks, and to the buyer's page."""
    browser, person, _, token = client_of(desk, of, shows="result")
    browser.submit({"reach": "none"})
    browser.submit({"reach": str(person.reach)})
    all_looks(browser, person)
    browser.get(f"/c/{token}/answers")
    browser.get(f"/c/{token}/end")
    browser.submit({"do": "send"})
    browser.get(f"/c/{token}/end")
    browser.get(f"/c/{token}/result")
    assert browser.path.endswith("/result")
    assert browser.english == {}


def test_what_alone_stands_in_the_way(desk):
    """The list, the look, each with nothing picked first, and both again from a page too old."""
    browser = up_to_what_stands_alone(desk, (WALLS[0],), browser=Reading(desk.app))
    here = browser.path
    browser.submit({"answer": ""})
    browser.submit({"answer": LINE})
    browser.submit({"do": "answer"})
    browser.submit({"answer": "no_cluster"})
    browser.get(here)
    browser.get(f"{here}/{LINE}")
    assert browser.english == {}


def test_a_plan_and_what_goes_wrong(desk):
    """Drawing by numbers and by pointing, refusals, photos, second thoughts, one more wall."""
    browser, _, _, token = client_of(desk)
    browser.submit({"reach": "2", "draws": "yes"})
    draw(browser, OUTLINE)
    browser.follow(WALLS[0])
    draw(browser, WALL)
    browser.get(f"/c/{token}/plan")
    for number in range(12):
        browser.get(f"/c/{token}/plan")
        links = [a.get("href") for a in browser.tree.iter(f"{X}a") if "/plan/" in a.get("href")]
        if number >= len(links):
            break
        browser.get(links[number])
        browser.submit({"typed": "a mile", "answer": "typed"})
        browser.submit({"answer": "unknown"})
    browser.get(f"/c/{token}/plan")
    browser.submit({"do": "go"})
    browser.submit({"answer": ""})
    browser.submit({"typed": "a mile", "answer": "typed"})
    for name, data in (("a.jpg", b"no picture"), ("a.jpg", photo()), ("a.jpg", photo(20, 20))):
        browser.submit({"do": "photo"}, files={"photo_new": (name, data, "image/jpeg")})
    browser.submit({"do": "photo"})
    browser.get(f"/c/{token}/look/wall1/truss_run")
    browser.get(f"/c/{token}/wall/wall1")
    browser.get(f"/c/{token}/wall/wall9")
    browser.get(f"/c/{token}/answers")
    browser.get(f"/c/{token}/end")
    browser.submit({"do": "wall", "name": ""}, number=1)
    browser.submit({"name": ""})
    browser.get(f"/c/{token}/nothing")
    browser.get("/c/none-such")
    assert browser.english == {}


def test_the_desk_of_an_engineer(desk):
    """Queue, house, marks, one more thing, facts, links, packet, outcome, people, trail."""
    client, person, key, token = client_of(desk)
    client.submit({"reach": str(person.reach)})
    all_looks(client, person)
    client.submit({"do": "send"})
    browser = Reading(desk.app)
    browser.get("/desk")
    browser.submit({"login": "ida", "password": "wrong"})
    browser.client.cookies = desk.engineer(PERSON).client.cookies
    here = f"/desk/house/{key}"
    for page in ("", "/new", "/outcomes", "/people", "/trail", "/everything", "/none",
                 f"/house/{key}", f"/house/{key}/facts", f"/house/{key}/delete",
                 f"/house/{key}/outcome/wall1", "?q=xyz", "?aside=1"):  # fmt: skip
        browser.get(f"/desk{page}")
    browser.get(here)
    wrong = {"says": "corrects", "value": "nonsense"}
    browser.submit(wrong, number=form_with(browser, "/mark", "wall_top"))
    for says in ({"says": "agrees"}, {"says": "corrects", "value": "clear_all_along"}):
        browser.get(here)
        browser.submit(says, number=form_with(browser, "/mark", "wall_top"))
    for ask in (
        {"subject": "wall9"},
        {"subject": "house"},
        {"subject": "house", "question": "x"},
        {"subject": "wall1", "question": "wall_line"},
        {"subject": "house", "words": "№"},
    ):
        browser.get(here)
        browser.submit(ask, number=form_with(browser, "/ask"))
    client.get(f"/c/{token}")
    while not client.path.endswith("/end"):  # the looks that were asked for
        client.submit({})
        answers = client.options("answer")
        client.submit({"answer": answers[0]} if answers else {"typed": "№"})
    for ending in ("/note", "/link", "/aside", "/aside"):
        browser.get(here)
        browser.submit({"text": "№"}, number=form_with(browser, ending))
    browser.get(f"{here}/facts")
    browser.submit({"visit_on": "no day"})
    browser.get(f"{here}/outcome/wall1")
    browser.submit({})
    browser.submit({"bears": "yes", "seen": "opened", "why": "work", "reporter": "engineer"})
    browser.submit({"bears": "yes", "seen": "opened", "why": "work", "reporter": "engineer",
                    "found_on": "2026-11-01", "when": "2026-11-01"})  # fmt: skip
    browser.get("/desk/outcomes")
    browser.get("/desk/new")
    browser.submit({"name": ""})
    browser.submit({"name": "№ 14", "visit_on": "soon"})
    browser.submit({"name": "№ 14"})
    browser.get("/desk/people")
    browser.submit()
    browser.get("/desk/everything")
    files = {"archive": ("all.zip", b"none", "application/zip")}
    browser.submit({"do": "import"}, number=1, files=files)
    browser.get(f"{here}/delete")
    browser.submit({"name": "other"})
    browser.get(here)
    office = Reading(desk.app)
    office.client.cookies = desk.engineer("Ψψ", "office").client.cookies
    for page in ("", f"/house/{key}", "/people"):
        office.get(f"/desk{page}")
    assert browser.english | client.english | office.english == {}


OUTLINE = ("ground", "tape", "40 ft", "28 ft", "none", "front")
WALL = ("front", "14 ft", "0", "40 ft")


def draw(browser: Reading, said: tuple[str, ...]) -> None:
    """Go to the drawing's first page and answer its pages."""
    if browser.path.endswith("/plan"):
        links = [a.get("href") for a in browser.tree.iter(f"{X}a")]
        browser.get(next(link for link in links if link.endswith("/plan/outline")))
    for answer in said:
        typed = browser.fields().get("answer") == "typed"
        browser.submit({"typed": answer} if typed else {"answer": answer})
        assert browser.status == 200, browser.text
