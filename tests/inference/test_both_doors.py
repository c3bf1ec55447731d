"""A wall gets the same answer whichever door it comes in by."""

from __future__ import annotations

import pytest

from tests.inference.both_doors import Count, differences, random_block, shipped_blocks
from walltriage.inference.columns.evaluator import ColumnEvaluator


@pytest.fixture(scope="module")
def columns(full):
    return ColumnEvaluator(full.base)


def test_shipped_cases(full, columns):
    """Every case and transcript that is shipped, those with plans of three levels included."""
    count = Count()
    assert differences(full, columns, shipped_blocks(), count) == []
    assert count.refused == 0
    assert count.with_plan >= 12


def test_random_cases(full, columns):
    """Random cases, a third of them with plans; ``both_doors`` as a command tries 5,000."""
    count = Count()
    made = [random_block(full.base, seed) for seed in range(210)]
    assert differences(full, columns, made, count) == []
    assert count.with_plan >= 50
