"""``walltriage checklist``: a page to take along before a visit."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from walltriage.case.model import ROLES
from walltriage.commands.common import PATH, load_triager, rules_option
from walltriage.errors import refuse
from walltriage.language import say

if TYPE_CHECKING:
    from walltriage.case.model import Role


@click.command("checklist", epilog="Example: walltriage checklist --for buyer --year 1955")
@click.option("--for", "role", type=click.Choice(ROLES), default="buyer", help="Who is going.")
@click.option("--year", help="The year the house was built: 1955, or 1950s.")
@click.option("--levels", help="How many stories: one, one_and_half, two, three_or_more, split.")
@click.option(
    "--roof", help="What holds up the roof, if known: trusses, rafters, ridge_beam, flat_joists."
)
@click.option("--out", type=PATH, help="Write the page to this file: text, or .html to print.")
@rules_option
def command(
    role: Role, year: str | None, levels: str | None, roof: str | None, out: Path | None,
    rules_folder: Path | None,
) -> None:  # fmt: skip
    """Print what to look at and to photograph on a visit, in walking order."""
    from walltriage.case.answers import AnswerError, make_answer
    from walltriage.files import write_text
    from walltriage.report.checklist import as_html, checklist
    from walltriage.report.texts import texts_for

    triager = load_triager(rules_folder)
    known = {}
    for option, name, value in (
        ("--year", "year_built", year), ("--levels", "levels_in_house", levels),
        ("--roof", "attic_frame", roof),
    ):  # fmt: skip
        if value is None:
            continue
        try:
            known[name] = make_answer(name, triager.base.questions[name], value)
        except (AnswerError, KeyError) as error:
            mistake = getattr(error, "what", str(error)), getattr(error, "expected", "")
            raise refuse(option, *mistake) from None
    lines = checklist(triager, texts_for(triager.base), role, known)
    text = "\n".join(lines) + "\n"
    if out is None:
        click.echo(text, nl=False)
    elif out.exists():
        raise refuse(out, "already exists", "give another name")
    else:
        write_text(out, as_html(lines) if out.suffix.lower() == ".html" else text)
        click.echo(say("Written: {out}", out=out))
