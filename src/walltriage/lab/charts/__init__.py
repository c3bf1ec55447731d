"""Charts of studies as plain SVG; each module draws one, ``pool`` joins runs for them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from walltriage.lab.charts.calibration import calibration_chart
from walltriage.lab.charts.misses import misses_chart
from walltriage.lab.charts.pool import pooled
from walltriage.lab.charts.questions import questions_chart
from walltriage.lab.charts.verdicts import verdicts_chart

CHARTS = {
    "calibration": calibration_chart,
    "verdicts": verdicts_chart,
    "misses": misses_chart,
    "questions": questions_chart,
}


def draw(found: Sequence[Mapping[str, Any]]) -> dict[str, str]:
    """Every chart by its name, as SVG, of what ``study --json`` gave for one or more runs."""
    runs = pooled(found)
    return {f"{name}.svg": chart(runs) for name, chart in CHARTS.items()}
