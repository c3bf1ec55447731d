"""Many walls at once: speed against other engines, growth with their number, memory.

    python -m tests.benchmarks.bulk [--quick]

All ratios are of medians taken in this one run, on one core unless said otherwise.  Times on
one core are processor time.  What takes several processes is timed by the clock and means
little on a machine that others use too.
"""

from __future__ import annotations

import argparse
import json
import multiprocessing
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median
from typing import Any

import numpy as np

from tests.benchmarks.peers import ClipsPeer
from tests.conftest import RULES
from tests.inference.answer_sets import random_answers
from tests.unit.study.case_lines import csv_rows, json_lines, random_case
from walltriage.inference.triage import Triager
from walltriage.knowledge.load import load_knowledge
from walltriage.study.batch_blocks import tasks
from walltriage.study.batch_run import Job, RuleFiles, judge_for, one_by_one
from walltriage.study.codes import Batch
from walltriage.study.column_planner import BatchPlanner, Progress
from walltriage.study.columns import VERDICTS, ColumnEvaluator

SHARE = 0.3  # of all questions answered: a long interview
MAKE = 4000  # different walls; larger batches repeat them in random order


class Table:
    """Prints lines of the table as they are measured."""

    def line(self, what: str, measured: str, aim: str = "") -> None:
        print(f"{what:58s} {measured:>22s}  {aim}", flush=True)


def timed(
    work: Callable[[], object], repeats: int, clock: Callable[[], float] = time.process_time
) -> float:
    """Median seconds of ``repeats`` runs after one to warm up.

    Of this process alone, so that others on the machine hardly matter; pass
    ``time.perf_counter`` for work in several processes.
    """
    work()
    times = []
    for _ in range(repeats):
        start = clock()
        work()
        times.append(clock() - start)
    return median(times)


def repeated(batch: Batch, walls: int) -> Batch:
    """A batch of so many walls, drawn from a smaller one."""
    rows = np.random.default_rng(walls).integers(0, len(batch), walls)
    parts = (batch.codes[rows], batch.sure[rows], batch.numbers[rows])
    return Batch(*(np.asfortranarray(part) for part in parts))


def against_engines(table: Table, full: Triager, columns: ColumnEvaluator, quick: bool) -> None:
    """Bulk evaluation against one wall at a time in two engines."""
    sets = [random_answers(full.base, seed, SHARE) for seed in range(MAKE)]
    batch = columns.coder.encode(sets)
    many = repeated(batch, 50_000 if quick else 100_000)
    verdicts = columns.evaluate(batch).verdict
    bulk = timed(lambda: columns.evaluate(many), 3 if quick else 7) / len(many)
    count = 20 if quick else 60
    one = timed(lambda: [full.evaluator.evaluate(given) for given in sets[:count]], 3) / count
    peer = ClipsPeer(full.evaluator)
    for row in range(count):
        assert peer.verdict(sets[row]) == VERDICTS[verdicts[row]]
    clips = timed(lambda: [peer.verdict(given) for given in sets[:count]], 3) / count
    bare = timed(lambda: [peer.verdict(given, False) for given in sets[:count]], 3) / count
    rules = len(columns.planned)
    table.line(f"columns, {rules} rules, {len(full.base.questions)} questions",
               f"{1 / bulk:,.0f} walls/s", "aim 200,000")  # fmt: skip
    table.line("  a wall", f"{bulk * 1e6:.2f} us")
    table.line("experta, case by case", f"{one * 1e3:.1f} ms a wall")
    table.line("clipspy, same rules and belief", f"{clips * 1e3:.2f} ms a wall")
    table.line("clipspy, rules alone up to belief", f"{bare * 1e3:.2f} ms a wall")
    table.line("experta / columns", f"{one / bulk:,.0f} times", "aim 1,000")
    table.line("clipspy with belief / columns", f"{clips / bulk:,.0f} times", "aim 100")
    table.line("clipspy without belief / columns", f"{bare / bulk:,.0f} times")
    floor(table, columns, many, bulk)


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
    belief = columns.belief
    looked_up = sum(len(c.clues) * len(c.clues[0].shown) for c in belief.conditions.values())
    weighed = sum(len(names) for names in belief.of_path.values())
    dropped = sum(
        sum(name in belief.of_path[path] for path in belief.paths for name in conditions)
        for conditions in belief._read_by.values()
    )
    one, other = np.random.default_rng(1).random((2, 8192))
    multiply = timed(lambda: [np.multiply(one, other, out=one) for _ in range(200)], 5)
    step = multiply / 200 / 8192
    # a look-up and a product a clue; two products and a quotient a condition of a path; the
    # same again, and a sum, for every answer that is dropped
    arithmetic = (2 * looked_up + 3 * weighed + 5 * dropped) * step
    table.line("  floor: bytes read and written a wall", f"{bytes_a_wall:,.0f} B",
               f"{bytes_a_wall * copying * 1e6:.2f} us at copying speed")  # fmt: skip
    table.line("  floor: arithmetic a wall", f"{arithmetic * 1e6:.2f} us",
               f"{looked_up} look-ups, {weighed} weights, {dropped} drops")  # fmt: skip
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
    slope = np.polyfit(np.log(sizes[1:]), np.log(seconds[1:]), 1)[0]
    table.line(
        "growth: slope of log time over log walls, from 10,000", f"{slope:.2f}", "1 is linear"
    )


def interviews(table: Table, columns: ColumnEvaluator, quick: bool) -> None:
    """Whole adaptive interviews, answers drawn at random."""
    planner, walls = BatchPlanner(columns), 2000 if quick else 10_000
    batch, progress = columns.coder.empty(walls), Progress.start(walls)
    draw, going, steps = np.random.default_rng(1), np.arange(walls), 0
    most = np.array([max(1, len(values)) for values in columns.coder.values])
    start = time.process_time()
    while len(going):
        plan = planner.plan(batch.rows(going), progress.rows(going))
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
    """The batch from files, and the part of it that only decodes JSON."""
    cases = [random_case(full.base, seed, SHARE) for seed in range(1000 if quick else 3000)]
    judge = judge_for(Job(RuleFiles.of(RULES)))
    for name, text in (("jsonl", json_lines(cases)), ("csv", csv_rows(full.base, cases))):
        path = folder / f"cases.{name}"
        path.write_text(text)
        work = list(tasks([path]))
        seconds = timed(lambda work=work: [judge(task) for task in work], 3)
        table.line(f"batch from {name}", f"{len(cases) / seconds:,.0f} walls/s",
                   f"{path.stat().st_size / len(cases):,.0f} B a wall")  # fmt: skip
    lines = json_lines(cases).splitlines()
    seconds = timed(lambda: [json.loads(line) for line in lines], 3)
    table.line(
        "  floor: decoding the same JSON, nothing else", f"{len(cases) / seconds:,.0f} walls/s"
    )


# of the process itself: what the kernel tells of a child includes its parent's memory
PEAK = """
from walltriage.cli import main
try:
    main()
except SystemExit as end:
    assert end.code == 0
print(next(line for line in open("/proc/self/status") if line.startswith("VmHWM")))
"""


def memory(table: Table, full: Triager, folder: Path, quick: bool) -> None:
    """Peak memory of the whole command on a short and a long file."""
    text = json_lines(random_case(full.base, seed, SHARE) for seed in range(1000))
    peaks = []
    for thousands in (10, 40) if quick else (20, 200):
        path = folder / "long.jsonl"
        with path.open("w") as file:
            for _ in range(thousands):
                file.write(text)
        command = [sys.executable, "-c", PEAK, "batch", str(path), "--out", str(folder / "out.csv")]
        told = subprocess.run(command, check=True, capture_output=True, text=True).stdout
        peaks.append(int(told.split()[-2]) / 1024)
        table.line(f"peak memory, {thousands * 1000:,d} walls from a file", f"{peaks[-1]:.0f} MB")
    table.line(
        "  growth of memory for that many times the walls", f"{peaks[1] / peaks[0]:.2f} times"
    )


def _evaluate(job: Job, batch: Batch, ready: Any, go: Any, used: Any) -> None:
    evaluator = judge_for(job).evaluator
    evaluator.evaluate(batch)
    ready.release()
    go.wait()
    start = time.process_time()
    evaluator.evaluate(batch)
    used.put(time.process_time() - start)


def processes(
    table: Table, full: Triager, columns: ColumnEvaluator, folder: Path, quick: bool
) -> None:
    """Two processes against one: evaluation alone, then files by way of Dask."""
    sets = (random_answers(full.base, seed, SHARE) for seed in range(MAKE))
    batch = repeated(columns.coder.encode(sets), 100_000 if quick else 400_000)
    job, context = Job(RuleFiles.of(RULES)), multiprocessing.get_context("fork")
    judge_for(job)
    half, by_clock, by_processor = len(batch) // 2, [], []
    for _ in range(3):
        times, longest = [], []
        for parts in ([batch], [batch.rows(slice(0, half)), batch.rows(slice(half, None))]):
            ready, go, used = context.Semaphore(0), context.Event(), context.SimpleQueue()
            started = [
                context.Process(target=_evaluate, args=(job, part, ready, go, used))
                for part in parts
            ]
            for process in started:
                process.start()
            for _ in started:
                ready.acquire()
            start = time.perf_counter()
            go.set()
            longest.append(max(used.get() for _ in started))
            times.append(time.perf_counter() - start)
            for process in started:
                process.join()
        by_clock.append(times[0] / times[1])
        by_processor.append(longest[0] / longest[1])
    table.line("two processes / one, by the clock", f"{median(by_clock):.2f} times", "aim 1.8")
    table.line("two processes / one, by processor time", f"{median(by_processor):.2f} times")
    dask(table, full, folder, quick)


def dask(table: Table, full: Triager, folder: Path, quick: bool) -> None:
    """Two workers of a local Dask cluster against one, and against no cluster."""
    from distributed import LocalCluster

    from walltriage.study.batch_cluster import on_cluster

    path = folder / "cluster.jsonl"
    text = json_lines(random_case(full.base, seed, SHARE) for seed in range(1000))
    path.write_text(text * (10 if quick else 40))
    work, job = list(tasks([path])), Job(RuleFiles.of(RULES))
    plain = timed(lambda: list(one_by_one(job)(work)), 3, time.perf_counter)
    seconds = {}
    for count in (1, 2):
        with (
            LocalCluster(n_workers=count, threads_per_worker=1, dashboard_address=None) as cluster,
            on_cluster(job, cluster.scheduler_address, 1) as mapped,
        ):
            seconds[count] = timed(lambda m=mapped: list(m(work)), 3, time.perf_counter)
    table.line(
        "two Dask workers / one, from files", f"{seconds[1] / seconds[2]:.2f} times", "aim 1.8"
    )
    table.line("one Dask worker / no cluster, from files", f"{plain / seconds[1]:.2f} times")


def main() -> None:
    """Measure everything and print one table."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--quick", action="store_true", help="fewer repeats, smaller batches")
    quick = parser.parse_args().quick
    full, table = Triager(load_knowledge(RULES)), Table()
    columns = ColumnEvaluator(full.base)
    load = ", ".join(f"{part:.1f}" for part in os.getloadavg())
    python = sys.version.split()[0]
    print(f"{os.cpu_count()} cores, load {load}; Python {python}, numpy {np.__version__}")
    against_engines(table, full, columns, quick)
    growth(table, full, columns, quick)
    interviews(table, columns, quick)
    with tempfile.TemporaryDirectory() as name:
        files(table, full, Path(name), quick)
        memory(table, full, Path(name), quick)
        processes(table, full, columns, Path(name), quick)


if __name__ == "__main__":
    main()
