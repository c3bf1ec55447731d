"""Lengths that do not fit their question: told with what would do."""

from __future__ import annotations

import pytest

from walltriage.case.answers import AnswerError, make_answer


def test_a_thickness_without_a_unit_is_told_to_be_in_inches(full):
    """Four and a half feet of wall are refused; that inches may be meant is said."""
    question = full.base.questions["wall_thickness"]
    with pytest.raises(AnswerError, match="for inches, type 4 1/2 in"):
        make_answer("wall_thickness", question, "4 1/2")
    assert make_answer("wall_thickness", question, "4 1/2 in").number == 4.5


def test_what_would_not_fit_in_inches_either_is_told_the_range_alone(full):
    """Nobody is sent from one number that does not fit to another."""
    with pytest.raises(AnswerError) as caught:
        make_answer("wall_thickness", full.base.questions["wall_thickness"], "90")
    assert "for inches" not in str(caught.value)
