"""One interview on terminals of two sizes, without color, in ASCII, and line by line for a reader.

A screen reader speaks what is printed, in the order in which it is: so nothing may be redrawn or
moved, and each question has to be printed before its answers, these before what may be typed.
"""

from __future__ import annotations

import re

import pytest

from tests.interview.person import Person

# From the first page into the rooms, over pages of one answer, of several, of a number, of words.
TYPED = (
    "1",
    "2",
    "Elm Street",
    "2",
    "0",
    "1962",
    "kitchen to hall",
    "h",
    "0",
    "1",
    "w",
    "2 4?",
    "b",
    "0",
)
COLOR = re.compile(rb"\x1b\[[0-9;]*[1-9]m")
MOVES = re.compile(rb"\x1b\[[0-9;]*[ABCDHJKf]")


def held(tmp_path, *options, **more):
    """Everything that was printed while these lines were typed, and the person."""
    person = Person(tmp_path, *options, rules=None, **more)
    try:
        pages = [person.at_prompt(), *(person.type(line) for line in TYPED)]
    finally:
        person.child.close(force=True)
    return person, pages


@pytest.mark.parametrize("size", [(24, 80), (40, 120)])
def test_a_page_fits_and_its_question_is_in_sight(tmp_path, size):
    """Nothing is cut, no line is longer than people like to read, the question stays on screen."""
    person, pages = held(tmp_path, size=size)
    text = person.everything
    assert "What is true of the house?" in " ".join(text.split())
    assert all(len(line) <= 80 for line in text.split("\n"))
    for page in pages[5:]:
        below = page.rpartition("\n > ")[2] if page.count("\n > ") else page
        assert "?" in below or "Type" in below, page


def test_without_color(tmp_path):
    """Nothing is told by color alone; with NO_COLOR there is none."""
    person, _ = held(tmp_path, NO_COLOR="1")
    assert not COLOR.search(person.raw.replace(b"\x1b[1m", b""))
    assert "Go down this list." in person.everything


def test_in_ascii(tmp_path):
    """Every byte, drawings included, on a terminal that has nothing else."""
    person, _ = held(tmp_path, "--ascii")
    assert "What is true of" in person.everything
    assert person.raw.decode("ascii")


def test_line_by_line(tmp_path):
    """On a plain terminal no control sequence at all: what a screen reader is given, in order."""
    person, pages = held(tmp_path, TERM="dumb")
    assert b"\x1b" not in person.raw
    assert not MOVES.search(person.raw)
    told = " ".join(person.everything.split())
    order = ["The house: what you know.", "What is true of the house?", "1 It shares a wall",
             "0 None of these: a single-family house", "d I don't know", "Type the numbers of all",
             "w why I ask"]  # fmt: skip
    told = told[told.index(order[0]) :]
    places = [told.index(words) for words in order]
    assert places == sorted(places)
    assert pages[-1].rstrip().endswith(">")
