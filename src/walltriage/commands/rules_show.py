"""``walltriage rules show`` and ``rules catalogue``: the knowledge base told to a person."""

from __future__ import annotations

import json
from pathlib import Path

import click

from walltriage.commands.common import PATH, load_base, rules_option
from walltriage.errors import refuse
from walltriage.files import write_text
from walltriage.language import say
from walltriage.plaintext import printable


@click.command("show", epilog="Example: walltriage rules show attic_joists_at_wall")
@click.argument("entry", required=False)
@click.option("--json", "as_json", is_flag=True, help="Print the entry as one JSON object.")
@rules_option
def show(entry: str | None, as_json: bool, rules_folder: Path | None) -> None:
    """Print one rule, question, condition, load path or source; without ENTRY all questions."""
    from walltriage.report.card import as_data, as_text
    from walltriage.report.rule_cards import Cards, UnknownEntryError

    base = load_base(rules_folder)
    cards = Cards(base)
    if entry is None:
        questions = [cards.card(name) for name in base.questions]
        if as_json:
            click.echo(json.dumps([as_data(card) for card in questions], ensure_ascii=False))
            return
        for card in questions:
            click.echo(f"{card.id}: {printable(card.title)}")
            question = base.questions[card.id]
            if question.entry.answer == "choice":
                click.echo(f"    {', '.join(question.values)}")
            elif question.entry.answer != "text":
                least, most = question.entry.least, question.entry.most
                click.echo("    " + say("{least} to {most}", least=least, most=most))
        click.echo("\n" + say("Every question also takes unknown and out_of_reach."))
        return
    try:
        card = cards.card(entry)
    except UnknownEntryError as error:
        what = f"no entry '{error.name}'{error.hint}"
        raise refuse("rules show", what, "expected the id of a rule, question or source") from None
    if as_json:
        click.echo(json.dumps(as_data(card), ensure_ascii=False))
    else:
        click.echo(as_text(card, cards.folder))


@click.command(
    "catalogue", epilog="Example: walltriage rules catalogue --out docs/rule-catalogue.md"
)
@click.option("--out", type=PATH, help="Write here; else to the terminal.")
@rules_option
def catalogue_command(out: Path | None, rules_folder: Path | None) -> None:
    """Write the catalogue of all rules as a Markdown page."""
    from walltriage.report.catalogue import catalogue

    page = catalogue(load_base(rules_folder))
    if out is None:
        click.echo(page, nl=False)
        return
    write_text(out, page)
    click.echo(say("{out}: written", out=out), err=True)
