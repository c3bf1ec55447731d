"""What would settle a wall is looked at once more, with its drawing, before it counts."""

from __future__ import annotations

import pytest

from tests.interview.answering import PLAIN_HOUSE, Answering
from tests.interview.person import Person, saved_path
from tests.interview.test_shipped_rules import question_on
from walltriage.case.read import read_case

ASKED = "Did you see just that yourself, at this wall?"
# Rafters, and ceiling joists that lap on the wall.
LAPS = PLAIN_HOUSE | {"attic_joists_at_wall": "end_or_lap", "wall_top": "board_ends"}


@pytest.fixture
def at_the_sign(tmp_path, full):
    """Somebody in the attic who has just said that joists end on the wall."""
    person = Person(tmp_path, rules=None)
    answering = Answering(full.base, LAPS)
    for line in ("1", "3", "14 Elm", "2"):
        person.type(line)
    for _ in range(50):
        if ASKED in " ".join(person.shown.split()):
            break
        if "What do you call it?" in person.shown:
            person.type("kitchen")
        elif "How was the place marked?" in person.shown:
            person.type("2")
        else:
            line = answering.typed_on(person.shown)
            person.type(line or answering.typed(question_on(person, full.base)))
    yield person
    person.child.close(force=True)


def answer_of(person, full):
    """What the record says of the two looks at the wall's top."""
    (wall,) = read_case(saved_path(person.everything), full.base.questions).walls
    return wall.answers.get("wall_top") or wall.answers.get("attic_joists_at_wall")


def test_a_drawing_and_one_plain_question(at_the_sign):
    shown = at_the_sign.shown
    assert ASKED in " ".join(shown.split())
    assert "══" in shown
    assert len(shown.split("\n")) <= 24


def test_yes_counts(at_the_sign, full):
    at_the_sign.type("1")
    at_the_sign.last("q")
    assert answer_of(at_the_sign, full).sure == "confirmed"


def test_not_sure_is_a_guess(at_the_sign, full):
    """And a guess settles nothing."""
    at_the_sign.type("2")
    at_the_sign.last("q")
    assert answer_of(at_the_sign, full).sure == "guess"


@pytest.mark.parametrize("line", ["3", "b"])
def test_no_asks_again(at_the_sign, full, line):
    """The question is back, with what was said before."""
    shown = at_the_sign.type(line)
    assert "Before, you said" in " ".join(shown.split())


def test_stopping_there_leaves_it_out(at_the_sign, full):
    """What was not confirmed is not in the record."""
    at_the_sign.last("q")
    assert answer_of(at_the_sign, full) is None
