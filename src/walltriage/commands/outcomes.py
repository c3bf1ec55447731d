"""``walltriage outcomes``: how often the verdicts were right on walls that were opened."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from walltriage.commands.common import PATH, load_triager, rules_option
from walltriage.commands.desk import OPERATOR, open_store, place_options
from walltriage.commands.serve import need_desk
from walltriage.errors import refuse
from walltriage.language import say

if TYPE_CHECKING:
    from walltriage.desk.table_candidates import Candidate


@click.command("outcomes", epilog="Example: walltriage outcomes --pool-in other-firm.jsonl")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
@click.option(
    "--pool-out", type=PATH, help="Write your outcomes to this file, without names or addresses."
)
@click.option(
    "--pool-in", type=PATH, help="Take in the file that another firm wrote with --pool-out."
)
@click.option(
    "--rules-diff",
    type=PATH,
    help="Write candidate tables, where outcomes disagree, as a diff of the rules.",
)
@click.option("--ours", is_flag=True, help="Count your own outcomes only, none taken in.")
@place_options
@rules_option
def command(
    as_json: bool, pool_out: Path | None, pool_in: Path | None, rules_diff: Path | None,
    ours: bool,
    data: Path | None, database: str | None, rules_folder: Path | None,
) -> None:  # fmt: skip
    """Compare verdicts with what was found: counts with exact bounds, calibration, clues."""
    need_desk("outcomes")
    from walltriage.desk import outcomes
    from walltriage.desk.outcome_words import json_line, lines
    from walltriage.desk.table_candidates import candidates
    from walltriage.files import read_bytes, write_text
    from walltriage.rules_folder import default_rules_folder

    store = open_store(data, database)
    try:
        if pool_in is not None:
            try:
                found = outcomes.read_pool(read_bytes(pool_in).decode("utf-8"))
            except ValueError as error:
                raise refuse(pool_in, str(error)) from None
            with store.write() as db:
                taken = outcomes.take_in(db, found, OPERATOR)
            click.echo(
                say("{taken} of {count} outcomes were new.", taken=taken, count=len(found)),
                err=True,
            )
        with store.read() as db:
            own, every = outcomes.records(db, pooled=False), outcomes.records(db, pooled=not ours)
        if pool_out is not None:
            _new_file(pool_out)
            write_text(pool_out, outcomes.pool_text(own))
            click.echo(
                say("{path}: {count} outcomes written", path=pool_out, count=len(own)), err=True
            )
        base = load_triager(rules_folder).base
        if rules_diff is not None:
            _new_file(rules_diff)
            folder = rules_folder or default_rules_folder()
            _write_candidates(rules_diff, folder, candidates(every, base))
        if as_json:
            click.echo(json_line(every, base))
        else:
            click.echo("\n".join(lines(every, base)))
    finally:
        store.close()


def _new_file(path: Path) -> None:
    """Nothing that is there already is written over."""
    if path.exists():
        raise refuse(path, "already exists", "give another name")


def _write_candidates(path: Path, folder: Path, wanted: list[Candidate]) -> None:
    """Write the diff, and say on stderr how to weigh it."""
    from walltriage.desk.rules_diff import rules_diff
    from walltriage.files import write_text

    text, left_out = rules_diff(folder, wanted)
    for candidate in left_out:
        told = say(
            "{clue}: left out, it has no table of its own or the rules would not load with it",
            clue=candidate.clue,
        )
        click.echo(told, err=True)
    if not wanted:
        click.echo(say("No table is set apart by the outcomes, so no diff is written."), err=True)
        return
    if not text:
        click.echo(say("No table is left, so no diff is written."), err=True)
        return
    write_text(path, text)
    click.echo(
        say(
            "{path}: {count} tables. Nothing is changed. To weigh it:\n"
            "  cp -r {folder} candidate-rules && patch -p1 -d candidate-rules < {path}\n"
            "  walltriage rules check --rules candidate-rules\n"
            "  walltriage batch CASES --rules candidate-rules --compare {folder}",
            path=path,
            count=len(wanted) - len(left_out),
            folder=folder,
        ),
        err=True,
    )
