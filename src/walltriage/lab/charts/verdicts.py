"""What was said of bearing walls and of others, by reporter; "cannot tell" is never left out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from walltriage.lab.charts.pool import VERDICTS, Run
from walltriage.lab.charts.svg import (
    EDGE,
    SOFT,
    VERDICT_COLOURS,
    WIDTH,
    Chart,
    percent,
)
from walltriage.lab.exact import upper

LEFT, ROOM, HIGH, GAP, TOP = 178, WIDTH - 178 - EDGE, 24, 58, 78
LEAST_LABELLED = 0.06  # a narrower piece has no room for its figure
WORDS = {"bears": "walls that bear", "does_not": "walls that do not"}


def verdicts_chart(runs: Sequence[Run]) -> str:
    """Two bars for each reporter."""
    height = TOP + len(runs) * (2 * GAP + 20) + 26 + 14 * len(runs)
    drawing = Chart("What was said, by truth and reporter", height)
    x = float(LEFT)
    for verdict in VERDICTS:
        drawing.bar(x, 40, 13, 13, VERDICT_COLOURS[verdict])
        drawing.text(x + 19, 51, verdict.replace("_", " ").replace("non bearing", "non-bearing"))
        x += 160
    y = float(TOP)
    for run in runs:
        drawing.text(EDGE, y + 10, f"{run.reporter} reporter", bold=True)
        y += 18
        for truth, words in WORDS.items():
            drawing.text(LEFT - 8, y + 16, words, anchor="end")
            _bar(drawing, run.verdicts[truth], y)
            y += GAP - 8
        y += 18
    notes = [run.source for run in runs]
    drawing.note([*notes, "Simulated houses only. No field rate is known."])
    return drawing.svg()


def _bar(drawing: Chart, row: Mapping[str, int], y: float) -> None:
    whole = sum(row.values())
    x = float(LEFT)
    for verdict in VERDICTS:
        share = row[verdict] / whole if whole else 0.0
        drawing.bar(x, y, ROOM * share, HIGH, VERDICT_COLOURS[verdict])
        if share >= LEAST_LABELLED:
            ink = "#222222" if verdict == "cannot_tell" else "white"
            middle = x + ROOM * share / 2
            drawing.text(middle, y + 16, f"{share:.0%}", anchor="middle", colour=ink)
        x += ROOM * share
    said = row["likely_non_bearing"]
    drawing.text(
        LEFT, y + HIGH + 13, f"{said:,} of {whole:,} called likely non-bearing "
        f"({percent(said / whole) if whole else 'none'}; 95 % bound {percent(upper(said, whole))})",
        size=11, colour=SOFT,
    )  # fmt: skip
