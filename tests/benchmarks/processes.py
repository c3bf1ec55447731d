"""Two processes against one, alternating, and the memory of the whole command.

On a machine that others use too, the clock tells how much of it was to be had; processor
time tells how evenly the work was shared, which is what two free cores would give.
"""

from __future__ import annotations

import multiprocessing
import subprocess
import sys
import time
from collections.abc import Iterable
from pathlib import Path
from statistics import median
from typing import Any

from tests.benchmarks.made import MAKE, SHARE, repeated
from tests.benchmarks.table import Table
from tests.conftest import RULES
from tests.inference.answer_sets import random_answers
from tests.unit.bulk.case_lines import json_lines, random_case
from walltriage.bulk.blocks import tasks
from walltriage.bulk.run import Job, RuleFiles, judge_for, one_by_one
from walltriage.inference.columns.codes import Batch
from walltriage.inference.columns.evaluator import ColumnEvaluator
from walltriage.inference.triage import Triager

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
    """Peak memory of the whole command on a long file, and on one four times as long.

    Both hold more rows than wait in memory for a sorted run.
    """
    text = json_lines(random_case(full.base, seed, SHARE) for seed in range(1000))
    peaks = []
    for thousands in (30, 120) if quick else (120, 480):
        path = folder / "long.jsonl"
        with path.open("w") as file:
            for _ in range(thousands):
                file.write(text)
        command = [sys.executable, "-c", PEAK, "batch", str(path), "--out", str(folder / "out.csv")]
        told = subprocess.run(command, check=True, capture_output=True, text=True).stdout
        peaks.append(int(told.split()[-2]) / 1024)
        table.line(f"peak memory, {thousands * 1000:,d} walls from a file", f"{peaks[-1]:.0f} MB")
    table.line("  memory for four times the walls", f"{peaks[1] / peaks[0]:.2f} times")


def _evaluate(job: Job, batch: Batch, ready: Any, go: Any, used: Any) -> None:
    evaluator = judge_for(job).evaluator
    evaluator.evaluate(batch)
    ready.release()
    go.wait()
    start = time.process_time()
    evaluator.evaluate(batch)
    used.put(time.process_time() - start)


def _side_by_side(job: Job, parts: list[Batch]) -> tuple[float, float]:
    """Seconds by the clock, and processor seconds of the busiest, a process for each part."""
    context = multiprocessing.get_context("fork")
    ready, go, used = context.Semaphore(0), context.Event(), context.SimpleQueue()
    started = [
        context.Process(target=_evaluate, args=(job, part, ready, go, used)) for part in parts
    ]
    for process in started:
        process.start()
    for _ in started:
        ready.acquire()
    start = time.perf_counter()
    go.set()
    busiest = max(used.get() for _ in started)
    clock = time.perf_counter() - start
    for process in started:
        process.join()
    return clock, busiest


def processes(table: Table, full: Triager, columns: ColumnEvaluator, quick: bool) -> None:
    """Evaluation alone, in one process and in two."""
    sets = (random_answers(full.base, seed, SHARE) for seed in range(MAKE))
    batch = repeated(columns.coder.encode(sets), 100_000 if quick else 400_000)
    job, half = Job(RuleFiles.of(RULES)), len(batch) // 2
    judge_for(job)
    halves = [batch.rows(slice(0, half)), batch.rows(slice(half, None))]
    pairs = [
        (_side_by_side(job, [batch]), _side_by_side(job, halves)) for _ in range(3 if quick else 7)
    ]
    _tell(table, "two processes / one, evaluation alone", pairs)


def dask(table: Table, full: Triager, folder: Path, quick: bool) -> None:
    """Two workers of a local Dask cluster against one, and against no cluster."""
    from distributed import Client, LocalCluster

    from walltriage.bulk.cluster import ANY_PORT, on_cluster

    path = folder / "cluster.jsonl"
    text = json_lines(random_case(full.base, seed, SHARE) for seed in range(1000))
    path.write_text(text * (20 if quick else 80))
    job, pairs, plain = Job(RuleFiles.of(RULES)), [], []
    alone = one_by_one(job)
    with (
        LocalCluster(n_workers=1, threads_per_worker=1, dashboard_address=ANY_PORT) as one,
        LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=ANY_PORT) as two,
        Client(one) as one_client,
        Client(two) as two_client,
        on_cluster(job, one.scheduler_address, 1) as by_one,
        on_cluster(job, two.scheduler_address, 1) as by_two,
    ):
        for repeat in range(4 if quick else 6):
            times = []
            for client, mapped in ((one_client, by_one), (two_client, by_two)):
                before = client.run(time.process_time)
                start = time.perf_counter()
                _work(mapped(tasks([path], shared=True)))
                clock = time.perf_counter() - start
                after = client.run(time.process_time)
                times.append((clock, max(after[name] - before[name] for name in after)))
            start = time.perf_counter()
            _work(alone(tasks([path])))
            if repeat:  # the first is to warm up
                plain.append(time.perf_counter() - start)
                pairs.append((times[0], times[1]))
    _tell(table, "two Dask workers / one, from files", pairs)
    ratio = median(plain) / median(one[0] for one, _ in pairs)
    table.line("  one Dask worker / no cluster, by the clock", f"{ratio:.2f} times")


def _work(outcomes: Iterable[object]) -> None:
    for _ in outcomes:
        pass


def _tell(
    table: Table, what: str, pairs: list[tuple[tuple[float, float], tuple[float, float]]]
) -> None:
    by_clock = median(one[0] / two[0] for one, two in pairs)
    by_processor = median(one[1] / two[1] for one, two in pairs)
    table.line(f"{what}, by the clock", f"{by_clock:.2f} times", "depends on who else is there")
    table.at_least("  by the busiest one's processor time", by_processor, 1.8, "{:.2f} times")
