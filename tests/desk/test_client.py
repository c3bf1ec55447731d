"""A client answers in a browser without JavaScript: pages, second thoughts, double sends."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from tests.conftest import shipped_rules
from tests.desk.browser import Browser, step_of
from tests.record_transcripts import HOUSES, look_at, told
from walltriage.case.model import HOUSE, NO_ANSWER, Answer, Case, Wall, found_again
from walltriage.case.read import read_case
from walltriage.desk.houses import NewHouse, make_house
from walltriage.desk.links import make_link
from walltriage.inference.looks.glance import Asked, picked_by, word_for_all
from walltriage.interview.planner import Planner
from walltriage.interview.session import Session
from walltriage.interview.signs_told import signs, told_now
from walltriage.interview.stands_alone import alone_page, answer_anew, to_offer
from walltriage.report.finding_json import finding_line

pytestmark = pytest.mark.extras
BASE = shipped_rules()
NAMES = sorted(path.name for path in HOUSES.glob("[0-9]*.yaml"))
MOST_PAGES = 600
PLANNED = sorted(path.name for path in HOUSES.glob("plan_*.yaml"))


def begun(desk, reach: int = 2, **facts) -> Browser:
    """A client at the first look."""
    _, token = desk.house(**facts)
    browser = desk.browser()
    browser.get(f"/c/{token}")
    assert browser.path.endswith("/begin"), browser.text
    browser.submit({"reach": str(reach)})
    return browser


def give(browser: Browser, answer) -> None:
    """Answer the look on the page, which asks one thing."""
    value = answer.given or answer.value
    typed = browser.fields().get("answer") == "typed" and answer.is_real
    fill = {"typed": value} if typed else {"answer": value}
    browser.submit(fill | {"sure": answer.sure, "note": answer.note, "do": "answer"})
    assert browser.status == 200, browser.text


class StandsBy:
    """How somebody takes a second look: the first thing listed, found just as they said."""

    def __init__(self, person: Case) -> None:
        self.person = person
        self.asked: list[tuple[tuple[str, str], list[str]]] = []

    def again(self, mark: tuple[str, str], lines: list[str]) -> tuple[str, Answer] | None:
        """Of the answers listed, for that wall and stop, the one given anew; None for none."""
        self.asked.append((mark, lines))
        return lines[0], told(self.person, *lines[0].split("/"))


def hold(browser: Browser, person, second: StandsBy | None = None) -> None:
    """Answer every look as this person would, who saw just what they say."""
    second = second or StandsBy(person)
    for _ in range(MOST_PAGES):
        if (at := step_of(browser.path)) is not None:
            give_as(browser, person, *at)
        elif browser.path.endswith("/once-more"):
            browser.submit({"answer": "yes"})
        elif "/second-look/" in browser.path:
            look_again(browser, second)
        else:
            return
    raise AssertionError(f"no end: {browser.text}")


def look_again(browser: Browser, second: StandsBy) -> None:
    """Pick what is looked at once more, and give it anew."""
    *_, wall, stop = browser.path.split("/")
    *lines, leave = browser.options("answer")
    given = second.again((wall, stop), lines)
    browser.submit({"answer": leave if given is None else given[0]})
    if given is not None:
        assert browser.path.endswith(given[0]), browser.text
        give(browser, given[1])


def give_as(browser: Browser, person, subject: str, question: str) -> None:
    """Answer the look on the page as this person would, whether it asks one thing or several."""
    if "several" not in browser.fields():
        give(browser, told(person, subject, question))
        return
    questions = BASE.questions
    named = (w.id for w in person.walls if f": {w.name}" in browser.text)  # as its heading says
    wall = subject if subject != HOUSE else next(named, person.walls[0].id)

    def answer(name: str):
        return told(person, HOUSE if questions[name].scope == HOUSE else wall, name)

    shown = browser.ticks("seen-")
    glance = next(g for g in BASE.glances if question in (*g.lists, *g.singles))
    page = Asked(glance, tuple(glance.items[number] for number in shown))
    word = word_for_all(page, answer)
    fill = {"answer": word} if word else {}
    if not word:
        picked = picked_by(page, answer)
        fill |= {f"seen-{shown[at]}": "1" for at in picked.seen}
        fill |= {f"unsure-{shown[at]}": "1" for at in picked.unsure}
        fill |= {} if fill else {"answer": "none"}
    browser.submit(fill | {"do": "answer"})
    assert browser.status == 200, browser.text


def case_in(desk, key):
    """The case as the desk keeps it."""
    from walltriage.desk.houses import house_by_key

    with desk.store.read() as db:
        return desk.parts.bench.case_of(house_by_key(db, key).case_text)


def answer_as(session, person, second: StandsBy | None = None):
    """The interview to its end, answered as this person would, who stands by what they said when
    asked to look once more."""
    second, offered = second or StandsBy(person), set()
    for _ in range(MOST_PAGES):
        answer_all_as(session, person)
        alone = to_offer(session, offered)
        if alone is None:
            return
        offered.add(alone.mark)
        *lines, _ = (choice.value for choice in alone_page(session, alone).choices)
        given = second.again(alone.mark, lines)
        if given is not None:
            line, answer = given
            item = alone.told[lines.index(line)]
            answer_anew(session, item, answer.given or answer.value, answer.sure, answer.note)
    raise AssertionError(f"no end of second looks: {offered}")


def answer_all_as(session, person):
    """All questions there are, with a second look at what tells of a sign."""
    while session.step is not None:
        wall_id = session.wall_id
        before = signs(session, wall_id)
        if session.page is not None:
            look_at(session, person)
        else:
            answer = told(person, session.step.subject, session.step.question)
            session.answer(answer.given or answer.value, answer.sure, answer.note)
        for item in told_now(session, wall_id, before, session.given[-1].step):
            said = item.answer
            session.change(item.step, said.given or said.value, found_again(said.sure), said.note)


@pytest.mark.parametrize("name", NAMES)
def test_the_browser_finds_what_the_terminal_finds(name, full, desk):
    """Same questions in the same order, same answers: the same finding, byte for byte."""
    person = read_case(HOUSES / name, full.base.questions)
    session = Session(
        Planner(full),
        person.__class__(
            name=person.name, role=person.role, reach=person.reach,
            walls=tuple(Wall(f"wall{n}", w.name or w.id) for n, w in enumerate(person.walls, 1)),
        ),
    )  # fmt: skip
    walls = tuple(replace(wall, id=f"wall{n}") for n, wall in enumerate(person.walls, 1))
    named = replace(person, walls=walls)
    answer_as(session, named)

    key, token = desk.house(
        name=person.name, role=person.role, walls=tuple(w.name or w.id for w in person.walls)
    )
    browser = desk.browser()
    browser.get(f"/c/{token}")
    browser.submit({"reach": str(person.reach)})
    hold(browser, named)
    assert browser.path.endswith("/end")

    case = case_in(desk, key)
    assert case == session.case
    assert finding_line(full.finding(case)) == finding_line(session.finding())


@pytest.mark.parametrize("name", PLANNED)
def test_with_a_plan_the_browser_finds_what_the_terminal_finds(name, full, desk):
    """Both go on from the same drawing: the same looks, the same answers, the same finding."""
    person = read_case(HOUSES / name, full.base.questions)
    walls = tuple(Wall(wall.id, wall.name or wall.id) for wall in person.walls)
    drawn = Case(name=person.name, role=person.role, reach=person.reach, units=person.units,
                 plan=person.plan, walls=walls)  # fmt: skip
    session = Session(Planner(full), drawn)
    while session.step is not None:
        if session.page is not None:
            look_at(session, person)
            continue
        answer = told(person, session.step.subject, session.step.question)
        session.answer(answer.given, answer.sure, answer.note)

    with desk.store.write() as db:
        house = make_house(db, NewHouse(person.name, role=person.role), "Ida", drawn)
        key, token = house.key, make_link(db, house, 1, "Ida")
    browser = desk.browser()
    browser.get(f"/c/{token}")
    browser.submit({"reach": str(person.reach)})
    while (at := step_of(browser.path)) is not None:
        give_as(browser, person, *at)
    assert browser.path.endswith("/end")
    case = case_in(desk, key)
    assert case == session.case
    assert finding_line(full.finding(case)) == finding_line(session.finding())


def test_an_answer_sent_twice_does_no_harm(desk):
    """The same form twice, as on a weak line: one answer, each question once in the record."""
    browser = begun(desk)
    first = browser.page
    fields = browser.fields() | {"answer": browser.options("answer")[0]}
    for _ in range(2):
        browser.page = first
        browser.submit(fields)
        assert browser.status == 200
    told = [(entry.subject, entry.question) for entry in entries(desk)]
    assert len(told) == len(set(told)) > 0
    assert step_of(browser.path) != step_of(first.url.path)


def entries(desk):
    """Every answer ever given."""
    from sqlalchemy import select

    from walltriage.desk.tables import AnswerEntry

    with desk.store.read() as db:
        return list(db.scalars(select(AnswerEntry).order_by(AnswerEntry.id)))


def test_the_back_button_changes_an_answer(desk):
    """Back to an earlier page, another option: the answer changes, the record keeps both."""
    browser = begun(desk)
    first = browser.page
    options = browser.options("answer")
    browser.submit({"answer": options[0]})
    told = entries(desk)
    browser.page = first
    browser.submit({"answer": "unknown"})
    assert all(entry.value not in NO_ANSWER for entry in told)
    later = entries(desk)[len(told) :]
    assert {(e.question, e.value) for e in told} & {(e.question, e.value) for e in later} == set()
    assert {e.value for e in later} == {"unknown"}
    browser.follow("Your answers")
    kept = {(e.subject, e.question) for e in later}
    assert len(list(browser.tree.iter("{http://www.w3.org/1999/xhtml}li"))) == len(kept)


def test_a_second_tab_answers_what_it_shows(desk):
    """Two tabs at one look, answered one after the other: nothing lands on another question."""
    browser = begun(desk)
    other_tab = browser.page
    browser.submit({"answer": browser.options("answer")[0]})
    second, before = step_of(browser.path), len(entries(desk))
    third_tab = browser.page
    browser.submit({"answer": "unknown"})
    browser.page = other_tab
    browser.submit({"answer": "unknown"})
    assert [(e.subject, e.question) for e in entries(desk)][before] == second
    browser.page = third_tab
    typed = browser.fields().get("answer") == "typed"
    browser.submit({"typed": "1950"} if typed else {"answer": browser.options("answer")[0]})
    kept = {(e.subject, e.question): e.value for e in entries(desk)}
    assert kept[step_of(other_tab.url.path)] == "unknown"
    assert kept[second] != "unknown"


def test_a_page_passed_already_leads_on(desk):
    """A look that is not asked, typed into the address: the current page with a word on it."""
    browser = begun(desk)
    here = browser.path
    browser.get(here.rsplit("/", 1)[0] + "/truss_run")
    assert browser.path == here
    assert "passed already" in browser.text


@pytest.mark.parametrize(
    ("typed", "says"),
    [("", "Nothing is picked or typed yet"), ("a mile", "is not a"), ("9000", "out of range")],
)
def test_what_does_not_fit_is_told_on_the_page(typed, says, desk):
    """An empty or impossible value: the same page, what is wrong, what was typed still there."""
    browser = begun(desk)
    while browser.fields().get("answer") != "typed":
        browser.submit({"answer": browser.options("answer")[0]})
    before = len(entries(desk))
    browser.submit({"typed": typed})
    assert browser.status == 400
    assert says in browser.text
    assert browser.fields()["typed"] == typed
    assert len(entries(desk)) == before


def test_back_and_on_through_the_pages(desk):
    """Back shows what was said; sent unchanged it changes nothing."""
    browser = begun(desk)
    picked = browser.options("answer")[1]
    browser.submit({"answer": picked, "note": "so the deed says"})
    after, before = browser.path, len(entries(desk))
    browser.follow("Back")
    assert browser.fields()["answer"] == picked
    assert browser.fields()["note"] == "so the deed says"
    browser.submit()
    assert browser.path == after
    assert len(entries(desk)) == before


def test_things_ticked_are_kept_and_what_they_are_is_asked(desk, full):
    """A page of several things: what is ticked is asked about, the rest is answered; going back
    shows the ticks, other ticks take their place, and both nothing and "none" with a tick are
    told on the page."""
    key, token = desk.house()
    browser = desk.browser()
    browser.get(f"/c/{token}")
    browser.submit({"reach": "2"})
    first, numbers = browser.path, browser.ticks("seen-")
    assert len(numbers) > 2
    browser.submit({"answer": ""})
    assert (browser.status, "Nothing is picked" in browser.text) == (400, True)
    for beside in ("none", "unknown"):
        browser.get(first)
        browser.submit({"answer": beside, f"seen-{numbers[0]}": "1"})
        assert (browser.status, "The ticks are kept" in browser.text) == (400, True)
        assert f"seen-{numbers[0]}" in browser.fields()
        assert "answer" not in browser.fields()
    assert not entries(desk)

    browser.get(first)
    # the second line tells of what the first does: that is asked, and not unknown
    browser.submit({f"seen-{numbers[0]}": "1", f"unsure-{numbers[2]}": "1"})
    kind = step_of(browser.path)[1]
    case = case_in(desk, key)
    assert kind in full.base.glances[0].items[numbers[0]].told
    assert kind not in case.house
    assert any(answer.value == "unknown" for answer in case.house.values())

    browser.get(first.replace(step_of(first)[1], case.asked[0].question))
    ticked = browser.fields()
    assert {f"seen-{numbers[0]}", f"unsure-{numbers[2]}"} <= set(ticked)
    browser.submit({f"seen-{numbers[2]}": "1"})
    house = case_in(desk, key).house
    assert house["house_history"].value == "one_or_more"
    assert "additions" not in house  # no longer unknown: it is asked


def test_who_leaves_comes_back_to_the_same_place(desk, desks):
    """The link opened on another phone, after a restart of the desk: the same page."""
    _, token = desk.house()
    browser = desk.browser()
    browser.get(f"/c/{token}")
    browser.submit({"reach": "1"})
    for _ in range(4):
        browser.submit({"answer": "unknown"})
    again = desks.make(desk.parts.settings.database).browser()
    again.get(f"/c/{token}")
    assert again.path == browser.path


def test_sent_in_and_one_more_wall(desk, full):
    """At the end: send, thanks without a verdict, another wall, and on it goes."""
    person = read_case(HOUSES / "01-ranch-with-trusses.yaml", full.base.questions)
    key, token = desk.house(walls=("hall to kitchen",))
    browser = desk.browser()
    browser.get(f"/c/{token}")
    browser.submit({"reach": "0"})
    while (at := step_of(browser.path)) is not None:
        give_as(browser, person, "w1" if at[0] == "wall1" else at[0], at[1])
    browser.submit({"do": "send"})
    assert browser.title == "Thank you."
    assert "likely" not in browser.text.lower()
    assert browser.get(f"/c/{token}/result").url.path.endswith("/end")
    browser.submit({"name": "den to hall"}, number=1)
    assert step_of(browser.path)[0] == "wall2", browser.text
    assert [wall.name for wall in case_in(desk, key).walls] == ["hall to kitchen", "den to hall"]


def test_the_result_where_the_firm_shows_it(desk):
    """The buyer's page comes after "send" only, and only where it was chosen."""
    _, token = desk.house(walls=("hall to kitchen",), shows="result")
    browser = desk.browser()
    browser.get(f"/c/{token}")
    browser.submit({"reach": "0"})
    assert not browser.get(f"/c/{token}/result").url.path.endswith("/result")
    while step_of(browser.path):
        browser.submit({"answer": "unknown"})
    browser.submit({"do": "send"})
    browser.follow("See the result")
    assert "For the home buyer" in browser.text
    assert "sandbox" in browser.page.headers["content-security-policy"]


def test_cautions_stand_before_a_look_up_the_ladder(desk, full):
    """What to mind in the attic is on each page that sends somebody there."""
    person = read_case(HOUSES / "01-ranch-with-trusses.yaml", full.base.questions)
    browser = begun(desk, name=person.name, role="trade", walls=("kitchen to nook",))
    seen = set()
    while (at := step_of(browser.path)) is not None:
        place = full.base.questions[at[1]].place
        if place == "attic":
            assert "Before you look, be careful" in browser.text
            seen.add(place)
        give_as(browser, person, "w1" if at[0] == "wall1" else at[0], at[1])
    assert seen


def test_a_metric_house_is_asked_in_metric_too(desk):
    """Once a length is given in meters, questions, answers and refusals name meters."""
    browser = begun(desk, walls=("hall to kitchen",), role="firm")
    given, feet, refused = False, [], []
    while step_of(browser.path) is not None:
        if given and re.search(r"\d feet", browser.text):
            feet.append(browser.text)
        if browser.fields().get("answer") == "typed" and "Type a length" in browser.text:
            browser.submit({"typed": "900"})
            refused += [browser.text] if given else []
            browser.submit({"typed": "4 m"})
            given = given or browser.status == 200
            if browser.status == 400:  # too little for a house, too much for a wall's thickness
                browser.submit({"answer": "unknown"})
        else:
            browser.submit({"answer": "unknown"})
    assert feet
    assert all(re.search(r"feet \([\d.]+", text) for text in feet)
    assert refused
    assert all(re.search(r"out of range; expected [\d.]+ m to", text) for text in refused)
