"""The counting itself, on numbers worked by hand."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from tests.published.scores import area_under_curve, leaning, point_estimate, score


def wall(verdict, middle, toward=None):
    """As much of a finding as the scores read."""
    told = toward and SimpleNamespace(toward=toward)
    return SimpleNamespace(verdict=verdict, middle=middle, leaning=told)


def test_area_counts_pairs():
    """Of six pairs four are won and one is even."""
    assert area_under_curve([0.9, 0.4, 0.3], [0.3, 0.35]) == pytest.approx(4.5 / 6)
    assert area_under_curve([0.2], [0.1]) == 1
    with pytest.raises(ValueError, match="both kinds"):
        area_under_curve([], [0.1])


def test_an_open_wall_leans_as_the_finding_says():
    """Toward one of the two, or neither way."""
    assert point_estimate(wall("cannot_tell", 0.25)) == 0.25
    assert leaning(wall("cannot_tell", 0.25, "bearing")) == "bears"
    assert leaning(wall("cannot_tell", 0.25, "non_bearing")) == "does_not_bear"
    assert leaning(wall("cannot_tell", 0.25, "none")) == "neither"
    assert leaning(wall("likely_bearing", 0.9)) == "neither"


def test_score_of_four_walls():
    """One right, one wrong, and of two open ones one leans the right way."""
    found = score(
        [
            ("bears", wall("likely_bearing", 0.99)),
            ("does_not_bear", wall("likely_bearing", 0.99)),
            ("bears", wall("cannot_tell", 0.73, "bearing")),
            ("does_not_bear", wall("cannot_tell", 0.6, "bearing")),
        ]
    )
    assert (found.walls, found.verdict_right, found.verdict_wrong) == (4, 1, 1)
    assert found.with_leaning_right == 2
    assert found.area == pytest.approx(2.5 / 4)
