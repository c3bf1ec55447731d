"""Near misses: the same help from few names and from hundreds."""

from __future__ import annotations

import pytest

from walltriage.errors import FEW_NAMES, Problem, did_you_mean

MANY = [f"question_{i}_{word}" for i in range(60) for word in ("run", "end", "below")]


@pytest.mark.parametrize(
    ("word", "meant"),
    [
        ("question_7_rum", "question_7_run"),
        ("question_7_runn", "question_7_run"),
        ("qestion_31_below", "question_31_below"),
        ("below_question_12", "question_12_below"),
    ],
)
def test_a_slip_among_many(word, meant):
    """One wrong, missing or doubled letter, or parts in another order."""
    assert len(MANY) > FEW_NAMES
    assert did_you_mean(word, MANY) == f" (did you mean '{meant}'?)"


def test_nothing_near_is_told_as_nothing():
    """A word like none of them gets no suggestion, among few or many."""
    assert did_you_mean("xyzzy", MANY) == ""
    assert did_you_mean("xyzzy", MANY[:3]) == ""
    assert did_you_mean("anything", []) == ""


def test_few_names_are_all_compared():
    """Among few names a word may be further off."""
    assert did_you_mean("joist_runs_way", ["joists_run", "wall_below"]) == (
        " (did you mean 'joists_run'?)"
    )


def test_what_somebody_wrote_is_told_short_and_harmless():
    """A message stays one short line however long or strange the words it repeats."""
    told = str(Problem("a.yaml", 1, 2, f"unknown question '{'y' * 100_000}\x1b[31m\n'", "look"))
    assert told.startswith("a.yaml:1:2: unknown question 'yyy")
    assert told.endswith(r"y\x1b[31m '; look")
    assert len(told) < 500


def test_a_word_of_any_length_is_looked_up_at_once():
    """A name of a million letters is near nothing."""
    assert did_you_mean("y" * 1_000_000, MANY) == ""
