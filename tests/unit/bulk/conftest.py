"""What tests of batches share."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from walltriage.bulk import run as batch_run


@pytest.fixture
def interrupted(monkeypatch) -> Callable[[int], list]:
    """Let a batch be interrupted once so many tasks are judged, and count those judged after."""

    def after(tasks: int) -> list:
        judge, judged = batch_run.judge_task, []

        def judging(job, task):
            if len(judged) == tasks:
                monkeypatch.setattr(
                    batch_run, "judge_task", lambda j, t: judged.append(t) or judge(j, t)
                )
                judged.clear()
                raise KeyboardInterrupt
            judged.append(task)
            return judge(job, task)

        monkeypatch.setattr(batch_run, "judge_task", judging)
        return judged

    return after
