"""Whole interviews with the knowledge base that is shipped."""

from __future__ import annotations

import io
import re

import pytest
from rich.console import Console

from tests.interview.answering import PLAIN_HOUSE, TRUSS_HOUSE, Answering
from tests.interview.person import Person
from walltriage.case.model import HOUSE, Answer, Case, Wall
from walltriage.inference.looks.policy import FAR
from walltriage.interview.pages import page_for, question_page
from walltriage.interview.plain import to_ascii
from walltriage.interview.planner import Planner
from walltriage.interview.screen import Screen
from walltriage.interview.session import Session
from walltriage.knowledge.trade_words import explained_in, glosses

LINES = 24
ASKED = "Did you see just that yourself, at this wall?"
# from two places: a lap in the attic, and a beam in the room whose end is on the wall
BEARING = PLAIN_HOUSE | {
    "wall_height": "reaches_ceiling",
    "ceiling_magnet": "across_wall",
    "attic_joist_run": "across",
    "attic_joists_at_wall": "end_or_lap",
    "wall_top": "board_ends",
    "laps_elsewhere": "here",
    "beam_meets_wall": "ends_at_wall",
    "round_the_wall": "one_or_more",
}
LOGS = PLAIN_HOUSE | {"walls_made_of": "logs"}


@pytest.fixture(scope="module")
def planner(full):
    return Planner(full)


def interview(planner, answers, **more):
    """A whole interview without a terminal."""
    person = Answering(planner.base, answers)
    session = Session(planner, Case(name="h", walls=(Wall("w1", "w"),), **more))
    while session.step is not None:
        session.answer(person.value(session.question(session.step)))
    return session


@pytest.mark.parametrize(
    ("answers", "reach", "verdict"),
    [
        (TRUSS_HOUSE, 2, "likely_non_bearing"),
        (BEARING, 2, "likely_bearing"),
        (LOGS, 2, "cannot_tell"),
        (PLAIN_HOUSE, 0, "cannot_tell"),
    ],
)
def test_verdicts_and_length(planner, answers, reach, verdict):
    """Each verdict is reached within the bounds, far places are each visited once, and who
    stays in the rooms is sent nowhere."""
    session = interview(planner, answers, reach=reach)
    assert session.finding().walls[0].verdict == verdict
    wall = [item for item in session.given if item.step.subject == "w1"]
    assert len(wall) <= planner.policy.most_when_nearly_there
    assert all(session.question(item.step).entry.effort <= reach for item in session.given)
    places = [session.question(item.step).place for item in session.given]
    visits = [p for i, p in enumerate(places) if p in FAR and places[i - 1] != p]
    assert len(visits) == len(set(visits))


def test_knowing_nothing_ends_without_a_verdict(planner):
    """All "don't know": cannot tell, with one to three checks that would."""
    person = Session(planner, Case(walls=(Wall("w1", "w"),)))
    while person.step is not None:
        person.unknown()
    (wall,) = person.finding().walls
    assert wall.verdict == "cannot_tell"
    assert 1 <= len(wall.next_checks) <= 3


def test_a_blocked_attic_is_left_alone(planner, full):
    """Two "can't get there"s and the attic is not asked about again."""
    attic = {q.id: "out_of_reach" for q in full.base.questions.values() if q.place == "attic"}
    session = interview(planner, PLAIN_HOUSE | attic, reach=2)
    asked = [i for i in session.given if session.question(i.step).place == "attic"]
    assert len(asked) == 2
    assert session.blocked == {"attic"}


def drawn(show):
    """How many lines something takes on a terminal 80 wide."""
    screen = Screen()
    screen.console = Console(
        file=io.StringIO(), width=80, markup=False, emoji=False, highlight=False
    )
    show(screen)
    return screen.console.file.getvalue().splitlines()


def test_every_page_fits_the_screen(full):
    """Every question with its options, and every help with its sketch above the question,
    fits 80 by 24 with the prompt."""
    for question in full.base.questions.values():
        if question.entry.kind == "computed":
            continue
        page = question_page(
            question, full.base.glossary, flipped=False, heading="In the attic: " + "w" * 40
        )
        lines = drawn(lambda screen, page=page: screen.page(page))
        assert len(lines) + 2 <= LINES, question.id

        def helped(screen, page=page):
            screen.help(page)
            screen.page(page, again=True)

        lines = drawn(helped)
        assert len(lines) + 1 <= LINES, question.id
        assert max(map(len, lines)) <= 80, question.id
        assert page.why


def test_trade_words_are_explained_where_they_stand(full):
    """Each once: beside the question and its answers, else in the help that has the word."""
    glossary, shown = full.base.glossary, set()
    for question in full.base.questions.values():
        if question.entry.kind == "computed":
            continue
        page = question_page(question, glossary, flipped=False, heading="x")
        told = explained_in(question.entry, glossary)
        for parts, text in ((("ask", "options"), page.words), (("look",), page.look)):
            for word in glosses(question.entry, glossary, parts).keys() - told:
                assert f"{word[0].upper()}{word[1:]}: {glossary[word]}." in text, question.id
                told.add(word)
                shown.add(word)
    assert len(shown) > 10


def test_getting_there_is_only_a_matter_where_one_has_to_go(full):
    """Not for what one knows, or sees from the room one stands in; always for far places."""
    for question in full.base.questions.values():
        page = question_page(question, full.base.glossary, flipped=False, heading="x")
        near = question.place not in FAR and question.entry.effort == 0
        assert ("out_of_reach" in page.commands) == (not near), question.id
        assert "unknown" in page.commands


def test_sketches_keep_their_shape_in_ascii(full):
    """Character for character, so that columns stay under each other."""
    sketches = [q.entry.sketch for q in full.base.questions.values() if q.entry.sketch]
    assert sketches
    for sketch in sketches:
        plain = to_ascii(sketch)
        assert plain.isascii()
        assert "\\u" not in plain
        assert [len(line) for line in plain.split("\n")] == [len(x) for x in sketch.split("\n")]


def question_on(person, base):
    """The question asked last on the screen."""
    text = " ".join(person.shown.split())
    found = [(text.rfind(" ".join(q.entry.ask.split())), q) for q in base.questions.values()]
    where, question = max(found, key=lambda item: (item[0], len(item[1].entry.ask)))
    return question if where >= 0 else None


def last_page(person):
    """What was shown since the last line typed."""
    return " ".join(person.shown.split()).rpartition(" > ")[2]


SETUP = ("1", "3", "14 Elm", "2")  # the last: no plan of the house
AT_THE_END = ("Enter for the result.", "rest of the list.")


def type_to_the_end(person, base, answers, setup=SETUP, until=AT_THE_END):
    """From the first page to the last question, each answered as ``answers`` has it."""
    for line in setup:
        person.type(line)
    answering = Answering(base, answers)
    marked = False
    for _ in range(70):
        if any(words in person.shown for words in until):
            break
        if "What do you call it?" in person.shown:
            person.type("kitchen to dining")
        elif person.shown.rstrip().endswith(">") and ASKED in last_page(person):
            person.type("1")
        elif "How was the place marked?" in person.shown and not marked:
            marked = True
            person.type("2")  # by taps at both ends
        else:
            line = answering.typed_on(person.shown)
            person.type(line or answering.typed(question_on(person, base)))


@pytest.mark.parametrize(
    ("answers", "said"),
    [
        (TRUSS_HOUSE, "LIKELY NON-BEARING"),
        (BEARING, "LIKELY BEARING"),
        (LOGS, "CANNOT TELL WITHOUT OPENING UP"),
    ],
)
def test_at_the_terminal(tmp_path, full, answers, said):
    """The three verdicts, typed from the first page to the last, of a program really started."""
    person = Person(tmp_path, rules=None, fresh=True)
    try:
        type_to_the_end(person, full.base, answers)
        asked = " ".join(person.everything.split())
        assert asked.count("step only on joists") == 1
        assert asked.index("step only on joists") < asked.index("In the attic: kitchen")
        below = asked.find("One floor down: kitchen")
        crawls = asked.find("In a crawl space, watch for wires")
        assert (crawls >= 0) == (below >= 0)
        assert crawls <= below
        assert asked.count("Before you look, be careful:") == 1 + (crawls >= 0)
        attic = [screen for screen in person.heeded if "step only on joists" in screen]
        assert len(attic) == 1, "what to mind in the attic scrolls away before it is read"
        while "What next?" not in person.shown:
            person.type("")
        menu = re.findall(r"^ *(\d+)  Finish$", person.shown, re.MULTILINE)
        text = person.last(menu[-1])
        assert said in text
        assert "safe to remove" not in text.lower()
        assert person.status == 0
    finally:
        person.child.close(force=True)


@pytest.fixture
def with_a_pack(tmp_path, full):
    """Somebody whose wall one thing alone, a stud pack, keeps from being told."""
    person = Person(tmp_path, rules=None, fresh=True)
    said = TRUSS_HOUSE | {"stud_cluster_found": "cluster"}
    type_to_the_end(person, full.base, said, until=("One thing alone",))
    yield person
    person.child.close(force=True)


def test_what_alone_is_in_the_way_is_looked_at_once_more(with_a_pack, full):
    """Asked before the result; given anew, the wall is told."""
    shown = last_page(with_a_pack)
    assert "keeps kitchen to dining from being called non-bearing" in shown
    assert "1 A stud pack found in the wall 2 None of them now" in shown
    assert "Changing an answer." in with_a_pack.type("1")
    with_a_pack.type("1")  # no, single studs
    type_to_the_end(with_a_pack, full.base, TRUSS_HOUSE, setup=())  # what could take it back
    for _ in range(4):
        if "What next?" not in with_a_pack.shown:
            with_a_pack.type("")
    assert "LIKELY NON-BEARING" in with_a_pack.everything


def test_what_alone_is_in_the_way_may_be_left(with_a_pack):
    """And is not asked for again."""
    with_a_pack.type("2")
    for _ in range(4):
        if "What next?" not in with_a_pack.shown:
            with_a_pack.type("")
    assert "CANNOT TELL WITHOUT OPENING UP" in with_a_pack.everything
    assert with_a_pack.everything.count("One thing alone") == 1


def test_what_to_mind_at_a_place_is_among_the_cautions(planner):
    """Where to step is told before the attic; pebbles bring theirs as soon as they are seen."""
    house = Case(name="h", reach=2, walls=(Wall("w1", "w"),), asked=())
    before = {c.id for c in Session(planner, house).cautions_before("attic")}
    assert before == {"attic_footing"}
    pebbles = house.with_answer(HOUSE, "attic_fill", Answer("pebbles"))
    after = {c.id for c in Session(planner, pebbles).cautions_before("attic")}
    assert after - before == {"pebble_insulation"}
    assert Session(planner, pebbles).cautions_before("rooms") == ()


def test_page_of_a_step_names_place_and_wall(planner):
    """Where one has to be, and which wall it is about, stand above the question."""
    session = Session(planner, Case(name="h", walls=(Wall("w1", "kitchen"),)))
    headings = set()
    person = Answering(planner.base, PLAIN_HOUSE)
    while session.step is not None:
        headings.add(page_for(session).heading)
        session.answer(person.value(session.question(session.step)))
    assert {
        "The house: what you know",
        "In the rooms: kitchen",
        "In the attic: kitchen",
    } <= headings


@pytest.mark.parametrize(
    ("answers", "told"),
    [
        (LOGS, "scope_logs"),
        (PLAIN_HOUSE | {"levels_in_house": "split"}, "scope_split_level"),
        (PLAIN_HOUSE | {"levels_in_house": "split", "wall_at_split": "away"}, ""),
        (PLAIN_HOUSE, ""),
    ],
)
def test_out_of_scope_only_once_nothing_more_is_asked_of_it(planner, answers, told):
    """A split level that may yet be one of two full floors is not told of before that is asked."""
    person = Answering(planner.base, answers)
    session = Session(planner, Case(name="h", walls=(Wall("w1", "w"),)))
    first: list[str] = []
    while session.step is not None:
        session.answer(person.value(session.question(session.step)))
        if session.out_of_scope and not first:
            first = [step.question for step in session.case.asked]
    assert [rule for _, rule in session.out_of_scope] == ([told] if told else [])
    if told == "scope_split_level":
        assert {"levels_in_house", "entry_between", "wall_at_split"} <= set(first)
        assert len(session.case.asked) > len(first)
