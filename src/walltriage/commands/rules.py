"""``walltriage rules``: check the knowledge base, and show parts of it."""

from __future__ import annotations

import json
from pathlib import Path

import click

from walltriage.commands.common import progress, rules_option
from walltriage.errors import InputError


@click.group("rules", epilog="Example: walltriage rules check")
def command() -> None:
    """Check and show the knowledge base."""


@command.command("check", epilog="Example: walltriage rules check --json")
@click.option("--json", "as_json", is_flag=True, help="Print the counts as JSON.")
@rules_option
def check(as_json: bool, rules_folder: Path | None) -> None:
    """Read every rule file, tell every mistake, and run every rule's own cases."""
    from walltriage.inference.evaluate import Evaluator
    from walltriage.inference.rule_cases import run_cases
    from walltriage.knowledge.load import load_knowledge
    from walltriage.rules_folder import default_rules_folder

    folder = rules_folder or default_rules_folder()
    base = load_knowledge(folder)
    evaluator = Evaluator(base)
    rules = list(base.rules())
    with progress("Running the rules' own cases", len(rules)) as step:
        problems = run_cases(evaluator, step)
    counts = {
        "questions": len(base.questions),
        "clues": sum(1 for _ in base.clues()),
        "decisive_signs": sum(1 for _ in base.signs()),
        "rules": len(rules),
        "sources": len(base.sources),
        "problems": len(problems),
    }
    if as_json:
        click.echo(json.dumps(counts))
    else:
        for name, count in counts.items():
            click.echo(f"{count:6d} {name.replace('_', ' ')}")
    if problems:
        for line in InputError(problems).problems:
            click.echo(str(line), err=True)
        raise SystemExit(1)
