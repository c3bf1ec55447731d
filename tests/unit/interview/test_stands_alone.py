"""What alone stands before a wall is offered once all is asked, of each wall and stop once."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.interview.answering import TRUSS_HOUSE, TWO_STORY_HOUSE, Answering, told_all
from walltriage.case.model import Case, Wall
from walltriage.interview.planner import Planner
from walltriage.interview.session import Session
from walltriage.interview.stands_alone import (
    LEAVE,
    alone_page,
    answer_anew,
    stands_alone,
    to_offer,
)

KITCHEN = Wall("w1", "kitchen")
LOOK, GATE = "stud_cluster_found", "gate_load_seen"


@pytest.fixture(scope="module")
def said(full) -> Case:
    """Two walls of a truss house, a stud pack told of in each, all else clear."""
    person = Answering(full.base, TRUSS_HOUSE | {LOOK: "cluster"})
    walls = (Wall("w1", "kitchen"), Wall("w2", "den"))
    session = Session(Planner(full), Case(reach=3, walls=walls))
    while session.step is not None:
        session.answer(person.value(session.question(session.step)))
    return session.case


@pytest.fixture
def session(full, said):
    return Session(Planner(full), said)


def test_each_wall_in_turn(session):
    """And none a second time."""
    first = to_offer(session, ())
    assert first.mark == ("w1", GATE)
    assert [item.step.question for item in first.told] == [LOOK]
    second = to_offer(session, {first.mark})
    assert second.mark == ("w2", GATE)
    assert [item.step.subject for item in second.told] == ["w2"]
    assert to_offer(session, {first.mark, second.mark}) is None


def test_another_stop_is_another_thing(session):
    """That one was offered says nothing of the next."""
    assert to_offer(session, {("w1", "gate_old_edge")}).mark == ("w1", GATE)


def test_nothing_before_all_is_asked(full, said):
    """What is left to ask may say more."""
    third = replace(said, walls=(*said.walls, Wall("w3", "hall")))
    session = Session(Planner(full), third)
    assert session.step is not None
    assert to_offer(session, ()) is None
    assert not list(stands_alone(session, "w1"))


PLACE = "attic_spot"


@pytest.fixture
def guessed(full):
    """One wall with nothing in it, whose place in the attic was guessed."""
    return told_all(full, TRUSS_HOUSE, KITCHEN, guessed=PLACE)


def test_a_guess_that_ends_an_interview_is_offered(guessed):
    """Nothing was worth asking any longer, since no guess clears a wall; once only."""
    alone = to_offer(guessed, ())
    assert alone.mark == ("w1", "guesses-1")
    assert to_offer(guessed, {alone.mark}) is None
    page = alone_page(guessed, alone)
    assert [c.value for c in page.choices] == [f"w1/{PLACE}", LEAVE]
    assert page.choices[0].says.endswith("(a guess)")


@pytest.mark.parametrize(
    ("now", "verdict"), [("certain", "likely_non_bearing"), ("guess", "cannot_tell")]
)
def test_a_guess_borne_out_is_none_any_longer(guessed, now, verdict):
    """And one that is guessed again stays one."""
    answer_anew(guessed, to_offer(guessed, ()).told[0], "marked", now, "")
    person = Answering(guessed.triager.base, TRUSS_HOUSE)
    while guessed.step is not None:
        guessed.answer(person.value(guessed.question(guessed.step)))
    assert guessed.case.walls[0].answers[PLACE].sure == now
    assert guessed.evaluation("w1").verdict == verdict


def test_the_page_names_the_wall_and_what_was_said(session):
    page = alone_page(session, to_offer(session, {("w1", GATE)}))
    assert page.ask.startswith("One thing alone keeps den from being called non-bearing.")
    assert [(c.value, c.says) for c in page.choices] == [
        (f"w2/{LOOK}", "A stud pack found in the wall"), (LEAVE, "None of them now"),
    ]  # fmt: skip


def test_something_else_counts_as_it_is_told(session):
    """Then nothing stands before that wall."""
    alone = to_offer(session, ())
    answer_anew(session, alone.told[0], "no_cluster", "fairly", "")
    assert session.case.walls[0].answers[LOOK].sure == "fairly"
    assert not list(stands_alone(session, "w1"))


@pytest.mark.parametrize(
    ("now", "counts"), [("certain", "confirmed"), ("fairly", "fairly"), ("guess", "guess")]
)
def test_the_same_is_told_twice(session, now, counts):
    """However often it is sent, and as sure as at the second time."""
    for _ in range(2):
        answer_anew(session, to_offer(session, ()).told[0], "cluster", now, "")
        assert session.case.walls[0].answers[LOOK].sure == counts


ABOVE = "wall_over_wall"
ONCE = ("w1", "once-1")


@pytest.fixture
def under_rooms(full):
    """One wall under rooms with nothing in its way; no wall was found upstairs near its line."""
    session = told_all(full, TWO_STORY_HOUSE, KITCHEN, 4)
    assert session.evaluation("w1").verdict == "likely_non_bearing"
    return session


def test_what_non_bearing_rests_on_alone_is_looked_at_twice(under_rooms):
    """Found the same and certain, it is offered no more, and the wall is called so."""
    alone = to_offer(under_rooms, ())
    assert alone.mark == ONCE
    page = alone_page(under_rooms, alone)
    assert page.ask.startswith("Before kitchen is called likely non-bearing")
    assert "from the same outside wall" in page.why
    assert [c.value for c in page.choices] == [f"w1/{ABOVE}", LEAVE]
    answer_anew(under_rooms, alone.told[0], "none_within_4_ft", "certain", "")
    assert under_rooms.case.walls[0].answers[ABOVE].sure == "confirmed"
    assert to_offer(under_rooms, ()) is None
    assert under_rooms.evaluation("w1").verdict == "likely_non_bearing"


def test_a_wall_found_upstairs_at_the_second_look(under_rooms):
    """Then it is not called non-bearing."""
    answer_anew(under_rooms, to_offer(under_rooms, ()).told[0], "within_1_ft", "certain", "")
    assert under_rooms.evaluation("w1").verdict != "likely_non_bearing"
    assert ONCE not in {alone.mark for alone in stands_alone(under_rooms, "w1")}


def test_whoever_leaves_it_is_not_asked_again(under_rooms):
    assert to_offer(under_rooms, {ONCE}) is None


def test_a_wall_under_an_attic_alone_rests_on_no_such_look(full):
    session = told_all(full, TRUSS_HOUSE, KITCHEN)
    assert session.evaluation("w1").verdict == "likely_non_bearing"
    assert to_offer(session, ()) is None


PLATE = "wall_thickness"


@pytest.fixture
def not_known(full):
    """A wall with nothing in it, of whose thickness nobody knew: an old edge was not sought."""
    unknown = dict.fromkeys((PLATE, "outside_traces", "roof_both_sides"), "unknown")
    session = told_all(full, TRUSS_HOUSE | unknown, KITCHEN)
    assert session.evaluation("w1").verdict == "cannot_tell"
    return session


def test_what_was_not_known_and_would_settle_it_is_offered(not_known):
    """And nothing else that was not known; found out, it counts as it is told."""
    (alone,) = stands_alone(not_known, "w1")
    assert alone.mark == ("w1", f"unknown-{PLATE}")
    page = alone_page(not_known, alone)
    assert (
        page.ask == "You could not tell one thing that may settle kitchen. Can you look once more?"
    )
    asked = not_known.question(alone.told[0].step).entry.ask
    assert [(c.value, c.says) for c in page.choices] == [
        (f"w1/{PLATE}", asked), (LEAVE, "None of them now"),
    ]  # fmt: skip
    assert to_offer(not_known, {alone.mark}) is None
    answer_anew(not_known, alone.told[0], "4.5 in", "certain", "")
    assert not_known.case.walls[0].answers[PLATE].sure == "certain"
    assert not_known.evaluation("w1").verdict == "likely_non_bearing"


def test_still_not_known_is_no_second_word(not_known):
    answer_anew(not_known, to_offer(not_known, ()).told[0], "unknown", "certain", "")
    assert not_known.case.walls[0].answers[PLATE].sure == "certain"
    assert not_known.evaluation("w1").verdict == "cannot_tell"


def test_what_would_change_nothing_is_not_offered(full):
    """Where next to nothing is known, no one look would settle the wall."""
    session = Session(Planner(full), Case(reach=1, walls=(Wall("w1", "kitchen"),)))
    while session.step is not None:
        session.unknown()
    assert session.evaluation("w1").verdict == "cannot_tell"
    assert to_offer(session, ()) is None
