"""Measures of results beside the truth, on results made by hand."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest

from walltriage.inference.columns.evaluator import ColumnEvaluator
from walltriage.lab.all_answers import lines, study
from walltriage.lab.answers import Truth
from walltriage.lab.house.truth import PATHS
from walltriage.lab.measures import BEARING, NON_BEARING, leaning, measure, middle
from walltriage.lab.run import generator_version


@pytest.fixture(scope="module")
def made(full):
    """Eight walls: four bear by framing, four do not, one of those braces."""
    evaluator = ColumnEvaluator(full.base)
    result = evaluator.evaluate(evaluator.coder.empty(8))
    paths = np.zeros((8, len(PATHS)), bool)
    paths[:4, PATHS.index("framing_above")] = True
    paths[7, PATHS.index("bracing")] = True
    verdict = np.array(
        [NON_BEARING, BEARING, BEARING, 0, NON_BEARING, NON_BEARING, BEARING, NON_BEARING]
    )
    truth = Truth(
        paths, np.array(["a"] * 6 + ["b"] * 2), np.arange(8) < 1,
        np.array([1, 1, 0, 0, 1, 0, 0, 1], bool),
    )  # fmt: skip
    return replace(result, verdict=verdict.astype(np.uint8)), truth


def test_counts_by_hand(made):
    found = measure(*made)
    assert (found["missed"]["count"], found["missed"]["of"]) == (1, 4)
    # Clopper and Pearson, one-sided: 1 of 4 at 95 % is 0.7514 (binomial tables)
    assert found["missed"]["bound95"] == pytest.approx(0.7514, abs=1e-4)
    assert (found["missed_hall_twins"]["count"], found["missed_hall_twins"]["of"]) == (1, 1)
    assert found["missed_by_path"]["framing_above"]["count"] == 1
    assert found["missed_by_path"]["perimeter"]["of"] == 0
    assert found["nonbearing_recognised"] == 3 / 4
    assert found["nonbearing_recognised_where_seen"] == 1.0
    assert found["bearing_recognised"] == 2 / 4
    assert found["bearing_precision"] == 2 / 3
    assert found["nonbearing_called_bearing"] == 1 / 4
    assert found["wrong_among_nonbearing"] == 1 / 4
    assert found["bracing_only_called_nonbearing"] == {"count": 1, "of": 1}


def test_leaning_counts_open_walls_once(made):
    result, truth = made
    rows = leaning(middle(result), truth.bears, result.verdict == 0)
    assert sum(row["walls"] for row in rows) == 1
    chance = np.array([0.0, 0.005, 0.02, 0.5, 0.9, 1.0])
    bore = np.array([0, 0, 1, 1, 1, 1], bool)
    rows = leaning(chance, bore, np.ones(6, bool))
    assert [row["walls"] for row in rows] == [2, 1, 0, 0, 1, 0, 2]
    assert [row["bore"] for row in rows] == [0.0, 1.0, None, None, 1.0, None, 1.0]


def test_study_of_all_answers_is_told_whole(full):
    found = study(full.base, 30, 3, "perfect", "attic", "stock")
    json.dumps(found)
    text = "\n".join(lines(found))
    assert "missed of bearing walls: " in text
    assert found["generator"] == generator_version()
    kinds = found["missed_by_kind"].values()
    assert sum(row["of"] for row in kinds) == found["missed"]["of"] > 0
    assert sum(row["walls"] for row in found["leaning"]) <= found["walls"] == 30
    assert found == study(full.base, 30, 3, "perfect", "attic", "stock")
