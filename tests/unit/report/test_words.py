"""Chances in words: never a bare number, never the same bound twice."""

from __future__ import annotations

import pytest

from walltriage.report.words import interval_words


@pytest.mark.parametrize(
    ("interval", "says"),
    [
        ((0.2, 0.4), "between 20 in 100 and 40 in 100"),
        ((0.0101, 0.0104), "about 1 in 100"),
        ((0.0003, 0.002), "between 3 in 10,000 and 2 in 1,000"),
        ((0.00001, 0.00002), "fewer than 1 in 10,000"),
        ((0.99, 0.9999), "at least 99 in 100"),
        ((0.996, 0.9999), "more than 99 in 100"),
        ((0.5, 0.9999), "between 50 in 100 and more than 99 in 100"),
    ],
)
def test_interval(interval, says):
    """Both bounds in one phrase."""
    assert interval_words(interval) == says
