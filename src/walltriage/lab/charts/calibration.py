"""Stated chances against what was so, on log-odds axes."""

from __future__ import annotations

from collections.abc import Sequence

from walltriage.lab.charts.pool import PooledBin, Run
from walltriage.lab.charts.svg import (
    EDGE,
    GRID,
    REPORTER_COLOURS,
    SOFT,
    Chart,
    log_odds_db,
    percent,
)
from walltriage.lab.exact import upper

SIZE, LEFT, TOP = 560, 92, 64
TICKS = (0.0001, 0.001, 0.01, 0.1, 0.5, 0.9, 0.99)
LOW, HIGH = log_odds_db(0.00005), log_odds_db(0.998)


def calibration_chart(runs: Sequence[Run]) -> str:
    """A point for each stretch of stated chances, with its exact bounds, for each reporter."""
    height = TOP + SIZE + 84 + 14 * len(runs)
    drawing = Chart("Calibration: of walls with a stated chance, how many bore", height)
    for tick in TICKS:
        x, y = _across(tick), _up(tick)
        drawing.line(x, TOP, x, TOP + SIZE, colour=GRID)
        drawing.line(LEFT, y, LEFT + SIZE, y, colour=GRID)
        drawing.text(x, TOP + SIZE + 16, percent(tick), size=11, anchor="middle")
        drawing.text(LEFT - 6, y + 4, percent(tick), size=11, anchor="end")
    drawing.line(LEFT, TOP + SIZE, LEFT + SIZE, TOP, colour=SOFT, dash="5 4")
    drawing.text(
        LEFT + SIZE - 12, TOP + SIZE - 14, "on the dashed line, as many bore as was stated",
        size=11, anchor="end", colour=SOFT,
    )  # fmt: skip
    drawing.text(LEFT + SIZE / 2, TOP + SIZE + 36, "chance stated", anchor="middle")
    drawing.text(EDGE, TOP - 14, "share that bore")
    for index, run in enumerate(runs):
        colour = REPORTER_COLOURS[run.reporter]
        shift = 4.0 * (index - (len(runs) - 1) / 2)  # so that bounds do not hide each other
        for stretch in run.curve:
            _point(drawing, stretch, shift, colour)
        drawing.dot(LEFT + 20, TOP + 16 + 18 * index, colour)
        drawing.text(LEFT + 32, TOP + 20 + 18 * index, f"{run.reporter} reporter", colour=colour)
    drawing.note([
        "Bars: exact 95 % bounds, one-sided each way. Hollow: none bore, or all did.",
        *(run.source for run in runs), "Simulated houses only. No field rate is known.",
    ])  # fmt: skip
    return drawing.svg()


def _point(drawing: Chart, stretch: PooledBin, shift: float, colour: str) -> None:
    x = _across(stretch.stated) + shift
    most = upper(stretch.bore, stretch.walls)
    least = 1 - upper(stretch.walls - stretch.bore, stretch.walls)
    drawing.line(x, _up(least), x, _up(most), colour=colour, wide=1.5)
    edge = stretch.bore in (0, stretch.walls)
    drawing.dot(x, _up(stretch.bore / stretch.walls), colour, hollow=edge)


def _share_of_scale(chance: float) -> float:
    kept = min(max(chance, 1e-9), 1 - 1e-9)
    return min(max((log_odds_db(kept) - LOW) / (HIGH - LOW), 0.0), 1.0)


def _across(chance: float) -> float:
    return LEFT + SIZE * _share_of_scale(chance)


def _up(chance: float) -> float:
    return TOP + SIZE * (1 - _share_of_scale(chance))
