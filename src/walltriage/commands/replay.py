"""``walltriage replay``: a recorded interview told again, and compared with what came out."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import click

from walltriage.case.model import HOUSE, Case
from walltriage.commands.common import PATH, load_triager, read_each, rules_option
from walltriage.errors import refuse
from walltriage.knowledge.base import KnowledgeBase
from walltriage.language import say
from walltriage.plaintext import printable


@click.command("replay", epilog="Example: walltriage replay transcripts_demo/*.yaml")
@click.argument("transcripts", nargs=-1, required=True, type=PATH)
@click.option("--quiet", is_flag=True, help="Print only the comparison, not the interview.")
@click.option("--rewrite", is_flag=True, help="Update the transcripts with what comes out now.")
@rules_option
def command(
    transcripts: tuple[Path, ...], quiet: bool, rewrite: bool, rules_folder: Path | None
) -> None:
    """Replay recorded interviews; exit 1 if verdict, load paths or rules differ."""
    from dataclasses import replace

    from walltriage.case.read import read_case
    from walltriage.case.write import write_case
    from walltriage.inference.record import differences, outcome

    triager = load_triager(rules_folder)
    paths = list(_files(transcripts))
    if not paths:
        raise refuse("replay", "no transcripts there", "expected *.yaml files")
    cases = read_each(paths, lambda path: read_case(path, triager.base.questions))
    differing = 0
    for path, case in zip(paths, cases, strict=True):
        now = outcome(triager.finding(case))
        if rewrite:
            write_case(path, replace(case, outcome=now))
            click.echo(say("{path}: written", path=path))
            continue
        if not quiet:
            _tell(case, triager.base)
        found = differences(case.outcome, now)
        differing += bool(found)
        verdicts = ", ".join(f"{wall['id']} {wall['verdict']}" for wall in now["walls"])
        came = say("DIFFERS") if found else say("as recorded")
        click.echo(f"{path}: {verdicts}: {came}")
        for line in found:
            click.echo(f"  {printable(line)}")
    if differing:
        raise SystemExit(1)


def _files(named: tuple[Path, ...]) -> Iterator[Path]:
    """The transcripts among what was named: of a folder its YAML files, of files all but text
    for people, which lies in the same folder and comes along with a ``*``."""
    for path in named:
        if path.is_dir():
            yield from sorted(path.glob("*.yaml"))
        elif path.suffix.lower() == ".md":
            click.echo(
                say("{path}: not a transcript, skipped", path=printable(str(path))), err=True
            )
        else:
            yield path


def _tell(case: Case, base: KnowledgeBase) -> None:
    """Print the interview as it went."""
    from walltriage.report.observations import SURE_WORDS

    click.echo(printable(case.name))
    if case.story:
        click.echo(f"  {printable(case.story)}")
    for step in case.asked:
        answers = case.house if step.subject == HOUSE else case.wall(step.subject).answers
        answer = answers.get(step.question)
        if answer is None:
            continue
        question = base.questions[step.question]
        said = question.means(answer.value)
        if answer.number is not None:
            said = answer.given
        sure = "" if answer.sure == "certain" else f" ({say(SURE_WORDS[answer.sure])})"
        note = f" [{printable(answer.note)}]" if answer.note else ""
        where = say("house") if step.subject == HOUSE else case.wall(step.subject).title
        click.echo(f"  {printable(where)}: {question.entry.ask}")
        click.echo(f"      {printable(said)}{sure}{note}")
