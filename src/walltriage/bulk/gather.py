"""Walls read from files, gathered before they are evaluated together."""

from __future__ import annotations

from array import array
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, field
from itertools import repeat
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from walltriage.case.model import Case
from walltriage.errors import Problem
from walltriage.inference.columns.codes import Batch, Coder, Floats

# of a packed answer, from below: sureness, code, column; place of its number, from 1, and the
# keys it took in a file, both left at nothing where they are not wanted
CODE_SHIFT, COLUMN_SHIFT, MEASURED_SHIFT, KEYS_SHIFT = 8, 16, 28, 56
_COLUMNS, _MEASURED = (1 << 12) - 1, (1 << 28) - 1
Ints = NDArray[np.int64]
PART = 32_768  # answers put into columns at once, which leaves them in the caches
NO_WALL = ("no wall to triage", "expected 'walls:' with one wall or more")


class WallRef(NamedTuple):
    """Where a wall comes from."""

    path: str
    line: int
    case: str
    wall: str
    name: str = ""


class MeasuredNumbers:
    """Measured numbers, for packed answers to point to, each by its place from 1 on."""

    def __init__(self) -> None:
        self._columns, self._numbers = array("q"), array("d")

    def __len__(self) -> int:
        return len(self._columns)

    def put(self, column: int, number: float) -> int:
        """Keep a number and the column it belongs to; its place."""
        self._columns.append(column)
        self._numbers.append(number)
        return len(self._columns)

    def extend(self, several: Iterable[tuple[int, float]]) -> None:
        """Keep several, each with its column, at the places that follow."""
        columns, numbers = zip(*several, strict=True) if (several := list(several)) else ((), ())
        self._columns.extend(columns)
        self._numbers.extend(numbers)

    def at(self, places: Ints) -> tuple[Ints, Floats]:
        """The columns and numbers at some places (k,)."""
        columns, numbers = np.frombuffer(self._columns, np.int64), np.frombuffer(self._numbers)
        return columns[places - 1], numbers[places - 1]


@dataclass(slots=True)
class Gathered:
    """Walls read so far, with counts of cases and every problem.

    ``answers`` holds the answers of all walls one after the other, each packed into one
    number, and ``counts`` how many each wall has; ``numbers`` are (row, column of the
    number, number), and ``measured`` those that packed answers point to.  ``laid`` are more
    packed answers, (rows (k,), answers (k,)) of a block at a time, and ``columns`` (rows (k,),
    their answers) of a block that came in columns.  ``whole`` are cases that were read with care
    and not packed, each with the row of its first wall; the rows are there, and empty.
    """

    refs: list[WallRef] = field(default_factory=list)
    answers: list[int] = field(default_factory=list)
    counts: list[int] = field(default_factory=list)
    numbers: list[tuple[int, int, float]] = field(default_factory=list)
    measured: MeasuredNumbers = field(default_factory=MeasuredNumbers)
    laid: list[tuple[Ints, Ints]] = field(default_factory=list)
    columns: list[tuple[Ints, Batch]] = field(default_factory=list)
    whole: list[tuple[int, Case]] = field(default_factory=list)
    cases: int = 0
    bad: int = 0
    problems: list[Problem] = field(default_factory=list)

    def wrong(self, problems: Iterable[Problem]) -> None:
        """Count one bad case, and keep what is wrong with it."""
        self.bad += 1
        self.problems.extend(problems)

    def add(
        self, ref: WallRef, answers: Collection[int], numbers: Iterable[tuple[int, float]]
    ) -> None:
        """One wall with its packed answers, and the (column, number) of measured ones."""
        row = len(self.refs)
        self.refs.append(ref)
        self.answers.extend(answers)
        self.counts.append(len(answers))
        for column, number in numbers:
            self.numbers.append((row, column, number))

    def add_rows(self, refs: Sequence[WallRef]) -> int:
        """Walls whose answers are laid down elsewhere; the row of the first."""
        first = len(self.refs)
        self.refs.extend(refs)
        self.counts.extend(repeat(0, len(refs)))
        return first

    def add_case(self, path: str, line: int, case: Case) -> None:
        """The walls of a case whose answers are worked out later."""
        self.cases += 1
        self.whole.append((len(self.refs), case))
        for wall in case.walls:
            self.add(WallRef(path, line, case.name, wall.id, wall.name), (), ())

    def batch(self, coder: Coder) -> Batch:
        """The packed answers of all walls in column form, a row for each of ``refs``."""
        if len(self.columns) == 1 and len(self.columns[0][1]) == len(self.refs):
            return self.columns[0][1]  # there is nothing else
        batch = coder.empty(len(self.refs))
        for rows, given in self.columns:
            batch.codes[rows] = given.codes
            batch.sure[rows] = given.sure
            batch.numbers[rows] = given.numbers
        one_by_one = np.repeat(np.arange(len(self.refs)), self.counts)
        for rows, packed in [(one_by_one, np.array(self.answers, np.int64)), *self.laid]:
            for start in range(0, len(packed), PART):
                part = slice(start, start + PART)
                self._lay(batch, rows[part], packed[part])
        for row, column, number in self.numbers:
            batch.numbers[row, column] = number
        return batch

    def _lay(self, batch: Batch, rows: Ints, packed: Ints) -> None:
        """Put packed answers of some rows into the columns of a batch."""
        at = columns_of(packed) * len(batch) + rows
        batch.codes.ravel(order="F")[at] = packed >> CODE_SHIFT  # of which a code keeps a byte
        batch.sure.ravel(order="F")[at] = packed
        pointing = packed >> MEASURED_SHIFT & _MEASURED
        where = np.flatnonzero(pointing)
        if len(where):
            columns, numbers = self.measured.at(pointing[where])
            batch.numbers[rows[where], columns] = numbers


def columns_of(packed: Ints) -> Ints:
    """The columns of packed answers (k,)."""
    return packed >> COLUMN_SHIFT & _COLUMNS


def not_utf8(path: str, error: UnicodeDecodeError, line: int = 0) -> Problem:
    """The problem of bytes that are no text; ``line`` is theirs when they are one line."""
    if not line:
        line = error.object.count(b"\n", 0, error.start) + 1
    column = error.start - error.object.rfind(b"\n", 0, error.start)
    return Problem(path, line, column, f"not UTF-8 text (byte {error.start})", "save it as UTF-8")
