"""A power cut at some moment: nothing accepted is lost, nothing is left lying about."""

from __future__ import annotations

from tests.kill import KINDS, run

KILLS = 8  # of each kind at least one; python -m tests.kill makes a thousand


def test_kills_at_random_moments():
    done, wrong = run(KILLS, seed=3)
    assert set(done) == set(KINDS)
    assert wrong == []
