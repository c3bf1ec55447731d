"""The batch on a Dask cluster: the same function, on other processes or machines.

Each worker has one task at a time, so that none waits for another with work laid up, and a few
results wait for their turn: memory stays bounded however long the input is, and they come back in
order.  Dask sends a task out again when its worker is lost.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import Any

from walltriage.bulk.blocks import Task
from walltriage.bulk.run import Job, Mapped, TaskOutcome, judge_for, judge_task
from walltriage.errors import InputError, Problem

AHEAD = 3  # tasks of each core that are handed out, or done and waiting for one before them
CONNECT_SECONDS = 20
# for Dask's page about itself; of a fixed port it complains when another cluster has it
ANY_PORT = "127.0.0.1:0"


@contextmanager
def on_cluster(job: Job, scheduler: str | None, processes: int) -> Iterator[Mapped]:
    """A way to judge tasks on the cluster at ``scheduler``, or on so many own processes.

    Raises :class:`InputError` when Dask is not installed, no scheduler answers, or the
    cluster has no workers.
    """
    try:
        import distributed
    except ImportError:
        what = "several processes need Dask"
        problem = Problem("--processes", 0, 0, what, "pip install 'walltriage[bulk]'")
        raise InputError(problem) from None
    judge_for(job)  # mistakes in the rules are told here, once
    dask: Any = distributed  # it has types for half of what it does
    cluster: Any = None
    try:
        if scheduler is None:
            cluster = dask.LocalCluster(
                n_workers=processes, threads_per_worker=1, dashboard_address=ANY_PORT
            )
        client = dask.Client(scheduler or cluster, timeout=CONNECT_SECONDS)
    except (OSError, ValueError) as error:
        if cluster is not None:
            cluster.close()
        what = f"no scheduler answers at {scheduler}: {str(error).splitlines()[0]}"
        raise InputError(Problem("--scheduler", 0, 0, what, "expected tcp://HOST:PORT")) from None
    try:
        yield _mapped(client, job)
    finally:
        client.close()
        if cluster is not None:
            cluster.close()


def _mapped(client: Any, job: Job) -> Mapped:
    import distributed

    dask: Any = distributed

    def mapped(tasks: Iterable[Task]) -> Iterator[tuple[Task, TaskOutcome]]:
        # the result of a task, unlike scattered data, is made again when its holders are lost
        shared = client.submit(_handed, job, pure=False)
        client.replicate([shared])  # so that no worker waits for another's copy
        waiting: deque[tuple[Task, Any]] = deque()
        for task in tasks:
            cores = max(1, sum(client.nthreads().values()))
            while len(waiting) >= AHEAD * cores:
                yield _outcome(*waiting.popleft())
            while len(going := [future for _, future in waiting if not future.done()]) >= cores:
                with client.as_current():
                    dask.wait(going, return_when="FIRST_COMPLETED")
            waiting.append((task, client.submit(judge_task, shared, task, pure=False)))
        while waiting:
            yield _outcome(*waiting.popleft())

    return mapped


def _outcome(task: Task, future: Any) -> tuple[Task, TaskOutcome]:
    return task, future.result()


def _handed(job: Job) -> Job:
    return job
