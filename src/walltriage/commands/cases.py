"""``walltriage cases``: the saved interviews, found by a word, put away."""

from __future__ import annotations

from pathlib import Path

import click

from walltriage.commands.common import load_base, rules_option
from walltriage.language import say
from walltriage.plaintext import printable


@click.command("cases", epilog="Example: walltriage cases elm")
@click.argument("word", default="")
@click.option("--resume", "again", metavar="NAME", help="Go on with this interview.")
@click.option("--archive", "away", metavar="NAME", help="Move this interview to the archive.")
@click.option("--archived", is_flag=True, help="List the archive instead.")
@rules_option
@click.pass_context
def command(
    context: click.Context, word: str, again: str | None, away: str | None, archived: bool,
    rules_folder: Path | None,
) -> None:  # fmt: skip
    """List saved interviews, newest first: all, or those that hold WORD.

    NAME is the name of a file in the list. To go on with one from the archive, name its file:
    walltriage interview --resume FILE.
    """
    from walltriage.interview.autosave import state_folder
    from walltriage.interview.kept_cases import ARCHIVE, archive, kept_cases, kept_file

    folder = state_folder()
    if away is not None:
        click.echo(say("Put away: {path}", path=printable(str(archive(folder, away)))))
        return
    if again is not None:
        from walltriage.commands.interview import command as interview

        path = kept_file(folder, again)
        context.exit(context.invoke(interview, resume=str(path), rules_folder=rules_folder) or 0)
    questions = load_base(rules_folder).questions
    found = list(kept_cases(folder / ARCHIVE if archived else folder, questions, word))
    if not found:
        click.echo(
            say("No saved interview holds '{word}'.", word=word)
            if word
            else say("No saved interview.")
        )
    for kept in found:
        walls = ", ".join(wall.title for wall in kept.case.walls)
        verdicts = ", ".join(v.replace("_", " ") for v in kept.verdicts) or "not finished"
        click.echo(printable(f"{kept.day}  {kept.case.name}: {walls} ({verdicts})"))
        click.echo(printable(f"            {kept.path}"))
