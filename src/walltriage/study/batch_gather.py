"""Walls read from files, gathered before they are evaluated together."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np

from walltriage.errors import Problem
from walltriage.study.codes import Batch, Coder

NO_WALL = ("no wall to triage", "expected 'walls:' with one wall or more")


@dataclass(frozen=True, slots=True)
class WallRef:
    """Where a wall comes from."""

    path: str
    line: int
    case: str
    wall: str
    name: str = ""


@dataclass(slots=True)
class Gathered:
    """Walls read so far, as parallel lists, with counts of cases and every problem."""

    refs: list[WallRef] = field(default_factory=list)
    rows: list[int] = field(default_factory=list)
    columns: list[int] = field(default_factory=list)
    codes: list[int] = field(default_factory=list)
    sure: list[int] = field(default_factory=list)
    numbers: list[float] = field(default_factory=list)
    cases: int = 0
    bad: int = 0
    problems: list[Problem] = field(default_factory=list)

    def wrong(self, problems: Iterable[Problem]) -> None:
        """Count one bad case, and keep what is wrong with it."""
        self.bad += 1
        self.problems.extend(problems)

    def put(self, column: int, code: int, sure: int, number: float) -> None:
        """One answer of the wall added last."""
        self.rows.append(len(self.refs) - 1)
        self.columns.append(column)
        self.codes.append(code)
        self.sure.append(sure)
        self.numbers.append(number)

    def batch(self, coder: Coder) -> Batch:
        """The answers of all walls in column form, a row for each of ``refs``."""
        batch = coder.empty(len(self.refs))
        rows, columns = np.array(self.rows, np.intp), np.array(self.columns, np.intp)
        batch.codes[rows, columns] = np.array(self.codes, np.uint8)
        batch.sure[rows, columns] = np.array(self.sure, np.uint8)
        numbers = np.array(self.numbers)
        measured = np.flatnonzero(~np.isnan(numbers))
        of_question = np.full(len(coder.questions), -1)
        for name, column in coder.number_column.items():
            of_question[coder.column[name]] = column
        batch.numbers[rows[measured], of_question[columns[measured]]] = numbers[measured]
        return batch


def not_utf8(path: str, error: UnicodeDecodeError, line: int = 0) -> Problem:
    """The problem of bytes that are no text; ``line`` is theirs when they are one line."""
    if not line:
        line = error.object.count(b"\n", 0, error.start) + 1
    column = error.start - error.object.rfind(b"\n", 0, error.start)
    return Problem(path, line, column, f"not UTF-8 text (byte {error.start})", "save it as UTF-8")
