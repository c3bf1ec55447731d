"""``walltriage config``: where the letterhead of reports is written down, and what it says."""

from __future__ import annotations

import click

from walltriage.language import say
from walltriage.plaintext import printable


@click.command("config", epilog="Example: walltriage config --init, then edit the file it names.")
@click.option("--init", "begin", is_flag=True, help="Write a file to edit, if there is none.")
def command(begin: bool) -> None:
    """Show the file with your firm's letterhead, and what reports print of it."""
    from walltriage.files import write_bytes
    from walltriage.report.letterhead import TEMPLATE, config_path, load_letterhead

    path = config_path()
    if begin and not path.exists():
        path.parent.mkdir(parents=True, exist_ok=True)
        write_bytes(path, TEMPLATE.encode("utf-8"))
        click.echo(
            say("{path}: written; edit it to your firm's name", path=printable(str(path))), err=True
        )
    letterhead = load_letterhead(path)
    click.echo(printable(str(path)))
    if letterhead is None:
        click.echo(
            say("No letterhead: reports carry none. Begin one with: walltriage config --init")
        )
        return
    click.echo(say("Letterhead of reports:"))
    for line in (letterhead.name, *letterhead.lines):
        click.echo(f"  {printable(line)}")
    click.echo(
        say("  logo: {logo}", logo=letterhead.logo_format if letterhead.logo else say("none"))
    )
