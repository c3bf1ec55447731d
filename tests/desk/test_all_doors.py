"""A person gets the same answer in a browser, at a terminal, from a file and in a batch."""

from __future__ import annotations

import pytest

from tests.desk.all_doors import DoorCount, doors_differ, held_up_person, random_person
from walltriage.inference.columns.evaluator import ColumnEvaluator

pytestmark = pytest.mark.extras


def test_random_people(full, desk):
    """Few here; as a command it takes any number."""
    columns, count = ColumnEvaluator(full.base), DoorCount()
    for seed in (0, 1, 2, 151):  # the last has a page of several things about its second wall
        person = random_person(full, seed)
        assert list(doors_differ(full, columns, desk, person, count)) == []
    assert count.walls >= 4


def test_people_who_take_a_second_look(full, desk):
    """At what alone is in the way of "non-bearing": found the same, something else, or left."""
    columns, count = ColumnEvaluator(full.base), DoorCount()
    for seed in (0, 2, 5, 11):
        person = held_up_person(full, seed)
        assert list(doors_differ(full, columns, desk, person, count)) == []
    assert count.second_looks >= 4
