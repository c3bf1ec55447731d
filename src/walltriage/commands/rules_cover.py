"""``walltriage rules cover``: what no case, scenario or transcript has exercised."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from walltriage.commands.common import PATH, load_base, progress, read_each, rules_option
from walltriage.errors import refuse
from walltriage.language import say

if TYPE_CHECKING:
    from walltriage.case.model import Case
    from walltriage.inference.triage import Triager


@click.command(
    "cover",
    epilog="Example: walltriage rules cover --scenarios tests/rules --transcripts transcripts_demo",
)
@click.option(
    "--scenarios",
    type=PATH,
    help="Folder of scenario files; else tests/rules beside the rules folder, if there.",
)
@click.option(
    "--transcripts",
    type=PATH,
    help="Folder of transcripts; else transcripts_demo beside the rules folder, if there.",
)
@click.option("--json", "as_json", is_flag=True, help="Print the result as one JSON object.")
@rules_option
def cover(
    scenarios: Path | None, transcripts: Path | None, as_json: bool, rules_folder: Path | None
) -> None:
    """Run every case and list rules, tests, options and gates that none of them exercises.

    Exit 1 when anything is left: each reviewed rule must fire and stay quiet somewhere, each
    of its tests must once be what stops it, and each option must be answered.
    """
    from walltriage.inference.triage import Triager
    from walltriage.rule_testing.exercise import exercise
    from walltriage.rule_testing.scenario_files import read_scenarios
    from walltriage.rules_folder import default_rules_folder

    folder = rules_folder or default_rules_folder()
    triager = Triager(load_base(rules_folder))
    scenario_folder = scenarios or _beside(folder, "tests/rules")
    written = read_scenarios(scenario_folder, triager.base) if scenario_folder else []
    transcript_folder = transcripts or _beside(folder, "transcripts_demo")
    cases = _read_transcripts(transcript_folder, triager) if transcript_folder else []
    steps = sum(1 for _ in triager.base.rules()) + len(written) + len(cases)
    with progress(say("Running all cases"), steps) as step:
        coverage = exercise(triager, written, cases, step)
    gaps = coverage.gaps()
    done = coverage.total - len(gaps)
    percent = 100 * done / coverage.total
    if as_json:
        result = {
            "runs": coverage.runs,
            "scenarios": len(written),
            "transcripts": len(cases),
            "total": coverage.total,
            "exercised": done,
            "percent": round(percent, 2),
            "gaps": [
                {"kind": g.kind, "entry": g.entry, "at": "{}:{}".format(*g.place), "what": g.what}
                for g in gaps
            ],
        }
        click.echo(json.dumps(result))
    else:
        for gap in gaps:
            click.echo(str(gap))
        click.echo(
            say(
                "{done} of {total} exercised ({percent:.1f} %) by {runs} runs, {scenarios} "
                "scenarios and {transcripts} transcripts among them",
                done=done,
                total=coverage.total,
                percent=percent,
                runs=coverage.runs,
                scenarios=len(written),
                transcripts=len(cases),
            )
        )
    if gaps:
        raise SystemExit(1)


def _beside(folder: Path, name: str) -> Path | None:
    path = folder.resolve().parent / name
    return path if path.is_dir() else None


def _read_transcripts(folder: Path, triager: Triager) -> list[Case]:
    from walltriage.case.read import read_case

    if not folder.is_dir():
        raise refuse(folder, "no such folder", "expected transcripts")
    return read_each(
        sorted(folder.glob("*.yaml")), lambda path: read_case(path, triager.base.questions)
    )
