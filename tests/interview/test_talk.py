"""A result at any moment, a note beside an answer, walls renamed, and help at every prompt."""

from __future__ import annotations

import pytest

from tests.interview.person import Person, saved_path
from walltriage.case.read import read_case


@pytest.fixture
def person(tmp_path):
    """Somebody at the first question about the house."""
    person = Person(tmp_path)
    for line in ("1", "3", "14 Elm", "kitchen"):
        person.type(line)
    yield person
    person.child.close(force=True)


def test_leaving_shows_the_result_so_far(person):
    """Verdict, what it hangs on and a look, though nothing was finished."""
    person.type("1")
    told = person.last("q")
    assert "So far, for" in told
    assert "CANNOT TELL WITHOUT OPENING UP" in told
    assert "It hangs on:" in told
    assert person.status == 0


def test_the_result_is_shown_and_the_question_asked_again(person):
    """r tells and goes on."""
    person.type("1")
    shown = person.type("r")
    assert "So far, for" in person.everything
    assert shown.rstrip().endswith(">")


def test_a_note_stands_beside_the_answer(person, tmp_path, small):
    """With the name of a photo's file; it is in the record."""
    person.type("n")
    person.type("see IMG_12.jpg")
    person.type("1")
    person.last("q")
    path = saved_path(person.everything)
    case = read_case(path, small.base.questions)
    answers = [*case.house.values(), *(a for wall in case.walls for a in wall.answers.values())]
    assert [a.note for a in answers] == ["see IMG_12.jpg"]


def test_a_wall_is_renamed_by_a_number_on_the_list(person):
    """The list says which number; one wall alone can be renamed, and not dropped."""
    person.type("1")
    shown = person.type("l")
    (row,) = [line for line in shown.splitlines() if "Rename the wall" in line]
    assert "kitchen" in row
    assert "What should the wall be called?" in person.type(row.split()[0])
    assert "pantry" in person.type("pantry")


def test_who_is_asking_is_kept_by_enter_when_it_is_looked_at_again(person, tmp_path, small):
    """And from the first of these pages one goes back with nothing changed."""
    shown = person.type("l")
    (row,) = [line for line in shown.splitlines() if "Who is asking" in line]
    number = row.split()[0]
    shown = person.type(number)
    assert "Press Enter to keep that" in " ".join(shown.split())
    assert "Your answers" in person.type("b")
    for line in (number, "", "", "9 Oak"):
        person.type(line)
    person.last("q")
    case = read_case(saved_path(person.everything), small.base.questions)
    assert (case.role, case.reach, case.name) == ("buyer", 2, "9 Oak")


def test_a_dropped_wall_is_gone_and_the_other_goes_on(person, small):
    """With all that was said of it, in the record too; the one that is left keeps its name."""
    while "What next?" not in person.shown:
        asked = " ".join(person.shown.split())[-300:]
        person.type("" if "Enter for the result" in asked else "d")
    (row,) = [line for line in person.shown.splitlines() if "another wall" in line.lower()]
    person.type(row.split()[0])
    person.type("pantry")
    shown = person.type("l")
    (row,) = [line for line in shown.splitlines() if "Rename or drop a wall" in line]
    for line in (row.split()[0], "1", "2"):
        person.type(line)
    shown = person.type("2")
    after = shown.partition("Dropped: kitchen.")[2]
    assert "Your answers" in after  # and nothing is asked of the other's name
    assert "What should the wall be called?" not in after
    person.type("")
    case = read_case(saved_path(person.last("q")), small.base.questions)
    assert [wall.name for wall in case.walls] == ["pantry"]
    assert {step.subject for step in case.asked} <= {"house", case.walls[0].id}
