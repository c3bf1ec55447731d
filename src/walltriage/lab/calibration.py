"""How well stated chances agree with what was so: slope, intercept, curve, Brier score."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np

LEAST_CHANCE = 1e-6
EDGES_DB = (-60.0, -40, -30, -25, -20, -15, -10, -5, 0, 5, 10, 15, 20, 60)
_ROUNDS = 60


@dataclass(frozen=True, slots=True)
class CalibrationBin:
    """One stretch of the log-odds scale: edges in decibans, count, mean stated, share that bore."""

    low_db: float
    high_db: float
    walls: int
    stated: float
    bore: float


@dataclass(frozen=True, slots=True)
class Calibration:
    """Logistic recalibration of stated chances.  1 and 0 are perfect slope and intercept."""

    slope: float
    intercept: float
    brier: float
    observed_over_expected: float
    bins: tuple[CalibrationBin, ...]


def point_chance(low: np.ndarray, high: np.ndarray) -> np.ndarray:
    """One chance (n,) from the posterior bounds (n, p) of the paths that bear.

    Each path's bounds are met in the middle of the log-odds scale and the paths taken as
    independent.  The program itself never says this number: its bounds assume no independence,
    and a sum that stands at 1 tells nothing about calibration.
    """
    middle = 1 / (1 + np.exp(-(log_odds(low) + log_odds(high)) / 2))
    none: np.ndarray = np.prod(1 - middle, axis=1)
    return 1 - none


def log_odds(chance: np.ndarray) -> np.ndarray:
    """Natural log-odds, kept finite."""
    kept = np.clip(chance, LEAST_CHANCE, 1 - LEAST_CHANCE)
    odds: np.ndarray = np.log(kept) - np.log1p(-kept)
    return odds


def logistic(x: np.ndarray, y: np.ndarray) -> tuple[float, float]:
    """Slope and intercept of the logistic regression of y (0 or 1) on x, by Newton's method.

    NaN for both when all of y are alike, for then there is none.
    """
    y = y.astype(float)
    if not 0 < y.mean() < 1 or np.ptp(x) == 0:
        return float("nan"), float("nan")
    design = np.column_stack([x, np.ones_like(x)])
    weights = np.zeros(2)
    for _ in range(_ROUNDS):
        chance = 1 / (1 + np.exp(-np.clip(design @ weights, -35, 35)))
        spread = chance * (1 - chance)
        hessian = design.T @ (design * spread[:, None]) + 1e-9 * np.eye(2)
        step = np.linalg.solve(hessian, design.T @ (y - chance))
        weights = weights + np.clip(step, -2, 2)
        if np.abs(step).max() < 1e-10:
            break
    return float(weights[0]), float(weights[1])


def calibrate(chance: np.ndarray, bore: np.ndarray) -> Calibration:
    """Compare stated chances (n,) with the truth (n,)."""
    odds = log_odds(chance)
    slope, intercept = logistic(odds, bore)
    scale = odds * 10 / np.log(10)
    bins = []
    for low, high in itertools.pairwise(EDGES_DB):
        here = (scale >= low) & (scale < high)
        if here.any():
            bins.append(
                CalibrationBin(low, high, int(here.sum()), float(chance[here].mean()),
                    float(bore[here].mean()))
            )  # fmt: skip
    expected = float(chance.sum())
    return Calibration(
        slope, intercept, float(np.mean((chance - bore) ** 2)),
        float(bore.sum()) / expected if expected else float("nan"), tuple(bins),
    )  # fmt: skip
