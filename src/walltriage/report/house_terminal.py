"""The house as a whole on a terminal: its plan, what its lines collect, what if walls went."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.console import Console
from rich.table import Table
from rich.text import Text

from walltriage.case.model import Case
from walltriage.inference.finding import Finding
from walltriage.plaintext import printable
from walltriage.report import words
from walltriage.report.plan_terminal import plan_texts

if TYPE_CHECKING:
    from walltriage.inference.what_if import Removal

TOGETHER_WORDS = {
    "carries": (
        "AT LEAST ONE OF THEM PROBABLY CARRIES",
        "None of this without a licensed engineer's design for what carries the load instead.",
    ),
    "open": (
        "CANNOT BE TOLD FOR THE SET",
        "At least one of the walls cannot be told, so the set cannot either.",
    ),
    "not_together": (
        "NO CLEAR ANSWER FOR THE SET",
        "Each wall alone is likely non-bearing, but not all of them together. "
        "A licensed engineer has to look at the set.",
    ),
    "non_bearing_together": (
        "LIKELY NON-BEARING, ALONE AND TOGETHER",
        "Nothing found speaks against the set. All that is said of each wall still holds; show "
        "this to whoever looks at the house before work begins.",
    ),
}


def print_plan(console: Console, case: Case) -> None:
    """The plan of a case, if it has one; never wrapped."""
    if case.plan is None or not case.plan.parts:
        return
    ascii_only = (console.encoding or "").lower() in ("ascii", "us-ascii", "ansi_x3.4-1968")
    for line in plan_texts(case.plan, ascii_only=ascii_only).split("\n"):
        console.print(Text(line), no_wrap=True, overflow="crop", crop=False)
    console.print()


def print_house(console: Console, finding: Finding) -> None:
    """Needed lines, collected loads and findings of the whole house."""
    if finding.house is None:
        return
    lines, findings = finding.house["lines"], finding.house["findings"]
    if not (lines or findings):
        return
    _say(console, "The house as a whole (preliminary: for an engineer to check)", "bold")
    for text in (*lines, *findings):
        _item(console, text)
    for text in finding.house["assumed"]:
        _item(console, f"assumed: {text}")
    _say(console)


def print_removal(console: Console, removal: Removal) -> None:
    """What if these walls went together."""
    title, meaning = TOGETHER_WORDS[removal.together]
    _say(console, "If these went together: " + ", ".join(removal.walls), "bold")
    _say(console, title, "bold")
    _say(console, meaning)
    for wall in removal.walls:
        now = words.VERDICT_WORDS[removal.alone[wall]].lower()
        then = words.VERDICT_WORDS[removal.others_gone[wall]].lower()
        others = f"; with the others gone: {then}" if len(removal.walls) > 1 else ""
        _item(console, f"{wall}, as it stands: {now}{others}")
    for text in removal.reasons:
        _item(console, text, "!")
    lines = (*removal.numbers["lines"], *removal.numbers["findings"])
    if lines:
        _say(console)
        _say(console, removal.numbers["note"], "bold")
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
