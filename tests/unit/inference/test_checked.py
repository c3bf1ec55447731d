"""Checked by a professional: above certain, with a reliability of its own, from the desk only."""

from __future__ import annotations

import numpy as np
import pytest

from walltriage.case.model import CHECKED, DEGREES, SURENESS, SUREST_FIRST, Answer, least_sure
from walltriage.case.read import read_case
from walltriage.inference.columns.evaluator import ColumnEvaluator


def test_a_professional_is_trusted_more_in_every_kind(full):
    """Above certain, which stands above fairly and guess."""
    reliability = full.base.guards.reliability
    for kind in reliability.kinds:
        shares = [reliability.trust(kind, sure) for sure in SUREST_FIRST]
        assert shares == sorted(shares, reverse=True)
        assert shares[0] < 1


def test_the_least_sure_of_several_by_rank_and_not_by_code():
    """A code is a place in a list; checked stands last there and is the surest all the same."""
    assert least_sure((CHECKED, "certain")) == "certain"
    assert least_sure((CHECKED, "guess", "fairly")) == "guess"
    assert least_sure(()) == "certain"
    assert DEGREES[0] == SURENESS[0] == "certain"


@pytest.mark.parametrize("sure", DEGREES)
def test_one_wall_and_columns_agree_at_every_degree(full, sure):
    """Same intervals through the engine and through columns, to the last bit."""
    columns = ColumnEvaluator(full.base)
    given = [
        {q.id: Answer(value, None, value, sure)}
        for q in full.base.questions.values()
        if q.entry.answer == "choice" and q.entry.kind == "seen" and q.place == "attic"
        for value in q.values
    ]
    many = columns.evaluate(columns.coder.encode(given))
    for row, answers in enumerate(given):
        one = full.evaluator.evaluate(answers).beliefs
        assert np.isclose(many.upper[row], one.measures["upper"][0], rtol=0, atol=1e-12)


def test_written_by_hand_it_is_certain(full, tmp_path):
    """Only the desk says who checked."""
    file = tmp_path / "case.yaml"
    file.write_text(
        "schema: walltriage/case/1\nwalls:\n  - id: w1\n    answers:\n"
        "      wall_top: {value: clear_all_along, sure: checked, by: anybody}\n"
    )
    assert read_case(file, full.base.questions).walls[0].answers["wall_top"].sure == "certain"
