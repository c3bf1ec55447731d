"""The batch from blocks to sorted rows, on one core or by many.

``Judge`` is the whole work on one task and knows nothing of where it runs; the loop
around it keeps what comes back, in order, at points from which a run can resume.
"""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from pathlib import Path
from typing import Any

from walltriage.bulk.blocks import Task, halves
from walltriage.bulk.compare import Comparer
from walltriage.bulk.forms import FormName
from walltriage.bulk.read import BlockReader
from walltriage.bulk.rows import RowLines
from walltriage.bulk.store import RUN_ROWS, RunStore, task_digest
from walltriage.errors import InputError, Problem
from walltriage.files import held_folder, read_bytes
from walltriage.garbage import garbage_left
from walltriage.inference.columns.evaluator import ColumnEvaluator
from walltriage.knowledge.load import load_knowledge

KEEP_SECONDS = 20.0  # most work lost when a run is interrupted


@dataclass(frozen=True, slots=True)
class RuleFiles:
    """A knowledge base as its files, to be sent to wherever it is needed.

    ``folder`` is where they came from, for messages.
    """

    folder: str
    files: tuple[tuple[str, bytes], ...]

    @classmethod
    def of(cls, folder: Path) -> RuleFiles:
        """All files of a rules folder, by name; :class:`InputError` if there is none."""
        if not folder.is_dir():
            raise InputError(Problem(str(folder), 0, 0, "no such folder", "expected rules"))
        found = sorted(path for path in folder.rglob("*.yaml") if path.is_file())
        files = ((p.relative_to(folder).as_posix(), read_bytes(p)) for p in found)
        return cls(str(folder), tuple(files))

    def evaluator(self) -> ColumnEvaluator:
        """The knowledge base read and compiled; :class:`InputError` if it cannot be."""
        folder = str(held_folder())  # stays: tables are read when needed
        for name, data in self.files:
            path = Path(folder, name)
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
        try:
            return ColumnEvaluator(load_knowledge(Path(folder)))
        except InputError as error:
            raise InputError(
                replace(p, path=p.path.replace(folder, self.folder, 1)) for p in error
            ) from None


@dataclass(frozen=True, slots=True)
class Job:
    """What every worker must know: the rules, those to compare with, and the order and form of
    rows; what a comparison moves has a form of its own."""

    rules: RuleFiles
    old_rules: RuleFiles | None = None
    in_order: bool = False
    form: FormName = "cells"


@dataclass(frozen=True, slots=True)
class TaskOutcome:
    """What one task gave; ``rows`` are lines, or tables of rows."""

    rows: list[Any]
    problems: list[Problem]
    cases: int
    walls: int
    bad: int
    moves: Mapping[str, int] = field(default_factory=dict)


class Judge:
    """Reads, evaluates and tells the walls of a task."""

    def __init__(
        self, evaluator: ColumnEvaluator, old: ColumnEvaluator | None = None,
        in_order: bool = False, form: FormName = "cells",
    ) -> None:  # fmt: skip
        self.evaluator = evaluator
        self._reader = BlockReader(evaluator)
        self._comparer = Comparer(evaluator, old) if old is not None else None
        self._in_order, self._rows = in_order, _rows_of(evaluator, form)

    def __call__(self, task: Task) -> TaskOutcome:
        """Judge a task; whatever goes wrong with one record is told of that record alone."""
        try:
            with garbage_left():
                return self._judged(task)
        except Exception as error:
            parts = halves(task)
            if not parts:
                return _failed(task, error)
        return _joined([self(part) for part in parts])

    def _judged(self, task: Task) -> TaskOutcome:
        batch, gathered = self._reader.read(task)
        result = self.evaluator.evaluate(batch)
        moves: Mapping[str, int] = {}
        if self._comparer is None:
            rows: list[Any] = self._rows(gathered.refs, result, self._in_order)
        else:
            rows, moves = self._comparer.compare(gathered.refs, batch, result)
        return TaskOutcome(
            rows, gathered.problems, gathered.cases, len(gathered.refs), gathered.bad, moves
        )


def _rows_of(evaluator: ColumnEvaluator, form: FormName) -> Callable[..., list[Any]]:
    """What makes rows of results, in a form."""
    if form == "tables":
        from walltriage.bulk.row_tables import RowTables

        return RowTables(evaluator)
    return RowLines(evaluator, form)


def _failed(task: Task, error: Exception) -> TaskOutcome:
    """What is told of one record that could not be judged, by a mistake of this program."""
    block = task[0]
    what = f"could not be judged ({type(error).__name__}: {error})"
    problem = Problem(block.path, block.line, 1, what, "please report this case")
    return TaskOutcome([], [problem], 0, 0, 1)


def _joined(outcomes: list[TaskOutcome]) -> TaskOutcome:
    moves: Counter[str] = Counter()
    for outcome in outcomes:
        moves.update(outcome.moves)
    return TaskOutcome(
        [row for outcome in outcomes for row in outcome.rows],
        [problem for outcome in outcomes for problem in outcome.problems],
        sum(outcome.cases for outcome in outcomes),
        sum(outcome.walls for outcome in outcomes),
        sum(outcome.bad for outcome in outcomes),
        moves,
    )


@lru_cache(maxsize=2)
def judge_for(job: Job) -> Judge:
    """The judge for a job, compiled once in each process."""
    old = job.old_rules.evaluator() if job.old_rules is not None else None
    return Judge(job.rules.evaluator(), old, job.in_order, job.form)


def judge_task(job: Job, task: Task) -> TaskOutcome:
    """One task of a job, wherever it is called."""
    return judge_for(job)(task)


Mapped = Callable[[Iterable[Task]], Iterator[tuple[Task, TaskOutcome]]]


def one_by_one(job: Job) -> Mapped:
    """Judge tasks here, one after the other."""

    def mapped(tasks: Iterable[Task]) -> Iterator[tuple[Task, TaskOutcome]]:
        for task in tasks:
            yield task, judge_task(job, task)

    return mapped


def run(
    tasks: Iterable[Task],
    mapped: Mapped,
    store: RunStore,
    told: Callable[[Task, TaskOutcome | None], object],
) -> None:
    """Judge all tasks and keep their rows; ``told`` is called after each.

    Tasks that an interrupted run has kept are passed over (``told`` gets None for them).
    Raises :class:`InputError` when they are not the ones that were kept.
    """
    remaining = iter(tasks)
    digest, done = "", 0
    while done < store.note.tasks and (task := next(remaining, None)) is not None:
        digest, done = task_digest(digest, task), done + 1
        told(task, None)
    if digest != store.note.digest:
        what = "the cases have changed since the run was interrupted"
        raise InputError(Problem("--resume", 0, 0, what, "start again without --resume"))
    note, last = store.note, time.monotonic()
    for task, outcome in mapped(remaining):
        digest, done = task_digest(digest, task), done + 1
        note.cases += outcome.cases
        note.walls += outcome.walls
        note.bad += outcome.bad
        for move, count in outcome.moves.items():
            note.moves[move] = note.moves.get(move, 0) + count
        store.add(outcome.rows)
        told(task, outcome)
        if store.waiting >= RUN_ROWS or time.monotonic() - last >= KEEP_SECONDS:
            store.keep(done, digest)
            last = time.monotonic()
    store.keep(done, digest)
