"""How an answer is kept as it was given."""

from __future__ import annotations

import pytest

from walltriage.case.answers import make_answer


@pytest.mark.parametrize(
    ("typed", "kept"),
    [("12.5", "12.5 ft"), ("12 1/2", "12 1/2 ft"), ("12 ft 6", "12 ft 6"), (12.5, "12.5 ft")],
)
def test_a_bare_length_is_kept_with_its_unit(full, typed, kept):
    """A report that repeats it must not leave the reader to guess."""
    question = full.base.questions["distance_one_side"]
    answer = make_answer("distance_one_side", question, typed)
    assert (answer.given, answer.number) == (kept, 150.0)
