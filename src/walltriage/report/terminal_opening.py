"""On a terminal: the elevation of each wall, and how to open those that are left open."""

from __future__ import annotations

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from walltriage.case.model import Case
from walltriage.inference.finding import Finding, WallFinding
from walltriage.inference.looks.opening_plan import NO_LOOKS, OpeningPlan, opening_plan
from walltriage.inference.seen_answers import wall_length_in
from walltriage.inference.triage import Triager
from walltriage.plaintext import printable
from walltriage.report.elevation import elevation_lines, told
from walltriage.report.opening_words import step_lines


def print_openings(console: Console, triager: Triager, case: Case, finding: Finding) -> None:
    """Print what was seen along each wall, and the plan of each wall that cannot be told."""
    for wall in finding.walls:
        _print_wall(console, triager, case, wall)


def _print_wall(console: Console, triager: Triager, case: Case, wall: WallFinding) -> None:
    rules = triager.base.seen_along
    if rules is None:
        return
    looks = case.wall(wall.id).looks
    answers = triager.answers(case, wall.id)
    plan = opening_plan(triager.base, wall, looks, answers)
    told_looks = looks or NO_LOOKS
    length_in = wall_length_in(rules, told_looks, answers)
    spots = next((o.spots_in for o in plan.openings if o.spots_in), ()) if plan else ()
    if looks is not None:
        ends = f"from {looks.zero_end}" + (f" to {looks.other_end}" if looks.other_end else "")
        _heading(console, f"Along {wall.name or wall.id}, {ends}")
        for line in elevation_lines(looks, length_in, spots):
            _line(console, line)
        for line in told(looks, length_in):
            _line(console, f"- {line}")
    if plan is not None:
        _print_plan(console, plan, wall.name or wall.id)


def _print_plan(console: Console, plan: OpeningPlan, name: str) -> None:
    _heading(console, f"How to open it up: {name}")
    _line(console, "First:")
    for caution in plan.first:
        _line(console, f"! {caution.says}", 2)
    for number, opening in enumerate(plan.openings, 1):
        _line(console, f"{number}. {opening.step.title}")
        for line in step_lines(opening, plan):
            _line(console, line, 4)


def _heading(console: Console, text: str) -> None:
    console.print()
    console.print(Text(printable(text), style="bold"))


def _line(console: Console, text: str, indent: int = 0) -> None:
    console.print(Padding(Text(printable(text)), (0, 0, 0, indent), expand=False))
