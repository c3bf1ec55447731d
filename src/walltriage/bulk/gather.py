"""Walls read from files, gathered before they are evaluated together."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, field
from itertools import repeat
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from walltriage.case.model import Case
from walltriage.errors import Problem
from walltriage.inference.columns.codes import Batch, Coder

# of a packed answer, from below: sureness, code, column; place of its number, from 1, and the
# keys it took in a file, both left at nothing where they are not wanted
CODE_SHIFT, COLUMN_SHIFT, MEASURED_SHIFT, KEYS_SHIFT = 8, 16, 28, 56
_COLUMNS, _MEASURED = (1 << 12) - 1, (1 << 28) - 1
Ints = NDArray[np.int64]
NO_WALL = ("no wall to triage", "expected 'walls:' with one wall or more")


class WallRef(NamedTuple):
    """Where a wall comes from."""

    path: str
    line: int
    case: str
    wall: str
    name: str = ""


@dataclass(slots=True)
class Gathered:
    """Walls read so far, with counts of cases and every problem.

    ``answers`` holds the answers of all walls one after the other, each packed into one
    number, and ``counts`` how many each wall has; ``numbers`` are (row, column of the
    number, number), and ``measured`` those (column of the number, number) that packed
    answers point to.  ``laid`` are more packed answers, (rows (k,), answers (k,)) of a block at a
    time.  ``whole`` are cases that were read with care and not packed, each with
    the row of its first wall; the rows are there, and empty.
    """

    refs: list[WallRef] = field(default_factory=list)
    answers: list[int] = field(default_factory=list)
    counts: list[int] = field(default_factory=list)
    numbers: list[tuple[int, int, float]] = field(default_factory=list)
    measured: list[tuple[int, float]] = field(default_factory=list)
    laid: list[tuple[Ints, Ints]] = field(default_factory=list)
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
        batch = coder.empty(len(self.refs))
        one_by_one = np.repeat(np.arange(len(self.refs)), self.counts)
        rows = np.concatenate([one_by_one, *(rows for rows, _ in self.laid)])
        packed = np.concatenate([np.array(self.answers, np.int64), *(one for _, one in self.laid)])
        columns = columns_of(packed)
        batch.codes[rows, columns] = packed >> CODE_SHIFT & 255
        batch.sure[rows, columns] = packed & 255
        for row, column, number in self.numbers:
            batch.numbers[row, column] = number
        pointing = packed >> MEASURED_SHIFT & _MEASURED
        where = np.flatnonzero(pointing)
        if len(where):
            told = [self.measured[index - 1] for index in pointing[where].tolist()]
            found, numbers = zip(*told, strict=True)
            batch.numbers[rows[where], np.array(found)] = numbers
        return batch


def columns_of(packed: Ints) -> Ints:
    """The columns of packed answers (k,)."""
    return packed >> COLUMN_SHIFT & _COLUMNS


def not_utf8(path: str, error: UnicodeDecodeError, line: int = 0) -> Problem:
    """The problem of bytes that are no text; ``line`` is theirs when they are one line."""
    if not line:
        line = error.object.count(b"\n", 0, error.start) + 1
    column = error.start - error.object.rfind(b"\n", 0, error.start)
    return Problem(path, line, column, f"not UTF-8 text (byte {error.start})", "save it as UTF-8")
