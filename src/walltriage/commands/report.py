"""``walltriage report``: one case as a page to hand over."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from walltriage.case.model import ROLES
from walltriage.commands.common import (
    load_triager,
    remove_option,
    removed_walls,
    rules_option,
)
from walltriage.errors import InputError, Problem
from walltriage.plaintext import printable

if TYPE_CHECKING:
    from walltriage.case.model import Role
    from walltriage.report.subject import Depth


@click.command(
    "report",
    epilog="Example: walltriage report house.yaml --out house.pdf --for firm. "
    "The kinds of report are described in docs/reports.md.",
)
@click.argument("case", type=click.Path(path_type=Path))
@click.option(
    "--out",
    "target",
    required=True,
    type=click.Path(path_type=Path),
    help="The file to write; its ending sets the format: .html, .pdf, .md or .json.",
)
@click.option(
    "--for",
    "audience",
    type=click.Choice(ROLES),
    help="Who will read it; by default the reader named in the case.",
)
@click.option(
    "--depth",
    type=click.Choice(["1", "2", "3"]),
    help="1 verdict and reasons, 2 all rules that fired, 3 every condition.",
)
@remove_option
@click.option("--force", is_flag=True, help="Overwrite an existing file.")
@rules_option
def command(
    case: Path,
    target: Path,
    audience: Role | None,
    depth: str | None,
    removed: str | None,
    force: bool,
    rules_folder: Path | None,
) -> None:
    """Write a report on the walls of CASE, a file of answers."""
    from walltriage.case.read import read_case
    from walltriage.report.files import format_of, make_request, write_report

    format_of(target)
    triager = load_triager(rules_folder)
    answers = read_case(case, triager.base.questions)
    if not answers.walls:
        expected = "expected 'walls:' with one wall or more"
        raise InputError(Problem(str(case), 0, 0, "no wall to triage", expected))
    wanted = removed_walls(answers, removed)
    if target.exists() and not force and not _may_replace(target):
        raise InputError(Problem(str(target), 0, 0, "already exists", "give --force"))
    deep: Depth | None = int(depth) if depth else None  # type: ignore[assignment]
    today = date.today().isoformat()
    request = make_request(triager, answers, today, audience, deep, wanted)
    write_report(target, request)
    click.echo(f"{printable(str(target))}: written", err=True)


def _may_replace(target: Path) -> bool:
    """Ask on a terminal; without one the answer is no."""
    if not on_terminal():
        return False
    return click.confirm(f"{printable(str(target))} already exists. Overwrite it?", err=True)


def on_terminal() -> bool:
    """Whether somebody can be asked."""
    return sys.stdin.isatty() and sys.stderr.isatty()
