"""Back, change and redo: the session is always worth exactly its answers."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from walltriage.case.answers import AnswerError
from walltriage.case.model import Answer, Case, Step, Wall
from walltriage.case.read import parse_case
from walltriage.case.write import case_text
from walltriage.inference.triage import Triager
from walltriage.interview.planner import Planner
from walltriage.interview.session import Session

PICKS = ("first", "last", "unknown", "out_of_reach")


@pytest.fixture(scope="module")
def planner(small):
    return Planner(small)


@pytest.fixture
def session(planner):
    return Session(planner, Case(name="a house", walls=(Wall("w1", "kitchen"),)))


def value_for(question, pick):
    """A value that fits the question."""
    if pick in ("unknown", "out_of_reach"):
        return pick
    if question.entry.answer == "length":
        return {"first": "3 ft", "last": "3.81 m"}[pick]
    return question.values[0 if pick == "first" else -1]


def give(session, pick, sure="certain"):
    session.answer(value_for(session.question(session.step), pick), sure)


def test_first_question_and_answer(session):
    """The question flagged as first comes first, and its answer lands on the wall."""
    assert session.step == Step("w1", "above_wall")
    session.answer("attic", "fairly")
    assert session.case.wall("w1").answers["above_wall"] == Answer(
        "attic", None, "attic", sure="fairly"
    )
    assert session.case.asked == (Step("w1", "above_wall"),)


def test_value_that_does_not_fit_changes_nothing(session):
    """A bad value is refused and the same question stands."""
    before = session.case
    with pytest.raises(AnswerError, match="'cellar' is not an answer"):
        session.answer("cellar")
    assert session.case == before
    assert session.step == Step("w1", "above_wall")


def test_back_any_number_of_steps(session):
    """Back takes the answers away one by one and offers them again."""
    cases = []
    for pick in ("first", "first", "last"):
        cases.append((session.case, session.step))
        give(session, pick)
    end = session.case
    while cases:
        case, step = cases.pop()
        assert session.back()
        assert (session.case, session.step) == (case, step)
    assert not session.back()
    while session.earlier is not None:
        session.keep()
    assert session.case == end


def test_keep_without_earlier_answer_is_refused(session):
    """There is nothing to keep on a question met for the first time."""
    with pytest.raises(ValueError, match="no earlier answer"):
        session.keep()


def test_change_sets_aside_what_no_longer_applies(session):
    """Attic answers stop counting under a room, and count again when that is put right."""
    session.answer("attic")
    while session.step is not None:
        give(session, "first")
    before = session.case
    finding = session.finding()
    session.change(Step("w1", "above_wall"), "room")
    assert {item.step.question for item in session.set_aside} >= {"joists_end"}
    assert "joists_end" not in session.case.wall("w1").answers
    session.change(Step("w1", "above_wall"), "attic")
    assert session.case == before
    assert session.finding() == finding
    assert session.set_aside == ()


def test_change_of_a_question_never_asked(session):
    """Only what was answered can be changed."""
    with pytest.raises(KeyError):
        session.change(Step("w1", "joists_end"), "none_end")


def test_house_is_not_asked_again_for_a_second_wall(session):
    """A second wall has its own answers; back leads from it to the first wall."""
    session.answer("attic")
    while session.step is not None:
        give(session, "first")
    asked = session.case.asked
    second = session.add_wall("bath")
    assert session.step == Step(second, "above_wall")
    session.answer("room")
    assert session.case.asked == (*asked, Step(second, "above_wall"))
    assert session.back()
    assert session.back()
    assert session.step == asked[-1]
    assert session.wall_id == "w1"


def test_wall_without_answers_can_be_dropped(session):
    """A further wall goes again as long as nothing was said about it; the first one stays."""
    assert not session.drop_wall("w1")
    second = session.add_wall()
    assert session.drop_wall(second)
    assert [wall.id for wall in session.walls] == ["w1"]
    give(session, "first")
    second = session.add_wall()
    while session.wall_id != second:
        give(session, "first")
    give(session, "first")
    assert not session.drop_wall(second)


def test_reach_limits_what_is_asked(planner):
    """Nobody who stays in the rooms is sent to the attic; going further reopens it."""
    session = Session(planner, Case(reach=0))
    while session.step is not None:
        assert session.question(session.step).entry.effort == 0
        give(session, "first")
    session.set_person("buyer", 2, "h")
    assert session.question(session.step).place == "attic"


def test_resumed_case_goes_on_where_it_was(session, planner, small):
    """Written and read again, the interview asks the same next question."""
    give(session, "first")
    give(session, "first", "guess")
    again = parse_case(case_text(session.case), "x", small.base.questions)
    resumed = Session(planner, again)
    assert resumed.case == session.case
    assert resumed.step == session.step


def test_clash_is_told(session):
    """Contradicting answers are named by the rule that catches them."""
    session.answer("attic")
    while "joists_run" not in session.case.wall("w1").answers:
        give(session, "first")  # joists run along the wall, and none ends on it
    assert session.clashes() == ()
    session.change(Step("w1", "joists_end"), "some_end")
    assert session.clashes() == ("clash_run_and_end",)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.one_of(
            st.tuples(
                st.just("answer"), st.sampled_from(PICKS), st.sampled_from(["certain", "guess"])
            ),
            st.tuples(st.just("back"), st.none(), st.none()),
            st.tuples(st.just("keep"), st.none(), st.none()),
            st.tuples(st.just("change"), st.integers(0, 9), st.sampled_from(PICKS)),
            st.tuples(st.just("reach"), st.integers(0, 4), st.none()),
            st.tuples(st.just("wall"), st.none(), st.none()),
        ),
        max_size=25,
    )
)
def test_any_way_to_the_same_answers_gives_the_same_finding(small, planner, moves):
    """Whatever was answered, taken back and changed, only the answers count in the end: the
    finding and the next question are those of a fresh start with a fresh engine."""
    session = Session(planner, Case(name="h", walls=(Wall("w1"),)))
    for move, one, two in moves:
        if move == "answer" and session.step is not None:
            give(session, one, two)
        elif move == "back":
            session.back()
        elif move == "keep" and session.earlier is not None:
            session.keep()
        elif move == "change" and session.given:
            item = session.given[one % len(session.given)]
            session.change(item.step, value_for(session.question(item.step), two))
        elif move == "reach":
            session.set_person("buyer", one, "h")
        elif move == "wall" and len(session.walls) < 2:
            session.add_wall()
    final = session.case
    fresh = Case(
        name=final.name,
        house=dict(final.house),
        walls=tuple(Wall(w.id, w.name, dict(w.answers)) for w in final.walls),
    )
    anew = Triager(small.base)
    found = session.finding()
    assert replace(found, given=fresh) == anew.finding(fresh)
    assert {(s.subject, s.question) for s in final.asked} == {
        (w.id, q) for w in final.walls for q in w.answers
    } | {("house", q) for q in final.house}
    before = session.case
    if session.back():
        session.keep()
        assert session.case == before
        assert session.step == Session(Planner(anew), before).step
