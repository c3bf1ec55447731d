"""The counting itself, on numbers worked by hand."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from tests.published.scores import area_under_curve, leaning, point_estimate, score


def wall(verdict, middle):
    """As much of a finding as the scores read."""
    return SimpleNamespace(verdict=verdict, middle=middle)


def test_area_counts_pairs():
    """Of six pairs four are won and one is even."""
    assert area_under_curve([0.9, 0.4, 0.3], [0.3, 0.35]) == pytest.approx(4.5 / 6)
    assert area_under_curve([0.2], [0.1]) == 1
    with pytest.raises(ValueError, match="both kinds"):
        area_under_curve([], [0.1])


def test_an_open_wall_leans_by_its_middle():
    """From one in two on it leans toward bearing."""
    assert point_estimate(wall("cannot_tell", 0.25)) == 0.25
    assert leaning(wall("cannot_tell", 0.5)) == "bears"
    assert leaning(wall("cannot_tell", 0.49)) == "does_not_bear"


def test_score_of_four_walls():
    """One right, one wrong, and of two open ones one leans the right way."""
    found = score(
        [
            ("bears", wall("likely_bearing", 0.99)),
            ("does_not_bear", wall("likely_bearing", 0.99)),
            ("bears", wall("cannot_tell", 0.73)),
            ("does_not_bear", wall("cannot_tell", 0.6)),
        ]
    )
    assert (found.walls, found.verdict_right, found.verdict_wrong) == (4, 1, 1)
    assert found.with_leaning_right == 2
    assert found.area == pytest.approx(2.5 / 4)
