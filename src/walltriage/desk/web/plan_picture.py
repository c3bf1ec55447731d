"""The drawing to point at: as wide on the screen as it says, so that a click tells a place.

A picture that is a button sends where it was clicked, in pixels of the screen, and needs no script.
It is shown in one of :data:`SIZES`; the style sheet picks which.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from walltriage.case.plan import Plan
from walltriage.report.drawing import WIDTH, Dot, Label, PlanDrawing, Stroke
from walltriage.report.plan import PlanSheet, plan_drawing
from walltriage.report.plan_of_house import level_view
from walltriage.report.svg import svg

SIZES = (264, 330, 560)
"""Widths in pixels: for the narrowest screens, phones, and all others."""
Place = tuple[float, float]
_STYLE = (
    "<style>svg{color:#1c2529;--paper:#fbfaf5;font-family:system-ui,sans-serif}"
    "@media(prefers-color-scheme:dark){svg{color:#e7eae6;--paper:#1b2124}}</style>"
)


def drawing_of(plan: Plan, level: str, names: Mapping[str, str]) -> PlanDrawing | None:
    """One level, walls in question by their names; None while a size is missing."""
    view = level_view(plan, level, names)
    return None if view is None else plan_drawing(view)


def picture(plan: Plan, level: str, names: Mapping[str, str], marks: Sequence[Place]) -> str:
    """The drawing as an SVG file, with a mark at each place pointed at; KeyError for none."""
    view = level_view(plan, level, names)
    if view is None:
        raise KeyError(level)
    sheet, drawing = PlanSheet(view), plan_drawing(view)
    marked = [sheet.at((x, -y)) for x, y in marks]
    items = [*drawing.items]
    for x, y in marked:
        items += [
            Dot(x, y, 11, fill="paper", width=2.4), Stroke(x - 17, y, x + 17, y, 2),
            Stroke(x, y - 17, x, y + 17, 2), Label(x + 15, y - 12, "first", 14, "start", bold=True),
        ]  # fmt: skip
    text = svg(replace(drawing, items=tuple(items)))
    return text.replace(">", f">{_STYLE}", 1)


def heights(drawing: PlanDrawing) -> list[tuple[int, int]]:
    """Each size as (wide, high) in pixels."""
    return [(wide, round(wide * drawing.height / WIDTH)) for wide in SIZES]


def place_of(plan: Plan, level: str, wide: int, x: int, y: int) -> Place:
    """The place that was clicked, in inches from the front left corner; KeyError for no drawing."""
    view = level_view(plan, level, {})
    if view is None or wide not in SIZES:
        raise KeyError(level)
    right, down = PlanSheet(view).place(x * WIDTH / wide, y * WIDTH / wide)
    return right, -down
