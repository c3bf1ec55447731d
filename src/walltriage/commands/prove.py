"""``walltriage rules prove``: what holds of the rules over all answers, not samples."""

from __future__ import annotations

import json
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import click

from walltriage.commands.common import PATH, load_base, progress, rules_option
from walltriage.errors import refuse
from walltriage.language import say


@click.command("prove", epilog="Example: walltriage rules prove --cases found")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
@click.option(
    "--cases", type=PATH, help="Write counterexamples here, as case files for triage and replay."
)
@rules_option
def command(as_json: bool, cases: Path | None, rules_folder: Path | None) -> None:
    """Prove safety properties of the rules; exit 1 when one does not hold."""
    if find_spec("z3") is None:
        raise refuse("prove", "proofs need z3", "pip install 'walltriage[verify]'")
    from walltriage.prove.report import prove, steps, write_cases

    base = load_base(rules_folder)
    with progress(say("Proving"), steps()) as step:
        found, counter = prove(base, step)
    if cases is not None:
        try:
            written = write_cases(cases, counter)
        except OSError as error:
            raise refuse(cases, f"cannot be written: {error}", "expected a folder") from None
        for path in written:
            click.echo(say("counter-example: {path}", path=path), err=True)
    click.echo(json.dumps(found) if as_json else "\n".join(_lines(found)))
    if not found["holds"]:
        raise SystemExit(1)


def _lines(found: dict[str, Any]) -> list[str]:
    lines = [
        f"{say('holds ') if proof['holds'] else say('BROKEN')}  "
        f"{say(proof['name'])}: {proof['told']}"
        for proof in found["proofs"]
    ]
    fewest = found["fewest_answers"]
    met = (
        say("none found")
        if fewest["found"] is None
        else say("{count} found", count=fewest["found"])
    )
    lines.append(
        say(
            "fewest answers to non-bearing: at least {count} (proved), {met}",
            count=fewest["at_least"],
            met=met,
        )
    )
    wrong = found["wrong_answers"]
    need, proved = wrong["in_different_conditions"], len(wrong["proved"])
    lines.append(
        say(
            "from bearing to non-bearing: at least {need} wrong answers in different "
            "conditions, proved in {proved} kinds of house",
            need=need,
            proved=proved,
        )
    )
    if wrong["left_open"]:
        lines.append(
            say("  not settled, no fewer found: {kinds}", kinds=", ".join(wrong["left_open"]))
        )
    for weak in wrong["weak"]:
        changes = ", ".join(f"{name} = {value}" for name, value in weak["changed"].items())
        lines.append(
            say(
                "BROKEN  {kind}: these wrong answers do it: {changes}",
                kind=weak["kind"],
                changes=changes,
            )
        )
    lines.append(f"{found['seconds']} s")
    return lines
