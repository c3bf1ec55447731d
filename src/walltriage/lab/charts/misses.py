"""Bearing walls called non-bearing, kind of house by kind of house, with exact bounds."""

from __future__ import annotations

import math
from collections.abc import Sequence

from walltriage.lab.charts.pool import Run
from walltriage.lab.charts.svg import (
    EDGE,
    GOAL,
    GRID,
    REPORTER_COLOURS,
    SOFT,
    WIDTH,
    Chart,
    percent,
)
from walltriage.lab.exact import upper

LEFT, TOP, ROW, BETWEEN = 196, 84, 16, 22
TICKS = (0.0001, 0.001, 0.01, 0.1)
LOW, HIGH = 0.00003, 0.3
GOALS = {"usual": 0.001, "poor": 0.01}  # 95 % bound in each kind, fixed before the held-out runs


def misses_chart(runs: Sequence[Run]) -> str:
    """One panel for each reporter, one row for each kind of house, the worst first."""
    worst: dict[str, float] = {}
    for run in runs:
        for name, (missed, bearing) in run.kinds.items():
            if bearing:
                worst[name] = max(worst.get(name, 0.0), missed / bearing)
    names = sorted(worst, key=lambda name: (-worst[name], name))
    foot = TOP + ROW * len(names)
    drawing = Chart(
        "Bearing walls called non-bearing, by kind of house", foot + 74 + 14 * len(runs)
    )
    for row, name in enumerate(names):
        y = TOP + ROW * row + 12
        drawing.text(LEFT - 8, y, name.replace("_", " "), size=11, anchor="end")
    wide = (WIDTH - LEFT - EDGE - BETWEEN * (len(runs) - 1)) / len(runs)
    for index, run in enumerate(runs):
        _panel(drawing, run, names, LEFT + index * (wide + BETWEEN), wide)
    drawing.note([
        "Bars end at the exact one-sided 95 % bound; a dot is a rate, none is drawn for no miss. "
        "Red: goal for the bound.",
        *(run.source for run in runs),
        "With so many kinds, one alone may pass its bound by luck. Simulated houses only. "
        "No field rate is known.",
    ])  # fmt: skip
    return drawing.svg()


def _panel(drawing: Chart, run: Run, names: Sequence[str], left: float, wide: float) -> None:
    colour, foot = REPORTER_COLOURS[run.reporter], TOP + ROW * len(names)
    drawing.text(left, 52, f"{run.reporter} reporter", colour=colour, bold=True)
    for tick in TICKS:
        x = left + wide * _place(tick)
        drawing.line(x, TOP, x, foot, colour=GRID)
        drawing.text(x, TOP - 6, percent(tick), size=10, anchor="middle", colour=SOFT)
    if run.reporter in GOALS:
        x = left + wide * _place(GOALS[run.reporter])
        drawing.line(x, TOP, x, foot, colour=GOAL, wide=1.5, dash="4 3")
    for row, name in enumerate(names):
        missed, bearing = run.kinds.get(name, (0, 0))
        if not bearing:
            continue
        y = TOP + ROW * row + 8
        drawing.line(
            left, y, left + wide * _place(upper(missed, bearing)), y, colour=colour, wide=2
        )
        if missed:
            drawing.dot(left + wide * _place(missed / bearing), y, colour)


def _place(share: float) -> float:
    kept = min(max(share, LOW), HIGH)
    return math.log(kept / LOW) / math.log(HIGH / LOW)
