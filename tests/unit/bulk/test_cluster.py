"""The batch on a local Dask cluster gives what one process gives, also when a worker dies."""

from __future__ import annotations

import os
import signal
from dataclasses import replace

import pytest

from tests.conftest import SMALL_RULES
from tests.unit.bulk.case_lines import json_lines, random_case
from walltriage.bulk import blocks as batch_blocks
from walltriage.bulk.blocks import Block, tasks
from walltriage.bulk.run import Job, RuleFiles, judge_task, one_by_one, run
from walltriage.bulk.store import RunStore
from walltriage.errors import InputError

distributed = pytest.importorskip("distributed")
batch_cluster = pytest.importorskip("walltriage.bulk.cluster")

# the cluster's own threads warn of ports, slow disks and closing; none of it is ours
pytestmark = [pytest.mark.extras, pytest.mark.filterwarnings("ignore")]


@pytest.fixture
def job():
    """The small rules."""
    return Job(RuleFiles.of(SMALL_RULES))


@pytest.fixture
def path(small, tmp_path, monkeypatch):
    """Enough lines, some of them bad, for some thirty tasks."""
    monkeypatch.setattr(batch_blocks, "BLOCK_BYTES", 4000)
    path = tmp_path / "cases.jsonl"
    text = json_lines(random_case(small.base, seed, walls=2) for seed in range(200))
    path.write_text("not a case\n" + text + '{"schema": 3}\n')
    return path


def result(mapped, path, folder, told=lambda task, outcome: None):
    """Rows in order, problems and counts of one run.

    In how many sorted runs the rows lay on disk depends on the clock, and is left out.
    """
    problems = []

    def tell(task, outcome):
        problems.extend(outcome.problems)
        told(task, outcome)

    store = RunStore.start(folder, "x")
    run(tasks([path]), mapped, store, tell)
    return list(store.merged()), problems, replace(store.note, runs=0)


def test_survives_the_loss_of_a_worker(job, path, tmp_path):
    """A worker killed in the middle: the same rows, problems and counts as in one process."""
    rows, problems, note = result(one_by_one(job), path, tmp_path / "one")
    assert (len(rows), len(problems), note.bad) == (400, 2, 2)
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, dashboard_address=batch_cluster.ANY_PORT
    ) as cluster:
        killed = []

        def kill_one(task, outcome):
            if not killed:
                with distributed.Client(cluster) as client:
                    victim = next(iter(client.run(os.getpid).values()))
                killed.append(victim)
                os.kill(victim, signal.SIGKILL)

        with batch_cluster.on_cluster(job, cluster.scheduler_address, 1) as mapped:
            got = result(mapped, path, tmp_path / "two", kill_one)
        with distributed.Client(cluster) as client:
            client.wait_for_workers(2, timeout=60)  # the lost one is back before all is closed
    assert killed
    assert got == (rows, problems, note)


def test_own_processes(job, path, tmp_path):
    """``--processes`` starts and ends a cluster of its own."""
    with batch_cluster.on_cluster(job, None, 2) as mapped:
        got = result(mapped, path, tmp_path / "two")
    assert got == result(one_by_one(job), path, tmp_path / "one")


def test_no_scheduler_there(job, monkeypatch):
    """An address at which nothing answers is told as bad input."""
    monkeypatch.setattr(batch_cluster, "CONNECT_SECONDS", 0.5)
    with (
        pytest.raises(InputError, match=r"no scheduler answers at tcp://127\.0\.0\.1:9"),
        batch_cluster.on_cluster(job, "tcp://127.0.0.1:9", 1),
    ):
        pass


def test_a_task_is_judged_the_same_wherever(job):
    """The function that is sent out needs nothing but the job and the task."""
    line = b'{"schema": "walltriage/case/1", "walls": [{"id": "w"}]}\n'
    outcome = judge_task(job, (Block("there.jsonl", "jsonl", 7, line),))
    assert (outcome.cases, outcome.walls, outcome.bad) == (1, 1, 0)
    assert '["there.jsonl",7,"there:7","w"' in outcome.rows[0]
