"""What an engineer's mark on an attic photo mends, and what it cannot."""

from __future__ import annotations

import pytest

from walltriage.case.model import OUT_OF_REACH
from walltriage.lab import checked
from walltriage.lab.checked import Checked, lines, study_checked
from walltriage.lab.findings import found
from walltriage.lab.house.build import build_house, generator
from walltriage.lab.parameters import parameters
from walltriage.lab.reporter import Person

KINDS = ("stick_centre_line", "stick_hall_pair", "truss_plain", "hip_stick")


@pytest.fixture
def clear_photos(monkeypatch):
    """Every photo shows what was asked, and the engineer never misreads one."""
    monkeypatch.setattr(checked, "SHOWN", 1.0)
    monkeypatch.setitem(parameters()["reporters"]["careful"], "seen", 0.0)


def people(full, wrong_place):
    """Usual people with and without an engineer, at the same walls with the same draws."""
    parameters()["reporters"]["usual"]["wrong_place"] = wrong_place
    questions = list(full.base.questions.values())
    for index in range(40):
        house = build_house(KINDS[index % len(KINDS)], 61, index)
        wall = house.wall(house.subject)
        given = ("usual", house, wall)
        alone = Person(*given, generator(61, index, "person usual"), len(questions), 2)
        marked = Checked(*given, generator(61, index, "person usual"), len(questions), 2,
                         generator(61, index, "engineer"))  # fmt: skip
        yield alone, marked, questions


@pytest.fixture
def usual(monkeypatch):
    """Lets a test change one number of the usual people."""
    preset = parameters()["reporters"]["usual"]
    monkeypatch.setitem(preset, "wrong_place", preset["wrong_place"])


def is_marked(question):
    entry = question.entry
    return (question.place, entry.kind, entry.answer) == ("attic", "seen", "choice")


def test_only_what_was_seen_from_the_attic_is_marked(full, clear_photos, usual):
    """All other answers stay the person's own, draw for draw."""
    changed = 0
    for alone, marked, questions in people(full, 0.03):
        for column, question in enumerate(questions):
            if question.entry.kind == "computed":
                continue
            told, counts = alone.answer(question, column), marked.answer(question, column)
            if not is_marked(question):
                assert counts == told, question.id
            changed += counts.value != told.value
    assert changed > 20


def test_from_the_right_place_a_clear_photo_tells_what_is_there(full, clear_photos, usual):
    for _, marked, questions in people(full, 0.0):
        for column, question in enumerate(questions):
            if is_marked(question):
                there = found(marked._scene, question)
                if isinstance(there, str) and there != OUT_OF_REACH:
                    assert marked.answer(question, column).value == there


def test_a_photo_of_the_wrong_place_stays_one(full, clear_photos, usual):
    """Nobody can read from a picture that it shows the next wall over."""
    wrong = 0
    for _, marked, questions in people(full, 1e9):
        for column, question in enumerate(questions):
            if is_marked(question) and "attic" in marked._lost and marked._other is not None:
                here, taken_for = (found(s, question) for s in (marked._scene, marked._other))
                if isinstance(taken_for, str) and taken_for not in (here, OUT_OF_REACH):
                    assert marked.answer(question, column).value == taken_for
                    wrong += 1
    assert wrong > 20


def test_where_no_photo_shows_it_the_word_stands(full, monkeypatch, usual):
    monkeypatch.setattr(checked, "SHOWN", 0.0)
    for alone, marked, questions in people(full, 0.03):
        for column, question in enumerate(questions):
            if question.entry.kind != "computed":
                assert marked.answer(question, column) == alone.answer(question, column)


def test_the_study_has_a_row_for_each_kind_of_people(full):
    told = study_checked(full.base, 60, 61, "attic", "equal")
    names = ["usual", "usual, photos checked", "usual, the same as certain", "careful", "perfect"]
    assert list(told["people"]) == names
    assert {row["missed"]["of"] for row in told["people"].values()} == {
        told["people"]["usual"]["missed"]["of"]
    }
    text = list(lines(told))
    assert [line.split("  ")[0] for line in (row.strip() for row in text[1:6])] == names
