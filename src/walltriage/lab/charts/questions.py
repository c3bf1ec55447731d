"""Questions asked for each wall that was decided, against a fixed and a random order."""

from __future__ import annotations

from collections.abc import Sequence

from walltriage.lab.charts.pool import Run
from walltriage.lab.charts.svg import EDGE, REPORTER_COLOURS, SOFT, WIDTH, Chart

LEFT, TOP, ROW, HIGH = 200, 60, 26, 18
ROOM = WIDTH - LEFT - EDGE - 60
WORDS = {"planner": "as the program asks", "fixed": "fixed order", "random": "random order"}
FADED = {"planner": 1.0, "fixed": 0.55, "random": 0.3}


def questions_chart(runs: Sequence[Run]) -> str:
    """Three bars for each reporter."""
    height = TOP + len(runs) * (len(WORDS) * ROW + 34) + 50 + 14 * len(runs)
    drawing = Chart("Questions asked for each wall decided", height)
    most = max((n for run in runs for n in run.questions.values() if n is not None), default=1.0)
    y = float(TOP)
    for run in runs:
        drawing.text(EDGE, y, f"{run.reporter} reporter", bold=True)
        y += 10
        for order, words in WORDS.items():
            number = run.questions[order]
            drawing.text(LEFT - 8, y + 14, words, anchor="end")
            if number is None:
                drawing.text(LEFT, y + 14, "no wall decided", colour=SOFT)
            else:
                wide = ROOM * number / most
                colour = _fade(REPORTER_COLOURS[run.reporter], FADED[order])
                drawing.bar(LEFT, y, wide, HIGH, colour)
                drawing.text(LEFT + wide + 6, y + 14, f"{number:.0f}")
            y += ROW
        y += 24
    drawing.note([
        "All questions asked, of walls that stayed undecided too, over the walls called bearing "
        "or non-bearing.",
        "The three orders are compared on the first 2,000 walls of each seed.",
        *(run.source for run in runs), "Simulated houses only. No field rate is known.",
    ])  # fmt: skip
    return drawing.svg()


def _fade(colour: str, share: float) -> str:
    """A colour mixed with white."""
    parts = [int(colour[i : i + 2], 16) for i in (1, 3, 5)]
    return "#" + "".join(f"{round(255 - (255 - part) * share):02x}" for part in parts)
