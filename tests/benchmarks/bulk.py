"""Many walls at once: speed against other engines, growth with their number, the floor."""

from __future__ import annotations

import csv
import io
import json
import tempfile
import time
from pathlib import Path
from statistics import median

import numpy as np

from tests.benchmarks.made import MAKE, SHARE, repeated
from tests.benchmarks.peers import ClipsPeer
from tests.benchmarks.processes import dask, memory, processes
from tests.benchmarks.table import Table, timed
from tests.conftest import RULES
from tests.inference.answer_sets import random_answers
from tests.inference.rete import with_rete
from tests.unit.bulk.case_lines import csv_rows, json_lines, random_case
from walltriage.bulk.blocks import tasks
from walltriage.bulk.forms import form_kept
from walltriage.bulk.rows import cells_of, fields
from walltriage.bulk.run import Job, RuleFiles, judge_for, one_by_one, run
from walltriage.bulk.store import RunStore
from walltriage.bulk.write import write_lines, write_rows, write_tables
from walltriage.case.model import Case
from walltriage.inference.columns.codes import Batch
from walltriage.inference.columns.evaluator import VERDICTS, ColumnEvaluator
from walltriage.inference.looks.column_planner import ColumnPlanner, Progress
from walltriage.inference.triage import Triager
from walltriage.knowledge.load import load_knowledge


def against_engines(table: Table, full: Triager, columns: ColumnEvaluator, quick: bool) -> None:
    """Bulk evaluation against one wall at a time in three engines, all from the same answers."""
    sets = [random_answers(full.base, seed, SHARE) for seed in range(MAKE)]
    batch = columns.coder.encode(sets)
    many = repeated(batch, 50_000 if quick else 100_000)
    verdicts = columns.evaluate(batch).verdict
    ready = timed(lambda: columns.evaluate(many), 3 if quick else 7) / len(many)
    repeats = 3 if quick else 7
    bulk = timed(lambda: columns.evaluate(columns.coder.encode(sets)), repeats) / len(sets)
    count = 20 if quick else 60
    rete, peer = with_rete(full.base).evaluator, ClipsPeer(full.evaluator)
    for row in range(count):
        assert peer.verdict(sets[row]) == VERDICTS[verdicts[row]]
        assert rete.evaluate(sets[row]).verdict == VERDICTS[verdicts[row]]
    alone = {
        "experta as it comes": lambda: [rete.evaluate(given) for given in sets[:count]],
        "C Rete engine": lambda: [peer.verdict(given) for given in sets[:count]],
        "experta with our matcher": lambda: [full.evaluator.evaluate(g) for g in sets[:count]],
    }
    walls = {name: timed(work, 3) / count for name, work in alone.items()}
    rules = len(columns.stratified)
    what = f"columns, {rules} rules, {len(full.base.questions)} questions"
    table.line(what, f"{1 / bulk:,.0f} walls/s", f"{bulk * 1e6:.1f} us a wall, coding counted")
    table.at_least("  answers in codes already", 1 / ready, 200_000, "{:,.0f} walls/s")
    for name, goal in (("experta as it comes", 400), ("C Rete engine", 150)):
        table.line(f"{name}, wall by wall", f"{walls[name] * 1e3:.2f} ms a wall")
        table.at_least("  times columns, coding counted", walls[name] / bulk, goal, "{:,.0f} times")
        table.line("  times columns, from codes", f"{walls[name] / ready:,.0f} times")
    ours = walls["experta with our matcher"]
    table.line("experta with our matcher, wall by wall", f"{ours * 1e3:.2f} ms a wall")
    gain = walls["experta as it comes"] / ours
    table.line("  experta as it comes, times that", f"{gain:.1f} times")
    floor(table, columns, many, ready)


def floor(table: Table, columns: ColumnEvaluator, batch: Batch, bulk: float) -> None:
    """The least that any program must do, at what this machine does it for."""
    result = columns.evaluate(batch)
    read = sum(part.nbytes for part in (batch.codes, batch.sure, batch.numbers))
    written = sum(
        part.nbytes
        for part in (result.fired, result.path_low, result.path_high, result.path_status)
    )
    block = np.zeros(1 << 25, np.uint8)
    target = np.empty_like(block)
    copying = timed(lambda: np.copyto(target, block), 5) / (2 * block.nbytes)
    bytes_a_wall = (read + written) / len(batch)
    kernel = columns.belief.step_of.kernel
    looked_up = sum(len(clue.table) for clue in kernel.clues.values())
    weighed = sum(len(conditions) for conditions in kernel.tables.values())
    one, other = np.random.default_rng(1).random((2, 8192))
    multiply = timed(lambda: [np.multiply(one, other, out=one) for _ in range(200)], 5)
    step = multiply / 200 / 8192
    # a look-up and a product a clue and state; two products and a quotient a condition of a path
    arithmetic = (2 * looked_up + 3 * weighed) * step
    table.line("  floor: bytes read and written a wall", f"{bytes_a_wall:,.0f} B",
               f"{bytes_a_wall * copying * 1e6:.2f} us at copying speed")  # fmt: skip
    table.line("  floor: arithmetic a wall", f"{arithmetic * 1e6:.2f} us",
               f"{looked_up} look-ups, {weighed} weights")  # fmt: skip
    total = bytes_a_wall * copying + arithmetic
    table.line("  distance from the floor", f"{bulk / total:.1f} times")


def growth(table: Table, full: Triager, columns: ColumnEvaluator, quick: bool) -> None:
    """Cost from 1,000 to 1,000,000 walls."""
    sets = (random_answers(full.base, seed, SHARE) for seed in range(MAKE))
    batch = columns.coder.encode(sets)
    sizes = [1000, 10_000, 100_000] + ([] if quick else [1_000_000])
    seconds = []
    for walls in sizes:
        many = repeated(batch, walls)
        seconds.append(timed(lambda many=many: columns.evaluate(many), 1 if walls > 10**5 else 5))
        table.line(f"  {walls:,d} walls", f"{seconds[-1]:.3f} s",
                   f"{seconds[-1] / walls * 1e6:.2f} us a wall")  # fmt: skip
    each, start = np.polyfit(sizes, seconds, 1, w=1 / np.array(seconds))
    table.line("  a wall, and the start told apart", f"{each * 1e6:.2f} us, {start * 1e3:.1f} ms")
    beyond = np.array(seconds) - start
    slope = np.polyfit(np.log(sizes), np.log(np.maximum(beyond, 1e-9)), 1)[0]
    table.line("growth beyond the start: log time over log walls", f"{slope:.2f}", "1 is linear")


def interviews(table: Table, columns: ColumnEvaluator, quick: bool) -> None:
    """Whole adaptive interviews, answers drawn at random."""
    planner, walls = ColumnPlanner(columns), 2000 if quick else 10_000
    batch, progress = columns.coder.empty(walls), Progress.start(walls, len(columns.base.questions))
    draw, going, steps = np.random.default_rng(1), np.arange(walls), 0
    most = np.array([max(1, len(values)) for values in columns.coder.values])
    start = time.process_time()
    while len(going):
        plan = planner.next_questions(batch.rows(going), progress.rows(going))
        going, asked = going[plan.question >= 0], plan.question[plan.question >= 0]
        batch.codes[going, asked] = 1 + (draw.random(len(asked)) * (2 + most[asked])).astype(int)
        question = np.full(walls, -1)
        question[going] = asked
        planner.advance(progress, question)
        steps += len(asked)
    seconds = time.process_time() - start
    name = f"interviews of {steps / walls:.0f} questions, planned together"
    a_question = f"{seconds / steps * 1e6:.0f} us a question"
    table.line(name, f"{walls / seconds:,.0f} a second", a_question)


def files(table: Table, full: Triager, folder: Path, quick: bool) -> None:
    """The batch from files to a file, rules compiled, and the part of it that only decodes JSON."""
    cases = [random_case(full.base, seed, SHARE) for seed in range(3000 if quick else 12_000)]
    times = 1 if quick else 5  # that each case stands in the files
    many = _written(folder, full, cases, times)
    once = _written(folder, full, cases, 1) if times > 1 else many
    for name, goal in (("jsonl", 30_000), ("csv", 40_000), ("parquet", 80_000)):
        path, walls = many[name], len(cases) * times
        out = "parquet" if name == "parquet" else "csv"
        seconds = timed(lambda path=path, out=out: batch(path, folder / f"walls.{out}", out), 3)
        what = f"batch from {name}, read, judged, written as {out}"
        table.at_least(what, walls / seconds, goal, "{:,.0f} walls/s")
        table.line("  a wall", f"{path.stat().st_size / walls:,.0f} B", f"{walls:,} walls")
        first = median(_first_time(once[name], folder / f"walls.{out}", out) for _ in range(3))
        note = "every answer and kind of lumber worked out; above, remembered"
        table.line("  the first time", f"{len(cases) / first:,.0f} walls/s", note)
    lines = json_lines(cases).splitlines()
    seconds = timed(lambda: [json.loads(line) for line in lines], 3)
    rate = f"{len(cases) / seconds:,.0f} walls/s"
    table.line("  for comparison: json.loads of the same lines, no more", rate)


def _written(folder: Path, full: Triager, cases: list[Case], times: int) -> dict[str, Path]:
    """Files of the cases, each so many times, by kind."""
    paths = {name: folder / f"cases_{times}.{name}" for name in ("jsonl", "csv", "parquet")}
    head, rows = csv_rows(full.base, cases).split("\n", 1)
    paths["jsonl"].write_text(json_lines(cases) * times)
    paths["csv"].write_text(f"{head}\n{rows * times}")
    _parquet(paths["csv"].read_text(), paths["parquet"])
    return paths


def _first_time(path: Path, out: Path, form: str) -> float:
    """Seconds of a process that has just compiled the rules and read nothing before."""
    judge_for.cache_clear()
    judge_for(_job(form))
    start = time.process_time()
    batch(path, out, form)
    return time.process_time() - start


def _job(form: str) -> Job:
    return Job(RuleFiles.of(RULES), form=form_kept(form))


def batch(path: Path, out: Path, form: str) -> None:
    """What the command does once the rules are there: sorted runs, merged, written to a file."""
    job, kept = _job(form), form_kept(form)
    names = fields(judge_for(job).evaluator.base)
    store = RunStore.start(out.with_name(f"{out.name}.part"), "", kept)
    run(tasks([path]), one_by_one(job), store, lambda task, outcome: None)
    if kept == "cells":
        write_rows(map(cells_of, store.merged()), names, form, out)
    elif kept == "tables":
        write_tables(store.merged(), names, out)
    else:
        write_lines(store.merged(), names, form, out)
    store.remove()


def _parquet(rows: str, path: Path) -> None:
    """CSV text as a Parquet file of the same cells."""
    import pyarrow as pa
    from pyarrow import parquet

    names, *cells = csv.reader(io.StringIO(rows))
    columns = [[cell or None for cell in column] for column in zip(*cells, strict=True)]
    parquet.write_table(pa.table(columns, names=names), path)


def measure(table: Table, quick: bool) -> None:
    """Measure and print."""
    full = Triager(load_knowledge(RULES))
    columns = ColumnEvaluator(full.base)
    against_engines(table, full, columns, quick)
    growth(table, full, columns, quick)
    interviews(table, columns, quick)
    processes(table, full, columns, quick)
    with tempfile.TemporaryDirectory() as name:
        files(table, full, Path(name), quick)
        dask(table, full, Path(name), quick)
        memory(table, full, Path(name), quick)
