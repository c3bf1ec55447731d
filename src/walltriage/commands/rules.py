"""``walltriage rules``: check the knowledge base, and show parts of it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from walltriage.commands.common import progress, rules_option
from walltriage.commands.prove import command as prove
from walltriage.commands.rules_cover import cover
from walltriage.commands.rules_show import catalogue_command, show
from walltriage.language import say

if TYPE_CHECKING:
    from walltriage.knowledge.base import KnowledgeBase


COUNTED_WORDS = (
    "questions", "clues", "decisive signs", "rules", "sources", "problems", "warnings",
)  # fmt: skip


@click.group("rules", epilog="Example: walltriage rules check")
def command() -> None:
    """Check and show the knowledge base."""


@command.command("check", epilog="Example: walltriage rules check --json")
@click.option("--json", "as_json", is_flag=True, help="Print the counts as JSON.")
@rules_option
def check(as_json: bool, rules_folder: Path | None) -> None:
    """Read every rule file, report every mistake and warning, and run every rule's own cases."""
    from walltriage.knowledge.load import load_knowledge
    from walltriage.rules_folder import default_rules_folder

    # in English, as the rules are written: length and grade are those of their own words
    base = load_knowledge(rules_folder or default_rules_folder())

    # only now: a broken folder is told before the engine and the word lists are loaded
    from walltriage.inference.engine.closure import RuleClosures
    from walltriage.inference.engine.evaluate import Evaluator
    from walltriage.knowledge.lints.model import run_lints
    from walltriage.rule_testing.lints import ALL_LINTS
    from walltriage.rule_testing.rule_cases import run_cases

    closures = RuleClosures(Evaluator(base))
    errors, warnings = run_lints(ALL_LINTS, base)
    rules = list(base.rules())
    with progress(say("Running the rules' own cases"), len(rules)) as step:
        problems = sorted([*errors, *run_cases(closures, step)])
    counts = {
        "questions": len(base.questions),
        "clues": sum(1 for _ in base.clues()),
        "decisive_signs": sum(1 for _ in base.signs()),
        "rules": len(rules),
        "sources": len(base.sources),
        "problems": len(problems),
        "warnings": len(warnings),
    }
    if as_json:
        click.echo(json.dumps(counts))
    else:
        for note in _notes(base):
            click.echo(say("note: {note}", note=note))
        for words, count in zip(COUNTED_WORDS, counts.values(), strict=True):
            click.echo(f"{count:6d} {say(words)}")
    for problem in warnings:
        click.echo(say("warning: {problem}", problem=problem), err=True)
    for problem in problems:
        click.echo(str(problem), err=True)
    if problems:
        raise SystemExit(1)


def _notes(base: KnowledgeBase) -> Iterator[str]:
    """What is no mistake but should be known: questions that the simulated houses do not show."""
    from walltriage.lab.findings import unmodelled

    left = unmodelled(base.questions)
    if left["drawn"]:
        names = ", ".join(left["drawn"])
        yield say("simulated by their own shares alone: {names}", names=names)
    if left["never_known"]:
        names = ", ".join(sorted(left["never_known"]))
        yield say("not known to any simulated person: {names}", names=names)


for subcommand in (cover, show, catalogue_command, prove):
    command.add_command(subcommand)
