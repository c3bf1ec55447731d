"""A power cut at some moment: nothing accepted is lost, nothing is left lying about."""

from __future__ import annotations

from tests.kill import run
from walltriage.interview.autosave import Keeper

TIMES = 12  # of each kind at least one; python -m tests.kill makes a thousand


def test_kills_at_random_moments():
    done, wrong = run(TIMES, seed=3)
    assert set(done) == {"interview", "plan entry", "batch", "report"}
    assert wrong == []


def test_the_watch_sees_an_answer_that_is_lost(monkeypatch):
    """A program that keeps the first few only is found out."""
    save, calls = Keeper.save, []

    def forgets(keeper, case):
        calls.append(case)
        if len(calls) <= 4:
            save(keeper, case)

    monkeypatch.setattr(Keeper, "save", forgets)
    _, wrong = run(5, seed=3)
    assert any("are gone from" in told for told in wrong), wrong
