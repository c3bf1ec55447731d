"""Bounds against published values and a statistics library; calibration against another."""

from __future__ import annotations

import math

import numpy as np
import pytest

from walltriage.lab.calibration import calibrate, log_odds, logistic, point_chance
from walltriage.lab.exact import at_most, order_statistic, upper

# one-sided 95 % Clopper-Pearson bounds, percent, by misses of 300, 3,000, 10,000, 100,000 walls
KNOWN = {
    300: (0.99, 1.57, 2.08, 2.56),
    3_000: (0.100, 0.158, 0.210, 0.258),
    10_000: (0.030, 0.047, 0.063, 0.078),
    100_000: (0.0030, 0.0047, 0.0063, 0.0078),
}


@pytest.mark.parametrize(("walls", "bounds"), KNOWN.items())
def test_bounds_agree_with_the_table(walls, bounds):
    """Zero to three misses."""
    for misses, percent in enumerate(bounds):
        places = 4 if walls == 100_000 else 3 if walls > 300 else 2
        assert round(100 * upper(misses, walls), places) == pytest.approx(percent, abs=10**-places)


def test_zero_misses_by_the_closed_form():
    """1 - 0.05^(1/n), and no failure among nothing refutes nothing."""
    assert upper(0, 59) == pytest.approx(1 - 0.05 ** (1 / 59))
    assert upper(0, 0) == 1.0
    assert upper(7, 7) == 1.0
    with pytest.raises(ValueError, match="not a share"):
        upper(3, 2)


def test_binomial_sums_to_one():
    """Against the plain sum of small cases."""
    plain = sum(math.comb(12, k) * 0.3**k * 0.7 ** (12 - k) for k in range(5))
    assert at_most(4, 12, 0.3) == pytest.approx(plain)
    assert at_most(12, 12, 0.3) == 1.0
    assert at_most(-1, 12, 0.3) == 0.0


@pytest.mark.extras
def test_bounds_agree_with_scipy():
    """The beta quantile of another library."""
    beta = pytest.importorskip("scipy.stats").beta
    draw = np.random.default_rng(1)
    for _ in range(200):
        of = int(draw.integers(1, 20_000))
        count = int(draw.integers(0, of))
        expected = beta.ppf(0.95, count + 1, of - count)
        assert upper(count, of) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize(("scores", "k"), [(2_994, 0), (2_995, 1), (10_000, 5), (20_000, 13)])
def test_order_statistic(scores, k):
    """The rank that bounds one miss in a thousand with 95 % confidence."""
    assert order_statistic(scores, 0.001) == k


def test_order_statistic_keeps_its_promise():
    """In nine of ten draws and more, the cut lets through no more than was promised."""
    draw = np.random.default_rng(3)
    scores = np.sort(draw.random((400, 1_000)), axis=1)
    cuts = scores[:, order_statistic(1_000, 0.01) - 1]  # the scores are uniform: cut = share
    assert np.mean(cuts > 0.01) <= 0.075


def test_perfect_chances_have_slope_one():
    """Truth drawn from the stated chances."""
    draw = np.random.default_rng(5)
    chance = 1 / (1 + np.exp(-draw.normal(-1, 2, 40_000)))
    found = calibrate(chance, draw.random(40_000) < chance)
    assert found.slope == pytest.approx(1, abs=0.05)
    assert found.intercept == pytest.approx(0, abs=0.05)
    assert found.observed_over_expected == pytest.approx(1, abs=0.03)
    assert sum(b.walls for b in found.bins) == 40_000


def test_boasting_chances_have_slope_a_half():
    """Log-odds stated twice as far from even."""
    draw = np.random.default_rng(6)
    true = draw.normal(0, 1.5, 40_000)
    bore = draw.random(40_000) < 1 / (1 + np.exp(-true))
    found = calibrate(1 / (1 + np.exp(-2 * true)), bore)
    assert found.slope == pytest.approx(0.5, abs=0.03)


def test_one_sided_truth_has_no_slope():
    """Nothing to fit when all bore."""
    assert all(map(math.isnan, logistic(np.arange(4.0), np.ones(4))))


def test_one_chance_from_the_bounds_of_the_paths():
    """Paths at even odds in the middle of their bounds, taken as independent."""
    low, high = np.array([[0.1, 0.2], [0.0, 0.0]]), np.array([[0.9, 0.8], [0.0, 1.0]])
    found = point_chance(low, high)
    assert found == pytest.approx([0.75, 0.5], abs=1e-5)
    assert np.isfinite(log_odds(np.array([0.0, 1.0]))).all()


@pytest.mark.extras
@pytest.mark.filterwarnings("ignore")  # the other library's own
def test_slope_agrees_with_scikit_learn():
    """Logistic regression and Brier score of an outside library."""
    linear = pytest.importorskip("sklearn.linear_model")
    metrics = pytest.importorskip("sklearn.metrics")
    draw = np.random.default_rng(8)
    chance = 1 / (1 + np.exp(-draw.normal(-2, 2, 5_000)))
    bore = draw.random(5_000) < chance**1.2
    model = linear.LogisticRegression(C=np.inf, tol=1e-10, max_iter=1_000)
    model.fit(log_odds(chance)[:, None], bore)
    found = calibrate(chance, bore)
    assert found.slope == pytest.approx(model.coef_[0, 0], rel=1e-4)
    assert found.intercept == pytest.approx(model.intercept_[0], abs=1e-4)
    assert found.brier == pytest.approx(metrics.brier_score_loss(bore, chance), rel=1e-9)
