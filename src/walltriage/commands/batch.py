"""``walltriage batch``: many cases at once, the most urgent wall first."""

from __future__ import annotations

import shutil
import sys
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager, nullcontext
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from walltriage.commands.common import DASH, PATH, load_base, rules_option
from walltriage.files import scratch_folder
from walltriage.language import say, say_count

if TYPE_CHECKING:
    from walltriage.bulk.blocks import Task
    from walltriage.bulk.forms import FormName
    from walltriage.bulk.run import TaskOutcome
    from walltriage.bulk.store import RunStore

NOTHING_DONE = 2


@click.command(
    "batch",
    epilog="Example: walltriage batch cases/ more.jsonl --out walls.csv. See docs/batch.md.",
)
@click.argument("paths", nargs=-1, type=PATH)
@click.option("--out", type=PATH, help="Write here instead of stdout.")
@click.option(
    "--format",
    "form",
    type=click.Choice(["table", "csv", "jsonl", "parquet"]),
    help="Output format; by default from the ending of --out, else a table.",
)
@click.option("--top", type=click.IntRange(min=1), help="Write only the first N walls.")
@click.option(
    "--order",
    type=click.Choice(["urgency", "input"]),
    default="urgency",
    show_default=True,
    help="Most urgent first, or in input order.",
)
@click.option(
    "--resume", is_flag=True, help="Pick up an interrupted run with --out where it stopped."
)
@click.option(
    "--compare",
    "old_rules",
    type=PATH,
    help="Show which verdicts differ under the rules in this folder, and why.",
)
@click.option("--template", is_flag=True, help="Print the header of a CSV file to fill in.")
@click.option(
    "--processes", type=click.IntRange(min=1), default=1, help="Number of processes to use."
)
@click.option("--scheduler", help="Use the Dask cluster at this address, such as tcp://host:8786.")
@rules_option
def command(
    paths: tuple[Path, ...],
    out: Path | None,
    form: str | None,
    top: int | None,
    order: str,
    resume: bool,
    old_rules: Path | None,
    template: bool,
    processes: int,
    scheduler: str | None,
    rules_folder: Path | None,
) -> None:
    """Judge all walls in PATHS: folders, case files, JSON Lines, or CSV (one column per question).
    With - JSON Lines are read from standard input.

    A bad case is reported on stderr with its place and never stops the rest. Exits 2 only if
    no wall at all could be judged.
    """
    from walltriage.rules_folder import default_rules_folder

    folder = rules_folder or default_rules_folder()
    if template:
        from walltriage.bulk.csv import template as csv_template

        click.echo(csv_template(load_base(folder)), nl=False)
        return
    if not paths:
        raise click.UsageError(say("Give a folder or a file of cases, or --template."))
    if resume and out is None:
        raise click.UsageError(
            say("--resume needs --out, beside which an interrupted run is kept.")
        )
    from walltriage.bulk import compare, rows
    from walltriage.bulk.forms import form_kept
    from walltriage.bulk.run import Job, RuleFiles, judge_for
    from walltriage.bulk.write import (
        FORMAT_BY_SUFFIX,
        check_output,
        write_lines,
        write_rows,
        write_tables,
    )

    form = form or (FORMAT_BY_SUFFIX.get(out.suffix.lower(), "table") if out else "table")
    check_output(form, out)
    old = RuleFiles.of(old_rules) if old_rules is not None else None
    kept = form_kept(form) if old is None else "cells"
    job = Job(RuleFiles.of(folder), old, order == "input", kept)
    settings = _settings(job, _shared(scheduler, processes))
    base = judge_for(job).evaluator.base
    names = rows.fields(base) if old is None else compare.FIELDS
    shown = {} if old is None else {"columns": compare.SHOWN}
    with _spooled(paths) as found, _store(out, resume, settings, kept) as store:
        started, before = time.monotonic(), store.note.walls
        _judge_all(found, job, store, scheduler, processes)
        note = store.note
        if note.walls or out is None:
            merged = store.merged(top)
            if kept == "cells":
                write_rows(map(rows.cells_of, merged), names, form, out, **shown)
            elif kept == "tables":
                write_tables(merged, names, out)
            else:
                write_lines(merged, names, form, out)
        store.remove()
    _tell(note, note.walls - before, time.monotonic() - started)
    if not note.walls:
        raise SystemExit(NOTHING_DONE)


def _shared(scheduler: str | None, processes: int) -> bool:
    """Whether several workers share the files."""
    return scheduler is not None or processes > 1


def _settings(job: Any, shared: bool) -> str:
    """What an interrupted run must have in common with the one that resumes it."""
    import hashlib

    found = hashlib.sha256(repr((job, shared)).encode())
    return found.hexdigest()


@contextmanager
def _spooled(paths: tuple[Path, ...]) -> Iterator[tuple[Path, ...]]:
    """The paths, with what comes from standard input in a file that goes away."""
    if DASH not in paths:
        yield paths
        return
    with scratch_folder() as scratch:
        spool = scratch / "standard-input.jsonl"
        with spool.open("wb") as file:
            shutil.copyfileobj(sys.stdin.buffer, file)
        yield tuple(dict.fromkeys(spool if path == DASH else path for path in paths))


@contextmanager
def _store(out: Path | None, resume: bool, settings: str, form: FormName) -> Iterator[RunStore]:
    """Where sorted rows wait: beside ``out``, or in a folder that goes away."""
    from walltriage.bulk.store import RunStore

    if out is None:
        with scratch_folder() as scratch:
            yield RunStore.start(scratch / "runs", settings, form)
    else:
        folder = out.with_name(f"{out.name}.part")
        begun = RunStore.resume if resume else RunStore.start
        yield begun(folder, settings, form)


def _judge_all(
    paths: tuple[Path, ...], job: Any, store: RunStore, scheduler: str | None, processes: int
) -> None:
    from walltriage.bulk.blocks import tasks, total_bytes
    from walltriage.bulk.run import one_by_one, run

    shared = _shared(scheduler, processes)
    if shared:
        from walltriage.bulk.cluster import on_cluster

        place: Any = on_cluster(job, scheduler, processes)
    else:
        place = nullcontext(one_by_one(job))
    with place as mapped, _bar(paths, total_bytes) as advance:

        def told(task: Task, outcome: TaskOutcome | None) -> None:
            for problem in outcome.problems if outcome else ():
                click.echo(str(problem), err=True)
            advance(sum(block.file_bytes for block in task))

        run(tasks(paths, shared), mapped, store, told)


@contextmanager
def _bar(paths: tuple[Path, ...], total: Any) -> Iterator[Any]:
    """Progress by bytes read, on stderr, on a terminal only."""
    if not sys.stderr.isatty():
        yield lambda size: None
        return
    with click.progressbar(length=total(paths), label=say("Judging walls"), file=sys.stderr) as bar:
        yield bar.update


def _tell(note: Any, walls: int, seconds: float) -> None:
    """Counts of good and bad, moves of verdicts, and throughput."""
    for move, count in sorted(Counter(note.moves).items()):
        was, _, now = move.partition(" -> ")
        click.echo(f"{count:10,d}  {was if was == now else move}", err=True)
    speed = (
        say("{speed:,.0f} walls a second", speed=walls / seconds)
        if seconds > 0 and walls
        else say("nothing judged")
    )
    judged = say(
        "{walls} of {cases} judged",
        walls=say_count("{count:,d} wall", "{count:,d} walls", note.walls),
        cases=say_count("{count:,d} case", "{count:,d} cases", note.cases),
    )
    click.echo(
        say(
            "{judged}, {bad:,d} bad; {seconds:.1f} s, {speed}",
            judged=judged,
            bad=note.bad,
            seconds=seconds,
            speed=speed,
        ),
        err=True,
    )
