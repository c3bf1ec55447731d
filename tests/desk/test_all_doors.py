"""A person gets the same answer in a browser, at a terminal, from a file and in a batch."""

from __future__ import annotations

import pytest

from tests.desk.all_doors import doors_differ, random_person
from tests.inference.both_doors import Count
from walltriage.inference.columns.evaluator import ColumnEvaluator

pytestmark = pytest.mark.extras


def test_random_people(full, desk):
    """Few here; as a command it takes any number."""
    columns, count = ColumnEvaluator(full.base), Count()
    for seed in (0, 1, 2, 151):  # the last has a page of several things about its second wall
        person = random_person(full, seed)
        assert list(doors_differ(full, columns, desk, person, count)) == []
    assert count.walls >= 4
