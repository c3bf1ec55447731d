"""Boosted trees run on a small batch, kinds of house left out, and in sample find more."""

from __future__ import annotations

import numpy as np
import pytest

pytest.importorskip("sklearn")

pytestmark = pytest.mark.extras

from tests import lab_trees  # noqa: E402
from walltriage.inference.columns.evaluator import ColumnEvaluator  # noqa: E402
from walltriage.lab.answers import Truth, answer_all, save_answers  # noqa: E402
from walltriage.lab.house.truth import PATHS  # noqa: E402


@pytest.fixture(scope="module")
def evaluator(full):
    return ColumnEvaluator(full.base)


@pytest.fixture(scope="module")
def small_batch(evaluator):
    return answer_all(evaluator, 41, range(220), "careful", "attic")


def test_kinds_left_out_are_told_by_trees_that_never_saw_them(small_batch):
    batch, truth = small_batch
    table = lab_trees.table_of(batch)
    outside = lab_trees.chances(table, truth.bears, truth.kind, left_out=True)
    inside = lab_trees.chances(table, truth.bears, truth.kind, left_out=False)
    for chance in (outside, inside):
        assert np.isfinite(chance).all()
        assert ((chance >= 0) & (chance <= 1)).all()
    gap = [c[truth.bears].mean() - c[~truth.bears].mean() for c in (outside, inside)]
    assert 0.1 < gap[0] < gap[1]


def test_a_cut_keeps_to_each_share():
    score = np.concatenate([np.linspace(0.5, 1, 100), np.linspace(0, 1, 1000)])
    first, second = np.arange(1100) < 100, np.arange(1100) >= 600
    assert lab_trees.under_cut(score, (first, 0.0)).sum() == pytest.approx(500, abs=1)
    under = lab_trees.under_cut(score, (first, 0.5))
    assert (under & first).sum() == 50
    # The second row, whose lowest is at 0.5 too, lets less pass than the first.
    both = lab_trees.under_cut(score, (first, 0.5), (second, 0.01))
    assert (both & second).sum() == 5
    assert both.sum() < under.sum()
    none = np.zeros(1100, bool)
    assert (lab_trees.under_cut(score, (first, 0.5), (none, 0.01)) == under).all()


def test_what_was_called_non_bearing_is_counted_by_hand():
    paths = np.zeros((6, len(PATHS)), bool)
    paths[0, PATHS.index("framing_above")] = True
    paths[1, PATHS.index("bracing")] = True
    seen = np.array([1, 1, 1, 1, 1, 0], bool)
    truth = Truth(paths, np.full(6, "a"), np.zeros(6, bool), seen)
    cell = lab_trees.told(np.array([1, 1, 1, 0, 0, 1], bool), truth)
    assert (cell.recognized, cell.missed, cell.braces) == (2 / 4, 1, 1)


def test_the_command_puts_seeds_together(small_batch, evaluator, tmp_path, capsys):
    for seed in (41, 42):
        save_answers(tmp_path / f"few{seed}.npz", evaluator.coder, *small_batch, {"seed": seed})
    lab_trees.main([str(tmp_path / f"few{seed}.npz") for seed in (41, 42)])
    rows = capsys.readouterr().out.splitlines()
    assert len(rows) == 3
    bear = int(small_batch[1].bears.sum())
    assert rows[-1].startswith(f"| few, 440 walls, {2 * bear} bear, ")
    assert rows[-1].count("%") == 4
