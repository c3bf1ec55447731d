"""A second look mends slips; only measuring the place again mends a wrong place."""

from __future__ import annotations

import numpy as np
import pytest

from walltriage.lab import reporter
from walltriage.lab.house.build import build_house, generator
from walltriage.lab.parameters import parameters
from walltriage.lab.reporter import Person
from walltriage.lab.second_look import second_look


@pytest.fixture
def lost(monkeypatch):
    """Usual people of whom every second one stands at the wrong place, and nothing else errs."""
    usual = parameters()["reporters"]["usual"]
    for name, value in {"wrong_place": 0.5, "person_spread": 0.0, "seen": 0.0,
                        "topic_misread": 0.0, "dont_know": 0.0}.items():  # fmt: skip
        monkeypatch.setitem(usual, name, value)
    monkeypatch.setitem(usual, "finds_place", {"marked": 0.0, "by_own_pipe": 0.0, "by_eye": 1.0})


def test_the_wrong_place_stays_wrong_until_it_is_measured(full, lost):
    worth = second_look(full.base, 61, 600, "usual")
    assert worth.once > 10
    assert worth.same == worth.once
    assert worth.measured < 0.3 * worth.once


def test_slips_are_drawn_anew(full, lost, monkeypatch):
    usual = parameters()["reporters"]["usual"]
    monkeypatch.setitem(usual, "wrong_place", 0.0)
    monkeypatch.setitem(usual, "seen", 0.55)
    monkeypatch.setattr(reporter, "ADJACENT", 0.0)
    worth = second_look(full.base, 61, 600, "usual")
    assert worth.once > 10
    assert 0 < worth.same < 0.8 * worth.once


def test_perfect_people_never_tell_a_loaded_top_clear(full):
    worth = second_look(full.base, 61, 120, "perfect")
    assert worth.told > 20
    assert worth.once == 0


def test_a_second_look_leaves_the_first_as_it_was(full):
    house = build_house("stick_centre_line", 3, 1)
    questions = list(full.base.questions.values())
    rng = generator(3, 1, "person usual")
    person = Person("usual", house, house.wall(house.subject), rng, len(questions))
    before = [person.answer(q, c) for c, q in enumerate(questions) if q.entry.kind != "computed"]
    person.look_again(np.random.default_rng(1), measured=True)
    after = [person.answer(q, c) for c, q in enumerate(questions) if q.entry.kind != "computed"]
    assert before == after
