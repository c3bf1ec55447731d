"""The plan of one level as text: front at the bottom, as somebody in the street would see it.

Our own conventions, named in a legend below the drawing: outside walls heavy, walls in
question solid with their names, other walls thin.  Lines are at most :data:`WIDEST` wide; a
character is taken to be twice as high as wide.  ``ascii_only`` draws with ASCII alone.
"""

from __future__ import annotations

import textwrap
from collections.abc import Mapping

from walltriage.case.geometry import Layout
from walltriage.case.plan import Plan
from walltriage.language import say
from walltriage.plaintext import printable
from walltriage.report.plan_grid import MOST_ROWS, GridSheet
from walltriage.report.plan_words import level_title, level_words

WIDEST = 78
_ASCII = str.maketrans(
    {
        "━": "=", "┃": "|", "┏": "+", "┓": "+", "┗": "+", "┛": "+", "┣": "+", "┫": "+",
        "┳": "+", "┻": "+", "╋": "+", "▓": "#", "─": "-", "│": ":", "┼": "+", "·": ".", "■": "O",
        "┅": "~", "┇": "!", "↔": "x", "↕": "x",
    }
)  # fmt: skip
_LEGEND = (
    ("━┃", "━ ┃ outside wall"),
    ("▓", "▓ wall in question"),
    ("─│", "─ │ other wall"),
    ("·", "· ridge of the roof"),
    ("┅┇", "┅ ┇ beam"),
    ("■", "■ post"),
    ("/", "/ stair opening"),
    ("J", "<-> or ^ v: the way the joists run"),
)


def plan_text(
    plan: Plan,
    level: str,
    names: Mapping[str, str] | None = None,
    *,
    ascii_only: bool = False,
    most_rows: int = MOST_ROWS,
) -> str:
    """One level drawn, with sizes, legend, and the walls in words by their ``names``."""
    layout = Layout(plan)
    if not layout.parts_on(level):
        return say(
            "{level}: nothing to draw yet, no part has both its sizes.", level=level_title(level)
        )
    sheet = GridSheet(layout, level, most_rows)
    lines = sheet.lines()
    met = set("".join(lines)) | ({"J"} if sheet.joists else set())
    legend = [text for signs, text in _LEGEND if met & set(signs)]
    if any(wall.line.openings for wall in layout.walls_on(level)):
        legend.append(say("a gap in a wall: an opening"))
    words = [
        textwrap.fill(
            printable(line), WIDEST - 4, initial_indent="  ", subsequent_indent="      ",
            break_on_hyphens=False,
        )
        for line in level_words(layout, level, names or {})
    ]  # fmt: skip
    title = say("{level}, seen from above", level=printable(level_title(level)))
    text = "\n".join([title, "", *lines, "", *_folded(legend), *words])
    return text.translate(_ASCII) if ascii_only else text


def plan_texts(
    plan: Plan, names: Mapping[str, str] | None = None, *, ascii_only: bool = False
) -> str:
    """Every level that has something on it, the highest first."""
    drawn = [
        level
        for level in reversed(plan.levels)
        if any(line.level == level for line in (*plan.walls, *plan.beams))
        or any(post.level == level for post in plan.posts)
    ] or [plan.levels[-1]]
    return "\n\n".join(plan_text(plan, level, names, ascii_only=ascii_only) for level in drawn)


def _folded(items: list[str]) -> list[str]:
    lines = [""]
    for item in items:
        if len(lines[-1]) + len(item) > WIDEST - 4:
            lines.append("")
        lines[-1] += ("   " if lines[-1] else "") + item
    return [f"  {line}" for line in lines if line]
