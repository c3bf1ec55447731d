"""The house as a whole on a terminal: its plan, what its lines collect, what if walls went."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from rich.console import Console
from rich.table import Table
from rich.text import Text

from walltriage.case.model import Case
from walltriage.inference.finding import Finding
from walltriage.language import say
from walltriage.plaintext import printable
from walltriage.report import house_words
from walltriage.report.metric import in_measure_of
from walltriage.report.parts import DEEPEST
from walltriage.report.subject import Request
from walltriage.report.terminal import print_finding

if TYPE_CHECKING:
    from walltriage.inference.numbers.removal import Removal


def print_result(console: Console, request: Request) -> None:
    """The result of a case: behind the first page with what holds for the house, and the plan
    with everything there is."""
    finding = request.finding
    if request.depth >= DEEPEST:
        print_plan(console, finding.given)
    taken = 0
    if request.depth > 1:
        house = Console(file=io.StringIO(), width=console.width)
        print_house(house, finding)
        taken = house.file.getvalue().count("\n")  # type: ignore[attr-defined]
    print_finding(console, request, taken)
    if request.depth > 1:
        print_house(console, finding)


def print_plan(console: Console, case: Case) -> None:
    """The plan of a case, if it has one; never wrapped."""
    if case.plan is None or not case.plan.parts:
        return
    from walltriage.report.plan_terminal import plan_texts

    ascii_only = (console.encoding or "").lower() in ("ascii", "us-ascii", "ansi_x3.4-1968")
    names = {wall.id: wall.name for wall in case.walls}
    for line in plan_texts(case.plan, names, ascii_only=ascii_only).split("\n"):
        console.print(Text(line), no_wrap=True, overflow="crop", crop=False)
    console.print()


def print_house(console: Console, finding: Finding) -> None:
    """Needed lines, collected loads and findings of the whole house."""
    lines = in_measure_of(finding.given, house_words.house_lines(finding))
    if lines:
        _say(console, f"{say(house_words.HOUSE_TITLE)}. {say(house_words.HOUSE_NOTE)}", "bold")
        for text in lines:
            _item(console, text)
        _say(console)


def print_removal(console: Console, removal: Removal, case: Case) -> None:
    """What if these walls of a case went together."""
    title, meaning = house_words.TOGETHER_WORDS[removal.together]
    _say(console, house_words.removal_title(removal), "bold")
    _say(console, title, "bold")
    _say(console, meaning)
    for text in house_words.removal_verdicts(removal):
        _item(console, text)
    for text in in_measure_of(case, removal.reasons):
        _item(console, text, "!")
    lines = in_measure_of(case, house_words.removal_numbers(removal, case.role))
    if lines:
        _say(console)
        _say(console, removal.numbers.note, "bold")
        for text in lines:
            _item(console, text)
    _say(console)


def _say(console: Console, text: str = "", style: str = "") -> None:
    console.print(Text(printable(text), style=style))


def _item(console: Console, text: str, mark: str = "-") -> None:
    grid = Table.grid(padding=(0, 1))
    grid.add_column(width=2, no_wrap=True, justify="right")
    grid.add_column(ratio=1)
    grid.add_row(Text(mark), Text(printable(text)))
    console.print(grid)
