"""``walltriage photos``: the photos still worth taking for a case."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from walltriage.case.model import HOUSE, OUT_OF_REACH, Case
from walltriage.commands.common import load_triager, read_case_at, rules_option
from walltriage.language import say
from walltriage.plaintext import printable

if TYPE_CHECKING:
    from walltriage.knowledge.base import AskedQuestion
    from walltriage.knowledge.report_texts import SiteItem

OUTSIDE = "outside"  # no place of questions: everybody comes past it
PICTURE = re.compile(r"\S+\.(?:jpe?g|png|heic|heif|webp|tiff?)\b", re.IGNORECASE)


@click.command("photos", epilog="Example: walltriage photos house.yaml")
@click.argument("case", type=click.Path(path_type=Path, allow_dash=True))
@rules_option
def command(case: Path, rules_folder: Path | None) -> None:
    """List the photos still worth taking for CASE, a file of answers, wall by wall.

    A place counts as photographed when a note on one of its answers names a picture's file, such
    as attic-1.jpg. What was out of reach that day stands apart, for someone who can get there.
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
        applicable = triager.evaluator.applicable(triager.evaluate(visited, wall.id))
        here = [questions[name] for name in applicable if questions[name].scope != HOUSE]
        wanted = [item for item in wanted if item.place in _nearby(here)]
        within = [item for item in wanted if _in_reach(item.place, visited, wall.id, here)]
        click.echo(printable(f"{wall.name or wall.id}:"))
        _echo_items(within)
        if len(within) < len(wanted):
            click.echo("  " + say("For someone who can get there:"))
            _echo_items([item for item in wanted if item not in within])
        if not wanted:
            click.echo("  " + say("No photo is missing."))


def _echo_items(items: Iterable[SiteItem]) -> None:
    for item in items:
        click.echo(printable(f"  [ ] {item.count} x {item.says}"))


def _nearby(questions: Iterable[AskedQuestion]) -> set[str]:
    """Where there is anything of the wall to look at."""
    return {OUTSIDE, *(question.place for question in questions)}


def _in_reach(place: str, case: Case, wall_id: str, questions: Collection[AskedQuestion]) -> bool:
    """Whether the person could get to a place that day, by what they said of it."""
    there = [question for question in questions if question.place == place]
    given = [answer for q in there if (answer := case.answers_for(wall_id).get(q.id))]
    if any(answer.is_real for answer in given):
        return True
    if any(answer.value == OUT_OF_REACH for answer in given):
        return False
    return min((q.entry.effort for q in there), default=0) <= case.reach
