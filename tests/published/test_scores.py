"""The counting itself, on numbers worked by hand."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from tests.published.scores import area_under_curve, leaning, point_estimate, score


def wall(verdict, low, high, toward=None):
    """As much of a finding as the scores read."""
    leaning = None if toward is None else SimpleNamespace(toward=toward)
    return SimpleNamespace(verdict=verdict, probability=(low, high), leaning=leaning)


def test_area_counts_pairs():
    """Of six pairs four are won and one is even."""
    assert area_under_curve([0.9, 0.4, 0.3], [0.3, 0.35]) == pytest.approx(4.5 / 6)
    assert area_under_curve([0.2], [0.1]) == 1
    with pytest.raises(ValueError, match="both kinds"):
        area_under_curve([], [0.1])


def test_middle_of_an_interval():
    """Geometric, and never zero."""
    assert point_estimate(wall("cannot_tell", 0.25, 1.0)) == pytest.approx(0.5)
    assert point_estimate(wall("cannot_tell", 0.0, 1.0)) == pytest.approx(1e-3)
    assert leaning(wall("cannot_tell", 0.25, 1.0, "bearing")) == "bears"
    assert leaning(wall("cannot_tell", 0.24, 1.0, "non_bearing")) == "does_not_bear"
    assert leaning(wall("cannot_tell", 0.24, 1.0, "none")) == "none"


def test_score_of_four_walls():
    """One right, one wrong, and of two open ones one leans the right way."""
    found = score(
        [
            ("bears", wall("likely_bearing", 0.99, 1.0)),
            ("does_not_bear", wall("likely_bearing", 0.99, 1.0)),
            ("bears", wall("cannot_tell", 0.6, 0.9, "bearing")),
            ("does_not_bear", wall("cannot_tell", 0.4, 0.9, "bearing")),
        ]
    )
    assert (found.walls, found.verdict_right, found.verdict_wrong) == (4, 1, 1)
    assert found.with_leaning_right == 2
    assert found.area == pytest.approx(2.5 / 4)
