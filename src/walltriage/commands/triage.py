"""``walltriage triage``: case files in, findings out."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from walltriage.commands.common import (
    PATH,
    load_triager,
    read_case_at,
    read_each,
    remove_option,
    removed_walls,
    rules_option,
    with_walls,
)
from walltriage.errors import refuse

if TYPE_CHECKING:
    from walltriage.report.subject import Depth

EXIT_BY_VERDICT = {"likely_non_bearing": 10, "likely_bearing": 11, "cannot_tell": 12}
_DEPTHS: tuple[Depth, ...] = (1, 2, 3)
_GRAVEST_FIRST = ("likely_bearing", "cannot_tell", "likely_non_bearing")


@click.command(
    "triage",
    epilog="Example: walltriage triage house.yaml -v. "
    "A case file is described in docs/case-files.md.",
)
@click.argument("cases", nargs=-1, required=True, type=PATH)
@click.option(
    "-v",
    "verbose",
    count=True,
    help="Show what is behind the result; -vv: everything, with the rules.",
)
@click.option("--json", "as_json", is_flag=True, help="One JSON object per case, one per line.")
@click.option(
    "--exit-verdict",
    is_flag=True,
    help="Exit 10 non-bearing, 11 bearing, 12 cannot tell; the most serious of several walls.",
)
@remove_option
@rules_option
def command(
    cases: tuple[Path, ...],
    verbose: int,
    as_json: bool,
    exit_verdict: bool,
    removed: str | None,
    rules_folder: Path | None,
) -> None:
    """Judge the walls of CASES, files of answers (- for standard input), without asking."""
    triager = load_triager(rules_folder)
    read = read_each(
        cases, lambda path: with_walls(read_case_at(path, triager.base.questions), path)
    )
    if removed is not None and len(read) > 1:
        raise refuse("--remove", "is about the walls of one house", "give one case file")
    wanted = removed_walls(read[0], removed)
    findings = [triager.finding(case) for case in read]
    if wanted:
        from walltriage.inference.numbers.what_if import remove

        removal = remove(triager, read[0], findings[0], wanted)
        findings[0] = replace(findings[0], removal=removal)
    if as_json:
        from walltriage.report.finding_json import finding_line

        for finding in findings:
            click.echo(finding_line(finding))
    else:
        from walltriage.report.house_terminal import print_removal, print_result
        from walltriage.report.subject import Request
        from walltriage.report.terminal import make_console
        from walltriage.report.texts import texts_for

        console, texts = make_console(), texts_for(triager.base)
        deep: Depth = _DEPTHS[min(verbose, 2)]
        for finding in findings:
            print_result(console, Request(finding, texts, finding.given.role, deep, ""))
            if finding.removal is not None:
                print_removal(console, finding.removal, finding.given)
    if exit_verdict:
        met = {wall.verdict for finding in findings for wall in finding.walls}
        raise SystemExit(EXIT_BY_VERDICT[next(v for v in _GRAVEST_FIRST if v in met)])
