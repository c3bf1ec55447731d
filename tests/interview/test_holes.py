"""A wall opened hole by hole as its plan says, at a terminal, and gone on with on another day."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.conftest import HERE
from tests.interview.person import Person
from walltriage.case.read import read_case
from walltriage.case.write import write_case

HOUSE = HERE / "demo_houses" / "18-lap-at-the-third-hole.yaml"
MOST_PAGES = 20
HOLE = "what do you see on the wall's top?"
OPEN = "Open wall between kitchen and dining room up, hole by hole"
SLOW = 60.0  # seconds until a whole finished case is read and shown


@pytest.fixture
def record(tmp_path, full):
    """A finished interview about a wall that only holes can settle."""
    case = read_case(HOUSE, full.base.questions)
    wall = replace(case.walls[0], looks=None)
    path = tmp_path / "house.yaml"
    write_case(path, replace(case, walls=(wall,), outcome=None))
    return path


@pytest.fixture
def resume(tmp_path, record):
    """Come back to the record, as far as the menu after the result."""
    started = []

    def begin() -> Person:
        one = Person(tmp_path, "--resume", str(record), rules=None)
        started.append(one)
        one.at_prompt(SLOW)
        to(one, "What next?")
        return one

    yield begin
    for one in started:
        one.child.close(force=True)


def to(one: Person, words: str) -> None:
    """Pass lists, results and cautions with Enter until a page says some words."""
    for _ in range(MOST_PAGES):
        if words in " ".join(one.shown.split()):
            return
        one.type("")
    raise AssertionError(f"'{words}' never came:\n{one.shown}")


def pick(one: Person, words: str) -> None:
    """Type the number of a line of the menu."""
    lines = [line.split(maxsplit=1) for line in one.shown.splitlines() if words in line]
    assert lines, one.shown
    one.type(lines[-1][0])


def looks(full, record):
    """What the record says was seen along the wall."""
    return read_case(record, full.base.questions).walls[0].looks


def to_the_first_hole(one: Person) -> None:
    pick(one, OPEN)
    to(one, "Name one end of the wall")
    one.type("the window end")
    one.type("the hall door")


def test_hole_after_hole_until_the_wall_is_settled(resume, record, full):
    """What to mind first, then each hole where the plan has it; a joist end ends it."""
    one = resume()
    assert "CANNOT TELL" in one.everything
    to_the_first_hole(one)
    told = " ".join(one.everything.split())
    assert "Cut only the drywall or plaster, no deeper." in told
    assert "Each hole: " in told
    assert told.index("Cut only the drywall") < told.index(HOLE)
    assert f"The hole at 6 in from the window end: {HOLE}" in " ".join(one.shown.split())
    pick(one, "One piece runs across the wall")
    assert [(look.place, look.from_in, look.saw) for look in looks(full, record).looks] == [
        ("hole", 6.0, "one_piece")
    ]
    pick(one, "A joist ends on the wall")
    assert "Did you see just that yourself, at this wall?" in " ".join(one.shown.split())
    assert len(looks(full, record).looks) == 1  # not before it is confirmed
    one.type("3")
    assert HOLE in " ".join(one.shown.split()).split("No, let me answer again")[-1]
    pick(one, "A joist ends on the wall")
    one.type("1")
    assert "LIKELY BEARING" in one.everything.split(HOLE)[-1]
    assert "What next?" in one.shown
    assert OPEN not in one.shown.split("What next?")[-1]  # no more holes in a bearing wall
    first, second = looks(full, record).looks
    assert first.from_in < second.from_in
    assert [found.what for found in second.found] == ["joist_end_or_lap"]


def test_stopped_there_and_gone_on_with_later(resume, record, full):
    """The holes made are kept, the ends are not asked for again, and none is made twice."""
    one = resume()
    to_the_first_hole(one)
    pick(one, "One piece runs across the wall")
    left = int(one.shown.split("Hole by hole: ")[-1].split()[0])
    one.last("q")
    again = resume()
    pick(again, OPEN)
    to(again, HOLE)
    assert "Name one end of the wall" not in again.everything
    shown = " ".join(again.shown.split())
    assert "The hole at 6 in" not in shown
    assert f"Hole by hole: {left} left at most." in shown
    pick(again, "Stop here")
    assert "So far, for" in again.everything
    assert len(looks(full, record).looks) == 1


def test_what_cannot_be_made_out_is_looked_at_again(resume, record, full):
    """It counts as nothing, and the hole stays open."""
    one = resume()
    to_the_first_hole(one)
    pick(one, "I can't make it out")
    assert "Make it a little larger" in one.everything
    assert f"The hole at 6 in from the window end: {HOLE}" in " ".join(one.shown.split())
    one.type("b")
    assert "What next?" in one.shown
    assert looks(full, record).looks == ()


def test_a_find_that_one_is_not_sure_of_is_a_guess(resume, record, full):
    """It does not settle the wall, and the walk goes on."""
    one = resume()
    to_the_first_hole(one)
    pick(one, "A joist ends on the wall")
    one.type("2")
    assert [look.sure for look in looks(full, record).looks] == ["guess"]
    assert "It bears there. Stop." not in one.everything
    assert "LIKELY BEARING" not in one.everything
