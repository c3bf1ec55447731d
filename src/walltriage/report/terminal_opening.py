"""On a terminal: the elevation of each wall, and how to open those that are left open."""

from __future__ import annotations

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from walltriage.case.looks import WallLooks
from walltriage.inference.finding import Finding, OpeningPlan, WallFinding
from walltriage.plaintext import printable
from walltriage.report.elevation import elevation_lines, told
from walltriage.report.opening_words import spots_of, step_lines


def print_openings(console: Console, finding: Finding) -> None:
    """Print what was seen along each wall, and the plan of each wall that cannot be told."""
    for wall in finding.walls:
        looks = finding.given.wall(wall.id).looks
        if looks is not None:
            _print_seen(console, wall, looks)
        if wall.opening is not None:
            _print_plan(console, wall.opening, wall.name or wall.id)


def _print_seen(console: Console, wall: WallFinding, looks: WallLooks) -> None:
    ends = f"from {looks.zero_end}" + (f" to {looks.other_end}" if looks.other_end else "")
    _heading(console, f"Along {wall.name or wall.id}, {ends}")
    for line in elevation_lines(looks, wall.length_in, spots_of(wall.opening)):
        _line(console, line)
    for line in told(looks, wall.length_in):
        _line(console, f"- {line}")


def _print_plan(console: Console, plan: OpeningPlan, name: str) -> None:
    _heading(console, f"How to open it up: {name}")
    _line(console, "First:")
    for caution in plan.first:
        _line(console, f"! {caution}", 2)
    for number, step in enumerate(plan.steps, 1):
        _line(console, f"{number}. {step.title}")
        for line in step_lines(step, plan):
            _line(console, line, 4)


def _heading(console: Console, text: str) -> None:
    console.print()
    console.print(Text(printable(text), style="bold"))


def _line(console: Console, text: str, indent: int = 0) -> None:
    console.print(Padding(Text(printable(text)), (0, 0, 0, indent), expand=False))
