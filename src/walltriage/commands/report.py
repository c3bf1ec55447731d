"""``walltriage report``: one case as a page to hand over."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from walltriage.case.model import ROLES
from walltriage.commands.common import (
    DASH,
    PATH,
    load_triager,
    read_case_at,
    remove_option,
    removed_walls,
    rules_option,
    with_walls,
)
from walltriage.errors import did_you_mean, refuse
from walltriage.language import say
from walltriage.plaintext import printable

if TYPE_CHECKING:
    from walltriage.case.model import Role
    from walltriage.knowledge.report_texts import ReportTexts
    from walltriage.report.files import Format
    from walltriage.report.subject import Depth


@click.command(
    "report",
    epilog="Example: walltriage report house.yaml --out house.pdf --for firm. "
    "The kinds of report are described in docs/reports.md.",
)
@click.argument("case", type=click.Path(path_type=Path, allow_dash=True))
@click.option(
    "--out",
    "target",
    required=True,
    type=PATH,
    help="The file to write; its ending sets the format: .html, .pdf, .md or .json. "
    "Or - for standard output, with --format.",
)
@click.option(
    "--format",
    "form",
    type=click.Choice(["html", "pdf", "md", "json"]),
    help="The format on standard output.",
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
    help="1 verdict and reasons, 2 all evidence with its weight, 3 every rule and condition.",
)
@click.option(
    "--fill",
    "filled",
    multiple=True,
    metavar="FIELD=TEXT",
    help="Fill in a client field of a firm's packet, such as client_name='A. Person'; repeatable.",
)
@remove_option
@click.option("--force", is_flag=True, help="Overwrite an existing file.")
@rules_option
def command(
    case: Path,
    target: Path,
    form: Format | None,
    audience: Role | None,
    depth: str | None,
    filled: tuple[str, ...],
    removed: str | None,
    force: bool,
    rules_folder: Path | None,
) -> None:
    """Write a report on the walls of CASE, a file of answers (- for standard input)."""
    from walltriage.report.files import format_of, make_request, rendered, write_report
    from walltriage.report.letterhead import load_letterhead
    from walltriage.report.texts import texts_for

    printed = _to_print(target, form)
    if not printed:
        format_of(target)
    letterhead = load_letterhead()
    triager = load_triager(rules_folder)
    answers = with_walls(read_case_at(case, triager.base.questions), case)
    wanted = removed_walls(answers, removed)
    if not printed and target.exists() and not force and not _may_replace(target):
        raise refuse(target, "already exists", "give --force")
    deep: Depth | None = int(depth) if depth else None  # type: ignore[assignment]
    today = date.today().isoformat()
    client = _client(filled, texts_for(triager.base))
    request = make_request(triager, answers, today, audience, deep, wanted, letterhead, client)
    if printed:
        sys.stdout.buffer.write(rendered(request, printed))
        return
    write_report(target, request)
    click.echo(say("{path}: written", path=printable(str(target))), err=True)


def _to_print(target: Path, form: Format | None) -> Format | None:
    """The format for standard output; None when a file is to be written."""
    if (target == DASH) != (form is not None):
        what = "'--out -' and --format go together"
        raise refuse("report", what, "such as --out - --format html, or --out house.html")
    if form == "pdf":
        from walltriage.report.files import need_pdf

        need_pdf(target)
    return form


def _client(filled: tuple[str, ...], texts: ReportTexts) -> dict[str, str]:
    """What ``--fill`` gives, by field; :class:`InputError` for a field that there is not."""
    known, client = [field.id for field in texts.client_fields], {}
    for given in filled:
        name, equals, text = given.partition("=")
        if not equals or name not in known:
            what = f"no client field '{name}'{did_you_mean(name, known)}"
            raise refuse("--fill", what, "expected FIELD=TEXT with one of " + ", ".join(known))
        client[name] = text
    return client


def _may_replace(target: Path) -> bool:
    """Ask on a terminal; without one the answer is no."""
    if not on_terminal():
        return False
    return click.confirm(
        say("{path} already exists. Overwrite it?", path=printable(str(target))), err=True
    )


def on_terminal() -> bool:
    """Whether somebody can be asked."""
    return sys.stdin.isatty() and sys.stderr.isatty()
