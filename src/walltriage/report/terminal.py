"""The result on a terminal, at three depths; linear text that a screen reader can follow."""

from __future__ import annotations

import os
import sys
from typing import TextIO

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from walltriage.case.model import Role
from walltriage.inference.finding import Finding, PathFinding, WallFinding
from walltriage.plaintext import printable
from walltriage.report import words
from walltriage.report.number_words import number_findings, number_lines, number_steps
from walltriage.report.reasons import LEAST_SHOWN_DB, MOST_REASONS, weighed, weight

RULE_WIDTH = 72
_STYLE = {
    "likely_bearing": "bold red",
    "likely_non_bearing": "bold green",
    "cannot_tell": "bold yellow",
}


def make_console(file: TextIO | None = None, width: int | None = None) -> Console:
    """A console that never reads markup, emoji codes or numbers out of people's text."""
    stream = file or sys.stdout
    plain = bool(os.environ.get("NO_COLOR")) or not stream.isatty()
    return Console(
        file=stream,
        width=width,
        markup=False,
        emoji=False,
        highlight=False,
        no_color=plain or None,
        force_terminal=False if plain else None,
        soft_wrap=False,
    )


def print_finding(
    console: Console,
    finding: Finding,
    depth: int = 1,
    audience: Role = "buyer",
) -> None:
    """Print every wall of a finding; depth 1 reasons, 2 all rules fired, 3 every condition.

    Beams and their arithmetic are printed for a firm only.
    """
    for wall in finding.walls:
        _Printer(console, depth, audience).wall(finding, wall)


class _Printer:
    def __init__(self, console: Console, depth: int, audience: Role) -> None:
        self.console, self.depth = console, depth
        self.audience = audience

    def wall(self, finding: Finding, wall: WallFinding) -> None:
        self._verdict(finding, wall)
        self._paths(wall)
        self._reasons(wall)
        self._contradictions(wall)
        self._not_counted(wall)
        self._open(wall)
        self._numbers(wall)
        self._cautions(wall)
        self._referral(wall)
        if self.depth >= 2:
            self._trace(wall)
        self._footer(finding)

    def line(self, text: str = "", style: str = "", indent: int = 0) -> None:
        if not text:
            self.console.print()
            return
        shown = Text(printable(text), style=style)
        self.console.print(Padding(shown, (0, 0, 0, indent), expand=False))

    def item(self, text: str, mark: str = "-") -> None:
        grid = Table.grid(padding=(0, 1))
        grid.add_column(width=max(len(mark), 1) + 1, no_wrap=True, justify="right")
        grid.add_column(ratio=1)
        grid.add_row(Text(mark), Text(printable(text)))
        self.console.print(grid)

    def heading(self, text: str) -> None:
        self.line()
        self.line(text, "bold")

    def _verdict(self, finding: Finding, wall: WallFinding) -> None:
        title = f"{finding.case}: {wall.name or wall.id}" if finding.case else wall.name or wall.id
        self.line(title)
        self.line("=" * min(RULE_WIDTH, self.console.width))
        self.line(words.VERDICT_WORDS[wall.verdict], _STYLE[wall.verdict])
        self.line(words.VERDICT_MEANING[wall.verdict])
        self.line()
        if wall.leaning is not None:
            self.line(wall.leaning.text, "bold")
            self.line(wall.leaning.work)
            self.line()
        self.line(words.chance_sentence(wall))
        self.line(words.LIMITS_SENTENCE, "dim")

    def _paths(self, wall: WallFinding) -> None:
        self.heading("The ways load can reach this wall")
        table = Table.grid(padding=(0, 2))
        table.add_column(width=11, no_wrap=True)
        table.add_column(ratio=2)
        table.add_column(ratio=5)
        for path in wall.load_paths:
            table.add_row(
                Text(f"[{words.status_words(path)}]"),
                Text(path.title),
                Text(printable(words.settled_by(path))),
            )
        self.console.print(table)

    def _reasons(self, wall: WallFinding) -> None:
        toward, against = weighed(wall, LEAST_SHOWN_DB if self.depth < 2 else 0.0)
        for title, chosen in (("Speaks for bearing", toward), ("Speaks against", against)):
            if not chosen:
                continue
            shown = chosen if self.depth >= 2 else chosen[:MOST_REASONS]
            self.heading(title)
            for path, evidence in shown:
                self.item(f"{evidence.text} [{weight(evidence)}, {path.title.lower()}; "
                          f"{evidence.source}]")  # fmt: skip
            if len(chosen) > len(shown):
                self.line(f"... and {len(chosen) - len(shown)} more: see -v", "dim", 4)

    def _contradictions(self, wall: WallFinding) -> None:
        if wall.contradictions:
            self.heading("These answers cannot all be right: look again")
        for clash in wall.contradictions:
            self.item(clash.text, "!")
            for told in clash.answers:
                self.line(f"{told.ask} {told.says}", indent=4)

    def _not_counted(self, wall: WallFinding) -> None:
        if self.depth < 2 or not wall.not_counted:
            return
        self.heading("Answers that did not count")
        for item in wall.not_counted:
            self.item(f"{item.question}: {item.answer}. Not counted, because {item.because}.")

    def _open(self, wall: WallFinding) -> None:
        blocking = [reason for reason in wall.why_not if reason.verdict == "likely_non_bearing"]
        if wall.verdict == "cannot_tell":
            self.heading("Why it is not settled")
            for reason in blocking:
                self.item(reason.text)
        if self.depth >= 2:
            for reason in wall.why_not:
                if wall.verdict != "cannot_tell" or reason not in blocking:
                    verdict = words.VERDICT_WORDS[reason.verdict].lower()
                    self.item(f"not {verdict}: {reason.text}")
        if wall.next_checks:
            self.heading("What would settle it, most useful first")
            for number, check in enumerate(wall.next_checks, 1):
                self.item(f"{check.ask} ({words.EFFORT_WORDS[check.effort]})", f"{number}.")
                self.line(check.look, indent=4)

    def _numbers(self, wall: WallFinding) -> None:
        if wall.numbers is None:
            return
        self.heading("Preliminary numbers (for an engineer to check, not for construction)")
        for line in number_lines(wall.numbers, self.audience):
            self.item(line)
        for line in number_findings(wall.numbers, self.audience):
            self.item(line, "!")
        if self.depth >= 3 and self.audience == "firm":
            for step in number_steps(wall.numbers):
                self.line(step, indent=4)

    def _cautions(self, wall: WallFinding) -> None:
        self.heading("Before anyone cuts, drills or leans on it")
        for caution in wall.cautions:
            text = caution.text if self.depth < 2 else f"{caution.text} [{caution.source}]"
            self.item(text, "!")

    def _referral(self, wall: WallFinding) -> None:
        self.heading(words.LEVEL_WORDS[wall.referral.level])
        self.line(wall.referral.text)

    def _trace(self, wall: WallFinding) -> None:
        self.heading("Every load path in full")
        for path in wall.load_paths:
            self._full_path(path)
        self.heading("Every rule that fired, in order")
        for fired in wall.trace:
            kind = fired.kind.replace("_", " ")
            self.item(f"{fired.rule} ({kind}): {fired.text} [{fired.source}]")
            if self.depth >= 3:
                for condition in fired.because:
                    self.line(f"because {condition}", "dim", 6)
        if self.depth < 3:
            self.line("Every condition of every rule: -vv", "dim")

    def _full_path(self, path: PathFinding) -> None:
        chance = words.interval_words(path.probability)
        self.line(f"{path.title} [{words.status_words(path)}]: {chance}", indent=2)
        for item in path.evidence:
            line = f"{weight(item):>11}  {item.text} ({item.rule})"
            self.line(line, indent=4)
            if self.depth >= 3:
                for limit in item.limits:
                    self.line(f"not when: {limit}", "dim", 17)

    def _footer(self, finding: Finding) -> None:
        self.line()
        version = f"Rules {finding.rules.version}, sha256 {finding.rules.sha256[:12]}."
        more = {1: " All reasons: -v; every condition: -vv.", 2: " Every condition: -vv."}
        self.line(version + more.get(self.depth, ""), "dim")
        self.line()
