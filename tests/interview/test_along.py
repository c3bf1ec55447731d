"""What is asked along a wall at a terminal: its place marked with a tape, then hole after hole."""

from __future__ import annotations

import pytest

from tests.interview.answering import PLAIN_HOUSE, Answering
from tests.interview.person import Person
from walltriage.case.model import Case, Wall
from walltriage.case.read import read_case
from walltriage.case.write import write_case
from walltriage.inference.looks.glance import picked_by
from walltriage.interview.planner import Planner
from walltriage.interview.session import Session

HOUSE = PLAIN_HOUSE | {
    "house_history": "none_of_these", "house_exposure": "none_of_these",
    "house_movement": "none_of_these", "round_the_wall": "none_of_these",
    "attic_round": "none_of_these", "wall_top": "clear_all_along", "wall_height": "reaches_ceiling",
}  # fmt: skip


@pytest.fixture
def over_the_wall(full, tmp_path):
    """Somebody in the attic who is asked what is so over the wall's line."""
    answering = Answering(full.base, HOUSE)
    session = Session(Planner(full), Case(role="trade", reach=2, walls=(Wall("w1", "hall"),)))
    while session.page is None or session.page.glance.id != "over_wall":
        assert session.step is not None
        if session.page is not None:
            session.answer_page(picked_by(session.page, answering.answer))
        else:
            session.answer(answering.value(session.question(session.step)))
    path = tmp_path / "hall.yaml"
    write_case(path, session.case)
    person = Person(tmp_path, "--resume", str(path), rules=None)
    assert "Go to the wall's line in the attic." in person.at_prompt()
    yield person, path
    person.child.close(force=True)


def spot(full, path):
    return read_case(path, full.base.questions).wall("w1")


def test_measured_from_two_walls(over_the_wall, full):
    """Distances that agree are kept with the wall, and the place counts as marked."""
    person, path = over_the_wall
    shown = person.type("1 3")
    assert "How was the place marked?" in shown
    for line in ("1", "the window end", "the hall door", "street side", "12 ft", "12 ft 1 in",
                 "left side", "20 ft"):  # fmt: skip
        person.type(line)
    person.type("20 ft")
    assert "Below and above agree: the place is marked." in person.everything
    wall = spot(full, path)
    assert (wall.looks.zero_end, wall.looks.other_end) == ("the window end", "the hall door")
    assert [mark.from_wall for mark in wall.looks.marked] == ["street side", "left side"]
    assert wall.answers["attic_spot"].sure == "certain"


def test_distances_that_differ_are_told_and_measured_again(over_the_wall):
    """Somebody may have stood over another wall."""
    person, _ = over_the_wall
    person.type("1 3")
    for line in ("1", "window", "door", "street side", "12 ft", "15 ft", "left side", "20 ft"):
        person.type(line)
    shown = " ".join(person.type("20 ft").split())
    assert "12 ft below, 15 ft above. You may have stood over another wall." in shown
    assert "Outside wall 1 of 2: which one?" in shown


def test_some_other_way_counts_for_less(over_the_wall, full):
    """No distances, no taps: fairly sure at most."""
    person, path = over_the_wall
    person.type("1 3")
    person.type("3")
    assert spot(full, path).answers["attic_spot"].sure == "fairly"


def test_back_from_how_it_was_marked_is_back_on_the_page(over_the_wall, full):
    """Nothing of the page is taken as said."""
    person, path = over_the_wall
    person.type("1 3")
    assert "Go to the wall's line in the attic." in person.type("b")
    assert "attic_spot" not in spot(full, path).answers
