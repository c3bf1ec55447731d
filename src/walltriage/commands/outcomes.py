"""``walltriage outcomes``: how often the verdicts were right on walls that were opened."""

from __future__ import annotations

from pathlib import Path

import click

from walltriage.commands.common import load_triager, rules_option
from walltriage.commands.desk import OPERATOR, open_store, place_options
from walltriage.commands.serve import need_desk
from walltriage.errors import InputError, Problem


@click.command("outcomes", epilog="Example: walltriage outcomes --pool-in other-firm.jsonl")
@click.option("--json", "as_json", is_flag=True, help="One line of JSON.")
@click.option("--pool-out", type=click.Path(path_type=Path), help="Write ours, anonymous.")
@click.option("--pool-in", type=click.Path(path_type=Path), help="Take in another firm's.")
@click.option("--ours", is_flag=True, help="Leave pools out of the tallies.")
@place_options
@rules_option
def command(
    as_json: bool, pool_out: Path | None, pool_in: Path | None, ours: bool,
    data: Path | None, database: str | None, rules_folder: Path | None,
) -> None:  # fmt: skip
    """Compare verdicts with what was found: counts with exact bounds, calibration, clues."""
    need_desk("outcomes")
    from walltriage.desk import outcomes
    from walltriage.desk.outcome_words import json_line, lines
    from walltriage.files import read_bytes, write_text

    store = open_store(data, database)
    try:
        if pool_in is not None:
            try:
                found = outcomes.read_pool(read_bytes(pool_in).decode("utf-8"))
            except ValueError as error:
                raise InputError(Problem(str(pool_in), 0, 0, str(error))) from None
            with store.write() as db:
                taken = outcomes.take_in(db, found, OPERATOR)
            click.echo(f"{taken} of {len(found)} outcomes were new.", err=True)
        with store.read() as db:
            own, every = outcomes.records(db, pooled=False), outcomes.records(db, pooled=not ours)
        if pool_out is not None:
            if pool_out.exists():
                what = "already exists"
                raise InputError(Problem(str(pool_out), 0, 0, what, "give another name"))
            write_text(pool_out, outcomes.pool_text(own))
            click.echo(f"{pool_out}: {len(own)} outcomes written", err=True)
        base = load_triager(rules_folder).base
        if as_json:
            click.echo(json_line(every, base))
        else:
            click.echo("\n".join(lines(every, base)))
    finally:
        store.close()
