"""What alone stands before a wall is offered for a second look in a browser, as at a terminal."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from urllib.parse import urlsplit

import pytest

pytest.importorskip("sqlalchemy")

from sqlalchemy import select

from tests.desk.browser import Browser, X
from tests.desk.test_client import (
    MOST_PAGES,
    answer_all_as,
    begun,
    case_in,
    entries,
    give_as,
    step_of,
)
from tests.interview.answering import TRUSS_HOUSE, TWO_STORY_HOUSE, Answering, told_all
from walltriage.case.answers import make_answer
from walltriage.case.model import HOUSE, Answer, Case, Wall
from walltriage.desk.export import export_zip, import_zip
from walltriage.desk.houses import NewHouse, delete_house, make_house
from walltriage.desk.links import make_link
from walltriage.desk.store import Store
from walltriage.desk.tables import AnswerEntry, HouseRecord, LookOffered
from walltriage.inference.triage import Triager
from walltriage.interview.planner import Planner
from walltriage.interview.session import Session
from walltriage.interview.stands_alone import ALONE

pytestmark = pytest.mark.extras
PACK, SINGLE = "cluster", "no_cluster"
LOOK = "stud_cluster_found"
LINE = f"wall1/{LOOK}"
GATE = "gate_load_seen"


def held_up(base, **said: str) -> Case:
    """Somebody in a house of trusses with one wall; all of them say there is a stud pack in it."""
    person = Answering(base, TRUSS_HOUSE | {LOOK: PACK} | said)
    made = {}
    for name, question in base.questions.items():
        if question.entry.kind != "computed":
            made[name] = make_answer(name, question, person.value(question))
    house = {n: a for n, a in made.items() if base.questions[n].scope == HOUSE}
    own = {n: a for n, a in made.items() if n not in house}
    return Case(house=house, walls=(Wall("wall1", "kitchen", own),))


def answered(browser: Browser, person: Case) -> Browser:
    """All looks there are."""
    for _ in range(MOST_PAGES):
        if (at := step_of(browser.path)) is None:
            break
        give_as(browser, person, *at)
    return browser


@cache
def said_in_full(triager: Triager, names: tuple[str, ...]) -> Case:
    """The case of that person once all there is to ask is answered; walls alike, by their names."""
    person = held_up(triager.base)
    walls = {f"wall{number}": name for number, name in enumerate(names, 1)}
    own = person.walls[0].answers
    alike = replace(person, walls=tuple(Wall(i, name, own) for i, name in walls.items()))
    bare = Case(reach=3, walls=tuple(Wall(i, name) for i, name in walls.items()))
    session = Session(Planner(triager), bare)
    answer_all_as(session, alike)
    return session.case


def link_to(store: Store, case: Case, name: str = "12 Larch Road") -> str:
    """A house with that case, and the token of a link to it."""
    with store.write() as db:
        return make_link(db, make_house(db, NewHouse(name), "Ida", case), 21, "Ida")


def up_to_what_stands_alone(
    desk, names: tuple[str, ...] = ("kitchen",), sure="certain", browser: Browser | None = None
) -> Browser:
    """A client who has answered all there is to ask, ``sure`` of the stud pack, and is asked about
    it again."""
    case = said_in_full(desk.parts.bench.triager, names)
    case = case.with_answer("wall1", LOOK, replace(case.walls[0].answers[LOOK], sure=sure))
    browser = browser or desk.browser()
    browser.get(f"/c/{link_to(desk.store, case, '№ 12')}")
    browser.submit({"reach": "3"})
    assert browser.path.endswith(f"/second-look/wall1/{GATE}"), browser.text
    return browser


def at_the_end(desk, answers: dict[str, str], reach: int = 3, guessed: str = "") -> Browser:
    """A client in such a house who has answered all there is to ask."""
    kitchen = Wall("wall1", "kitchen")
    session = told_all(desk.parts.bench.triager, answers, kitchen, reach, guessed)
    browser = desk.browser()
    browser.get(f"/c/{link_to(desk.store, session.case)}")
    browser.submit({"reach": str(reach)})
    return browser


@pytest.fixture
def at_the_pack(desk):
    return up_to_what_stands_alone(desk)


def link_of(browser: Browser) -> str:
    return "/".join(browser.path.split("/")[:3])


def house_in(desk) -> HouseRecord:
    with desk.store.read() as db:
        return db.scalars(select(HouseRecord)).one()


def pack_in(desk) -> Answer:
    """What counts of the look."""
    return case_in(desk, house_in(desk).key).walls[0].answers[LOOK]


def verdict_in(desk) -> str:
    finding = desk.parts.bench.triager.finding(case_in(desk, house_in(desk).key))
    return finding.walls[0].verdict


def offered_in(desk) -> list[tuple[str, str]]:
    with desk.store.read() as db:
        return [(row.wall, row.stop) for row in db.scalars(select(LookOffered))]


def again(browser: Browser, value: str, **more: str) -> Browser:
    """Pick the look, and give it anew."""
    browser.submit({"answer": LINE})
    browser.submit({"answer": value, "do": "answer"} | more)
    return browser


def test_it_is_said_in_the_words_of_the_terminal(at_the_pack):
    """What it rests on, a line for each, and a line to leave it."""
    assert at_the_pack.title == (
        "One thing alone keeps kitchen from being called non-bearing. Which do you look at "
        "once more?"
    )
    labels = [" ".join("".join(label.itertext()).split())
              for label in at_the_pack.tree.iter(f"{X}label")]  # fmt: skip
    assert labels == ["A stud pack found in the wall", "None of them now"]
    assert at_the_pack.options("answer") == [LINE, "leave"]
    assert ALONE in at_the_pack.text


def test_the_look_comes_with_all_that_looks_have(at_the_pack, desk):
    """How to look, how sure, photos, words of one's own; what was said before, and nothing
    picked: a page sent on as it came is no second look."""
    at_the_pack.submit({"answer": LINE})
    assert at_the_pack.title == desk.parts.bench.base.questions[LOOK].entry.ask
    for words in ("Look once more, please.", "Before, you said: ", "How to look",
                  "How sure are you?", "Photos", "Add details", "Why I ask"):  # fmt: skip
        assert words in at_the_pack.text
    assert "answer" not in at_the_pack.fields()
    at_the_pack.submit({"do": "answer"})
    assert at_the_pack.status == 400
    assert "Nothing is picked or typed yet." in at_the_pack.text


def test_given_anew_it_counts(desk):
    """From the first page on.  Something else is found: the wall is told as if it had been said at
    first."""
    browser = begun(desk, reach=3, walls=("kitchen",))
    answered(browser, held_up(desk.parts.bench.base))
    assert browser.path.endswith(f"/second-look/wall1/{GATE}")
    assert verdict_in(desk) == "cannot_tell"
    again(browser, SINGLE)
    answered(browser, held_up(desk.parts.bench.base, **{LOOK: SINGLE}))
    assert browser.path.endswith("/end")
    assert (pack_in(desk).value, pack_in(desk).sure) == (SINGLE, "certain")
    assert verdict_in(desk) == "likely_non_bearing"


@pytest.mark.parametrize(
    ("first", "now", "counts"),
    [
        ("certain", "certain", "confirmed"),
        ("certain", "fairly", "fairly"),
        ("fairly", "certain", "certain"),
        ("guess", "certain", "certain"),
        ("fairly", "guess", "guess"),
    ],
)
def test_found_the_same_it_is_told_twice(first, now, counts, desk):
    """And as sure as at the second time; what was certain both times is confirmed."""
    browser = up_to_what_stands_alone(desk, sure=first)
    again(browser, PACK, sure=now)
    answered(browser, held_up(desk.parts.bench.base))
    assert browser.path.endswith("/end")
    assert (pack_in(desk).value, pack_in(desk).sure) == (PACK, counts)
    assert [e.sure for e in entries(desk)] == ([] if counts == first else [counts])


def test_left_it_is_not_asked_again(at_the_pack, desk, desks):
    """Nor over a reload, nor in another tab, nor another day, nor by a desk started anew; and
    nothing that was said changes."""
    before = case_in(desk, house_in(desk).key)
    at_the_pack.submit({"answer": "leave"})
    assert at_the_pack.path.endswith("/end")
    assert case_in(desk, house_in(desk).key) == before
    for other in (desk, desks.make(desk.parts.settings.database)):
        browser = other.browser()
        browser.get(link_of(at_the_pack))
        assert browser.path.endswith("/end")
    assert offered_in(desk) == [("wall1", GATE)]


def test_found_the_same_it_is_not_asked_again(at_the_pack, desk):
    """The stop still stands alone, and the client has said so twice."""
    again(at_the_pack, PACK)
    assert at_the_pack.path.endswith("/end")
    assert verdict_in(desk) == "cannot_tell"
    at_the_pack.get(link_of(at_the_pack))
    assert at_the_pack.path.endswith("/end")


def test_who_leaves_before_a_reply_comes_back_to_it(at_the_pack, desk, desks):
    """A closed browser is no reply, on the first page or on the look itself."""
    here = at_the_pack.path
    other = desks.make(desk.parts.settings.database).browser()
    other.get(link_of(at_the_pack))
    assert other.path == here
    other.submit({"answer": LINE})
    other.get(link_of(at_the_pack))
    assert other.path == here
    assert offered_in(desk) == []


def test_the_last_page_says_that_there_is_more(at_the_pack):
    """Typed into the address it can be sent all the same; the looks lead back here."""
    here = at_the_pack.path
    at_the_pack.get(f"{link_of(at_the_pack)}/end")
    assert at_the_pack.title == "There is more to ask"
    at_the_pack.follow("continue with the looks")
    assert at_the_pack.path == here


def test_back_from_the_look_leads_to_the_list(at_the_pack):
    """Where it can still be left."""
    here = at_the_pack.path
    at_the_pack.submit({"answer": LINE})
    at_the_pack.follow("Back")
    assert at_the_pack.path == here
    at_the_pack.submit({"answer": "leave"})
    assert at_the_pack.path.endswith("/end")


def test_the_back_button_after_leaving_it(at_the_pack, desk):
    """The page is still there, and who thinks better of it may look."""
    here = at_the_pack.path
    at_the_pack.submit({"answer": "leave"})
    at_the_pack.get(here)
    again(at_the_pack, SINGLE)
    assert pack_in(desk).value == SINGLE
    assert offered_in(desk) == [("wall1", GATE)]


def test_the_back_button_after_looking(at_the_pack, desk):
    """The stop is gone: the look can be changed as any other; the list leads on."""
    here = at_the_pack.path
    again(at_the_pack, SINGLE)
    now = at_the_pack.path
    at_the_pack.get(f"{here}/{LINE}")
    assert step_of(at_the_pack.path) == ("wall1", LOOK)
    assert at_the_pack.fields()["answer"] == SINGLE
    at_the_pack.get(here)
    assert at_the_pack.path == now
    assert "moved=1" in str(at_the_pack.page.url)
    assert pack_in(desk).value == SINGLE


@pytest.mark.parametrize("value", [PACK, SINGLE])
def test_sent_twice_it_does_no_harm(value, at_the_pack, desk):
    """As on a weak line: one answer in the record, as sure as it was, and on it goes."""
    at_the_pack.submit({"answer": LINE})
    form = at_the_pack.page
    at_the_pack.submit({"answer": value})
    kept, told, now = pack_in(desk), len(entries(desk)), at_the_pack.path
    at_the_pack.page = form
    at_the_pack.submit({"answer": value})
    assert at_the_pack.path == now
    assert pack_in(desk) == kept
    assert len(entries(desk)) == told
    assert offered_in(desk) == [("wall1", GATE)]


def test_a_guess_borne_out_and_sent_twice_is_no_third_look(desk):
    """Certain at one look only, however often the page is sent."""
    browser = up_to_what_stands_alone(desk, sure="guess")
    browser.submit({"answer": LINE})
    form = browser.page
    for _ in range(2):
        browser.page = form
        browser.submit({"answer": PACK, "sure": "certain"})
        assert (pack_in(desk).value, pack_in(desk).sure) == (PACK, "certain")


def test_a_guess_that_ends_an_interview_is_offered(desk):
    """As at a terminal; looked at again and certain, the interview goes on where it had ended."""
    place = "attic_spot"
    browser = at_the_end(desk, TRUSS_HOUSE, guessed=place)
    assert browser.path.endswith("/second-look/wall1/guesses-1")
    assert "(a guess)" in browser.text
    browser.submit({"answer": f"wall1/{place}"})
    browser.submit({"answer": "marked", "do": "answer"})
    assert step_of(browser.path) is not None
    assert case_in(desk, house_in(desk).key).walls[0].answers[place].sure == "certain"


@pytest.mark.parametrize(
    ("value", "sure", "verdict"),
    [
        ("none_within_4_ft", "confirmed", "likely_non_bearing"),
        ("within_1_ft", "certain", "cannot_tell"),
    ],
)
def test_what_non_bearing_rests_on_alone_is_offered(desk, value, sure, verdict):
    """Before the end, once."""
    look = "wall_over_wall"
    browser = at_the_end(desk, TWO_STORY_HOUSE, 4)
    assert browser.path.endswith("/second-look/wall1/once-1")
    assert "Before kitchen is called likely non-bearing" in browser.text
    browser.submit({"answer": f"wall1/{look}"})
    browser.submit({"answer": value, "sure": "certain"})
    said = case_in(desk, house_in(desk).key).walls[0].answers[look]
    assert (said.value, said.sure) == (value, sure)
    assert verdict_in(desk) == verdict
    assert offered_in(desk) == [("wall1", "once-1")]
    assert "second-look" not in browser.path


def test_what_was_not_known_and_would_settle_it_is_offered(desk):
    """Found out, it counts as it is told; the wall was open for want of it alone."""
    look = "wall_thickness"
    unknown = dict.fromkeys((look, "outside_traces", "roof_both_sides"), "unknown")
    browser = at_the_end(desk, TRUSS_HOUSE | unknown)
    assert browser.path.endswith(f"/second-look/wall1/unknown-{look}")
    assert "You could not tell one thing that may settle kitchen" in browser.text
    assert verdict_in(desk) == "cannot_tell"
    browser.submit({"answer": f"wall1/{look}"})
    browser.submit({"answer": "typed", "typed": "4 1/2 in"})
    assert case_in(desk, house_in(desk).key).walls[0].answers[look].sure == "certain"
    assert verdict_in(desk) == "likely_non_bearing"
    assert offered_in(desk) == [("wall1", f"unknown-{look}")]


def test_a_second_tab_that_is_behind(at_the_pack, desk):
    """One tab has looked; the other's list, sent then, changes nothing and leads on."""
    other, kept = at_the_pack.page, at_the_pack.path
    again(at_the_pack, SINGLE)
    now = at_the_pack.path
    for reply in ("leave", LINE):
        at_the_pack.page = other
        at_the_pack.submit({"answer": reply})
        assert at_the_pack.path == now
        assert pack_in(desk).value == SINGLE
    at_the_pack.client.post(f"{kept}/{LINE}", data={"answer": PACK})
    assert pack_in(desk).value == SINGLE


@pytest.mark.parametrize(
    ("path", "form"),
    [
        ("wall1/gate_old_edge", {"answer": "leave"}),
        ("wall1/no_such_gate", {"answer": "leave"}),
        ("wall9/gate_load_seen", {"answer": "leave"}),
        ("wall1/gate_load_seen/wall1/wall_top", {"answer": "board_ends"}),
        ("wall1/gate_load_seen/house/stud_cluster_found", {"answer": SINGLE}),
        ("wall1/gate_load_seen/wall1/no_such_question", {"answer": SINGLE}),
        (f"wall1/gate_old_edge/{LINE}", {"answer": SINGLE}),
        (f"wall9/gate_load_seen/{LINE}", {"answer": SINGLE}),
    ],
)
def test_what_nobody_was_offered(path, form, at_the_pack, desk):
    """Another wall, another stop, another look: nothing changes, and the page that is next
    comes."""
    here, before = at_the_pack.path, house_in(desk)
    at_the_pack.page = at_the_pack.client.post(f"{link_of(at_the_pack)}/second-look/{path}",
                                               data=form)  # fmt: skip
    assert at_the_pack.path == here
    at_the_pack.get(f"{link_of(at_the_pack)}/second-look/{path}")
    assert at_the_pack.status == 200
    after = house_in(desk)
    assert (after.case_text, after.revision) == (before.case_text, before.revision)
    assert offered_in(desk) == []


@pytest.mark.parametrize("reply", ["", "yes", "wall1/wall_top", "0", "../../end", "x" * 5000])
def test_no_line_of_the_list(reply, at_the_pack, desk):
    """The same page, and what is wrong."""
    here = at_the_pack.path
    at_the_pack.submit({"answer": reply})
    assert (at_the_pack.status, at_the_pack.path) == (400, here)
    assert "Pick one line." in at_the_pack.text
    assert offered_in(desk) == []


@pytest.mark.parametrize("value", ["no_such_option", "none", "<b>", "confirmed"])
def test_no_answer_of_the_look(value, at_the_pack, desk):
    """Told on the page; nothing is changed and it is still to be replied to."""
    again(at_the_pack, value)
    assert at_the_pack.status == 400
    assert at_the_pack.path.endswith(LINE)
    assert pack_in(desk).value == PACK
    assert offered_in(desk) == []


def test_nobody_says_confirmed_by_themselves(at_the_pack, desk):
    """Only a second look makes it so, and not for what was first a guess."""
    again(at_the_pack, SINGLE, sure="confirmed")
    assert pack_in(desk).sure == "certain"


def test_it_waits_until_all_else_is_answered(at_the_pack, desk):
    """One more thing of the firm's comes first, as it may say more."""
    here, boss = at_the_pack.path, desk.engineer()
    boss.get(f"/desk/house/{house_in(desk).key}")
    forms = [f for f in boss.tree.iter(f"{X}form") if f.get("action", "").endswith("/ask")]
    token = re.search(r'name="form_token" value="([^"]+)"', boss.page.text)[1]
    assert forms
    asked = {"subject": "house", "words": "How old is the roof?", "form_token": token}
    boss.client.post(f"/desk/house/{house_in(desk).key}/ask", data=asked)
    at_the_pack.get(link_of(at_the_pack))
    assert "/more/" in at_the_pack.path
    at_the_pack.submit({"typed": "ten years"})
    assert at_the_pack.path == here


def test_of_each_wall_it_is_asked(desk):
    """Two walls with a pack each: two lists, one after the other."""
    browser = up_to_what_stands_alone(desk, ("kitchen", "den"))
    seen = []
    for _ in range(2):
        seen.append((browser.path.split("/")[-2], browser.title.partition(" keeps ")[2][:7]))
        browser.submit({"answer": "leave"})
    assert [wall for wall, _ in seen] == ["wall1", "wall2"]
    assert [name.split()[0] for _, name in seen] == ["kitchen", "den"]
    assert browser.path.endswith("/end")


def test_it_goes_out_and_comes_in_with_the_house(at_the_pack, desk, desks):
    """An archive holds that it was asked."""
    at_the_pack.submit({"answer": "leave"})
    bench = desk.parts.bench
    with export_zip(desk.store, bench, "Ida") as file:
        data = file.read()
    other = desks.make()
    assert "came in" in " ".join(import_zip(other.store, bench.base, data, "Ida"))
    assert offered_in(other) == [("wall1", GATE)]


def test_it_goes_when_the_house_is_deleted(at_the_pack, desk):
    at_the_pack.submit({"answer": "leave"})
    with desk.store.write() as db:
        delete_house(db, db.scalars(select(HouseRecord)).one(), "Ida", "asked for")
    assert offered_in(desk) == []
    with desk.store.read() as db:
        assert db.scalar(select(AnswerEntry)) is None


def test_another_house_is_no_way_in(at_the_pack, desk):
    """The address of one house's second look under the link of another."""
    tail = at_the_pack.path.removeprefix(link_of(at_the_pack))
    _, token = desk.house(name="2 Elm Court", walls=("hall",))
    browser = desk.browser()
    browser.page = browser.client.post(f"/c/{token}{tail}", data={"answer": "leave"})
    assert urlsplit(str(browser.page.url)).path == f"/c/{token}/begin"
    assert offered_in(desk) == []
