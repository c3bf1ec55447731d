"""Boosted trees run on a small batch, kinds of house left out, and in sample find more."""

from __future__ import annotations

import numpy as np
import pytest

pytest.importorskip("sklearn")

pytestmark = pytest.mark.extras

from tests import lab_trees  # noqa: E402
from walltriage.inference.columns.evaluator import ColumnEvaluator  # noqa: E402
from walltriage.lab.answers import answer_all, save_answers  # noqa: E402


@pytest.fixture(scope="module")
def small_batch(full):
    return answer_all(ColumnEvaluator(full.base), 41, range(220), "careful", "attic")


def test_kinds_left_out_are_told_by_trees_that_never_saw_them(small_batch):
    batch, truth = small_batch
    table = lab_trees.table_of(batch)
    outside = lab_trees.chances(table, truth, left_out=True)
    inside = lab_trees.chances(table, truth, left_out=False)
    for chance in (outside, inside):
        assert np.isfinite(chance).all()
        assert ((chance >= 0) & (chance <= 1)).all()
    gap = [c[truth.bears].mean() - c[~truth.bears].mean() for c in (outside, inside)]
    assert 0.1 < gap[0] < gap[1]


def test_the_command_prints_a_row(small_batch, full, tmp_path, capsys):
    coder = ColumnEvaluator(full.base).coder
    save_answers(tmp_path / "few.npz", coder, *small_batch, {"seed": 41})
    lab_trees.main([str(tmp_path / "few.npz")])
    rows = capsys.readouterr().out.splitlines()
    assert rows[-1].startswith("| few | ")
    assert rows[-1].count("%") == 2
