"""``walltriage photos``: the photos still worth taking for a case."""

from __future__ import annotations

import re
from pathlib import Path

import click

from walltriage.commands.common import load_triager, read_case_at, rules_option
from walltriage.language import say
from walltriage.plaintext import printable

PICTURE = re.compile(r"\S+\.(?:jpe?g|png|heic|heif|webp|tiff?)\b", re.IGNORECASE)


@click.command("photos", epilog="Example: walltriage photos house.yaml")
@click.argument("case", type=click.Path(path_type=Path, allow_dash=True))
@rules_option
def command(case: Path, rules_folder: Path | None) -> None:
    """List the photos still worth taking for CASE, a file of answers, wall by wall.

    A place counts as photographed when a note on one of its answers names a picture's file, such
    as attic-1.jpg.
    """
    from walltriage.report.texts import texts_for

    triager = load_triager(rules_folder)
    visited = read_case_at(case, triager.base.questions)
    questions = triager.base.questions
    for wall in triager.finding(visited).walls:
        answers = visited.answers_for(wall.id)
        there = {questions[name].place for name, a in answers.items() if PICTURE.search(a.note)}
        open_paths = {path.id for path in wall.load_paths if path.status == "open"}
        wanted = [
            item
            for item in texts_for(triager.base).photos
            if item.place not in there and (not item.paths or open_paths & set(item.paths))
        ]
        click.echo(printable(f"{wall.name or wall.id}:"))
        for item in wanted:
            click.echo(printable(f"  [ ] {item.count} x {item.says}"))
        if not wanted:
            click.echo("  " + say("No photo is missing."))
