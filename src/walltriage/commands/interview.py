"""``walltriage interview``: questions on the terminal, a verdict at the end."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import click

from walltriage.commands.common import PATH, load_triager, rules_option


@click.command(
    "interview",
    epilog="Example: walltriage interview --for buyer --save viewing.yaml. "
    "Without --save the answers are kept in $XDG_STATE_HOME/walltriage "
    "(default ~/.local/state/walltriage) until you save the record.",
)
@click.option(
    "--for",
    "role",
    type=click.Choice(["buyer", "trade", "firm"]),
    help="Who is asking: buyer or owner, tradesperson, engineering firm.",
)
@click.option("--save", type=PATH, help="Save the answers in this file.")
@click.option(
    "--resume",
    metavar="[FILE]",
    is_flag=False,
    flag_value="",
    help="Pick up an unfinished interview: the one in FILE, or pick from those that are kept.",
)
@click.option("--ascii", "ascii_only", is_flag=True, help="Print plain ASCII only.")
@rules_option
@click.pass_context
def command(
    context: click.Context,
    role: Literal["buyer", "trade", "firm"] | None,
    save: Path | None,
    resume: str | None,
    ascii_only: bool,
    rules_folder: Path | None,
) -> None:
    """Ask about a house and its walls, and say what each wall probably is."""
    from walltriage.interview.run import refuse_without_terminal, run
    from walltriage.interview.setup import Options

    refuse_without_terminal()
    given = Path(resume) if resume else None
    options = Options(role, save, given, ascii_only, pick=resume == "")
    if rules_folder is None:
        context.exit(run(lambda: load_triager(None), options))
    triager = load_triager(rules_folder)  # its mistakes are told before anything is asked
    context.exit(run(lambda: triager, options))
