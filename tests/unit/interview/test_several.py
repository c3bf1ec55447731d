"""Pages of several things in an interview: answered, taken back, kept, and gone on with."""

from __future__ import annotations

import pytest

from walltriage.case.model import HOUSE, OUT_OF_REACH, UNKNOWN, Answer, Case, Step, Wall
from walltriage.case.read import parse_case
from walltriage.case.write import case_text
from walltriage.inference.looks.glance import Picked
from walltriage.interview import words
from walltriage.interview.given import TakenBack
from walltriage.interview.left import Left
from walltriage.interview.page_again import told_again
from walltriage.interview.pages import Choice, page_for, question_page, said
from walltriage.interview.planner import NextStep, Planner
from walltriage.interview.replies import ReplyError, understand
from walltriage.interview.session import Session


@pytest.fixture(scope="module")
def planner(full):
    return Planner(full)


@pytest.fixture
def session(planner):
    """Somebody at the first page, of a house with one wall."""
    return Session(planner, Case(name="a house", role="trade", reach=2, walls=(Wall("w1", "w"),)))


def item(session, words: str) -> int:
    (at,) = [at for at, item in enumerate(session.page.items) if words in item.says]
    return at


def test_one_page_answers_several_questions(session):
    """In the record each question has its answer, and the page it was given on."""
    session.answer_page(Picked())
    assert session.case.house["house_kind"].value == "detached"
    assert session.case.house["walls_made_of"].value == "wood_frame"
    assert {step.glance for step in session.case.asked} == {"house_itself"}
    assert session.step.question == "year_built"


def test_what_was_seen_is_asked_next_and_by_itself(session):
    """A yes is never left hanging."""
    session.answer_page(Picked(frozenset({item(session, "taken out")})))
    assert session.case.to_name == (Step(HOUSE, "walls_gone"),)
    assert session.step == Step(HOUSE, "walls_gone")
    assert session.page is None
    session.answer("no_beam_seen")
    assert session.case.to_name == ()


def test_back_takes_the_whole_page_back_and_enter_keeps_it(session):
    """And what was still to be named is forgotten and remembered with it."""
    picked = Picked(frozenset({item(session, "taken out")}))
    session.answer_page(picked)
    case, first = session.case, session.step
    assert session.back()
    assert session.page is not None
    assert session.case.house == {}
    assert session.case.to_name == ()
    session.keep_page()
    assert session.case == case
    assert session.step == first


def test_an_interview_goes_on_where_it_stopped(session, planner):
    """Through the file: same answers, same page, same next question; back still takes the page."""
    session.answer_page(Picked(frozenset({item(session, "taken out")})))
    text = case_text(session.case)
    assert "house/house_kind@house_itself" in text
    again = Session(planner, parse_case(text, "a.yaml", planner.base.questions))
    assert again.case == session.case
    assert again.step == session.step
    assert again.case.to_name == session.case.to_name
    assert again.back()
    assert again.case.house == {}


def test_nothing_known_of_a_page_is_unknown_for_each(session):
    """ "Don't know" to all of it."""
    session.nothing_known(UNKNOWN)
    assert session.case.house["house_kind"].value == UNKNOWN
    assert session.case.to_name == ()


def test_a_page_may_be_answered_by_its_question_alone(session):
    """Whoever asks one thing at a time can."""
    session.answer("detached")
    assert session.case.asked == (Step(HOUSE, "house_kind"),)
    assert session.case.asked[0].glance == ""


def test_a_page_counts_once(session, planner):
    """What is told to be left counts pages."""
    before = session.left.in_all
    session.answer_page(Picked())
    assert before - 1 <= session.left.in_all <= before


@pytest.mark.parametrize(
    ("line", "seen", "unsure"),
    [("0", (), ()), ("none", (), ()), ("2 5", (1, 4), ()), ("2,5", (1, 4), ()),
     ("1 and 3", (0, 2), ()), ("4?", (), (3,)), ("2 4 ?", (1,), (3,)), ("2 a guess", (1,), ())],
)  # fmt: skip
def test_numbers_are_understood(session, line, seen, unsure):
    """Any of them, none, and those one can't tell of."""
    reply = understand(line, page_for(session))
    assert reply.picked == Picked(frozenset(seen), frozenset(unsure))


@pytest.mark.parametrize("line", ["12", "0 2", "two", "2 x", "2-5", ""])
def test_what_fits_nothing_is_told(session, line):
    """With what would."""
    with pytest.raises(ReplyError, match="Type the numbers of all you see"):
        understand(line, page_for(session))


def test_letters_still_work(session):
    """Don't know, help and the rest."""
    page = page_for(session)
    assert understand("d", page).command == "unknown"
    assert understand("h", page).command == "how"
    assert understand("b", page).command == "back"


def two_walls(planner):
    """Somebody who has answered the same page about both walls of a house, the second last."""
    walls = (Wall("w1", "one"), Wall("w2", "two"))
    session = Session(planner, Case(name="a house", role="trade", reach=2, walls=walls))
    seen = {}
    while set(seen) != {"w1", "w2"}:
        page = session.page
        if page is None:
            session.unknown()
        elif page.glance.id == "where_it_stands":
            wall = session.wall_id
            picked = Picked(frozenset({len(seen)}))
            session.answer_page(picked)
            seen[wall] = picked
        else:
            session.answer_page(Picked())
    return session


def test_back_over_a_page_leaves_the_other_wall_s(planner):
    """The same page about another wall is another page."""
    session = two_walls(planner)
    first, second = (dict(wall.answers) for wall in session.walls)
    while session.earlier_page is None or session.page.glance.id != "where_it_stands":
        assert session.back()
    now = {wall.id: dict(wall.answers) for wall in session.walls}
    assert now["w1"] == first
    assert set(now["w2"]) < set(second)
    assert {item.step.subject for item in session.earlier_page.given} == {"w2"}
    session.keep_page()
    assert dict(session.walls[0].answers) == first


def test_what_was_said_is_told_in_the_words_of_the_page(session):
    """One line for each thing picked; not every question that a tick answers."""
    says = [item.says for item in session.page.items]
    session.answer_page(Picked(frozenset({0, 2}), frozenset({7})))
    assert session.back()
    assert page_for(session).keep_says == f"{says[0]}; {says[2]}; of some I can't tell"
    session.answer_page(Picked())
    assert session.back()
    assert page_for(session).keep_says == session.page.glance.none
    session.nothing_known(UNKNOWN)
    assert session.back()
    assert page_for(session).keep_says == "I don't know"


def test_what_was_left_out_is_not_told_as_unsure(session, planner):
    """Of a page of kinds only what was picked, or could not be told, is shown again."""
    while session.page is None or session.page.glance.id != "where_it_stands":
        session.unknown() if session.page is None else session.answer_page(Picked())
    page = session.page
    attic, across = item(session, "only an attic"), item(session, "across the ridge")
    session.answer_page(Picked(frozenset({attic}), frozenset({across})))
    told = TakenBack(session.given)  # what is left to be named is forgotten once it is named
    word, picked = told_again(page, told)
    assert word == ""
    assert picked.seen == {attic}
    third = next(at for at, thing in enumerate(page.items) if "middle third" in thing.says)
    assert third not in picked.unsure


def test_a_page_without_an_answer_counts_once(planner):
    """Two pages of "don't know" close a place, one alone does not; not getting there does."""
    names = ("hidden_beam", "stud_pack", "steel_in_wall")
    for word, closed in ((UNKNOWN, set()), (OUT_OF_REACH, {"opened"})):
        answers = {name: Answer(word) for name in names}
        case = Case(walls=(Wall("w1", "w", answers),))
        assert planner.closed_places(case, "w1") == closed
    more = {name: Answer(UNKNOWN) for name in (*names, "opened_top")}
    assert planner.closed_places(Case(walls=(Wall("w1", "w", more),)), "w1") == {"opened"}


def test_nobody_has_said_anything_is_an_answer(full):
    """Among the options, for "I don't know", and so in the record."""
    question = full.base.questions["opinion_given"]
    page = question_page(question, {}, flipped=False, heading="")
    assert page.choices[-1] == Choice(UNKNOWN, "Nobody has said anything, that I know of")
    assert understand("4", page).value == UNKNOWN
    assert said(question, Answer(UNKNOWN)) == "Nobody has said anything, that I know of"
    assert question.means(UNKNOWN) == "nobody known to have said anything"
    assert full.base.questions["year_built"].means(UNKNOWN) == "not known"


@pytest.mark.parametrize(
    ("before", "here", "in_all", "told"),
    [((3, 10), 5, 9, (False, False)), ((3, 10), 6, 9, (False, True)),
     ((3, 10), 6, 13, (True, True)), ((0, 10), 6, 9, (False, False))],
)  # fmt: skip
def test_more_than_two_more_is_said(before, here, in_all, told):
    """In all, or in the same place; where nothing was told of a place nothing grew."""
    left = Left(*before, wall_id="w1", place="attic")
    plan = NextStep(None, more_here=here, in_all=in_all)
    then = left.then(plan, "w1", "attic")
    assert (then.grew, then.grew_here) == told
    assert not left.then(plan, "w1", "rooms").grew_here
    assert not left.then(plan, "w2", "attic").grew
    assert ("opened more questions" in words.left(then, "worth")) == any(told)
