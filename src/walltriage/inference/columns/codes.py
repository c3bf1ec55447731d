"""Answers of many walls as matrices of small integers, and back.

A wall is a row and a question a column.  Column-major order keeps each question's
column together in memory, which is how rules read them.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from walltriage.case.model import DEGREES, NO_ANSWER, Answer
from walltriage.errors import InputError, Problem
from walltriage.knowledge.base import AskedQuestion, KnowledgeBase

NOT_ASKED, UNKNOWN, OUT_OF_REACH, FIRST_VALUE = 0, 1, 2, 3
NO_BAND = 255  # answered, by a number that may lie in either of two bands
MOST_VALUES = NO_BAND - FIRST_VALUE

Codes = NDArray[np.uint8]
Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Batch:
    """Answers of ``n`` walls to the ``q`` questions of a knowledge base.

    ``codes`` (n, q): 0 not asked, 1 unknown, 2 out of reach, then one code for each
    option or band in order; 3 for words and where a measured question has no bands, 255
    for a number that is known no nearer than to lie about the end of a band.
    ``sure`` (n, q): index into ``DEGREES``; 0 where nothing was answered.
    ``numbers`` (n, m): values of the ``m`` measured questions (inches for lengths), NaN
    where there is none.
    """

    codes: Codes
    sure: Codes
    numbers: Floats

    def __len__(self) -> int:
        return len(self.codes)

    def rows(self, which: slice | NDArray[np.intp]) -> Batch:
        """Some of the walls; a slice shares memory with this batch."""
        return Batch(self.codes[which], self.sure[which], self.numbers[which])

    def columns(self, which: NDArray[np.intp]) -> Batch:
        """Some of the walls, each question's column together in memory as ever."""
        return Batch(
            np.asfortranarray(self.codes[which]),
            np.asfortranarray(self.sure[which]),
            np.asfortranarray(self.numbers[which]),
        )


def joined(batches: Sequence[Batch]) -> Batch:
    """Batches over the same questions put one after the other; at least one."""
    return Batch(
        *(
            np.asfortranarray(np.concatenate([getattr(batch, name) for batch in batches]))
            for name in ("codes", "sure", "numbers")
        )
    )


class Coder:
    """Translates between answers and codes for one knowledge base.

    Raises :class:`InputError` for a question with more answers than a code can count.
    """

    def __init__(self, base: KnowledgeBase) -> None:
        self.base = base
        self.questions = tuple(base.questions)
        self.column = {name: index for index, name in enumerate(self.questions)}
        self.values: list[tuple[str, ...]] = [q.values for q in base.questions.values()]
        measured = [n for n, q in base.questions.items() if is_measured(q)]
        self.number_column = {name: index for index, name in enumerate(measured)}
        for name, values in zip(self.questions, self.values, strict=True):
            if len(values) > MOST_VALUES:
                place = base.places.get(name, ("rules", 0, 0))
                what = f"'{name}' has {len(values)} answers"
                raise InputError(Problem(*place, what, f"expected {MOST_VALUES} at most"))
        self._codes = [
            dict.fromkeys(NO_ANSWER, 0)
            | {NO_ANSWER[0]: UNKNOWN, NO_ANSWER[1]: OUT_OF_REACH}
            | ({"": NO_BAND} if values and name in self.number_column else {})
            | {value: FIRST_VALUE + index for index, value in enumerate(values)}
            for name, values in zip(self.questions, self.values, strict=True)
        ]
        self._sure = {word: index for index, word in enumerate(DEGREES)}
        self.remembered: dict[str, dict[Any, Any]] = {}
        """What others have worked out from codes of this base, by whose work it is."""
        self._of_value = {name: _OfValue(self, name) for name in self.questions}

    def empty(self, walls: int) -> Batch:
        """A batch in which nothing has been asked."""
        shape = (walls, len(self.questions))
        return Batch(
            np.zeros(shape, np.uint8, order="F"),
            np.zeros(shape, np.uint8, order="F"),
            np.full((walls, len(self.number_column)), np.nan, order="F"),
        )

    def encode(self, answers: Iterable[Mapping[str, Answer]]) -> Batch:
        """One row for each answer set; computed answers are taken as they are given.

        Raises :class:`ValueError` for a value that its question does not have, which
        ``case.answers.make_answer`` never makes.
        """
        sets = list(answers)
        batch = self.empty(len(sets))
        packed: list[int] = []  # column, code and sureness of each answer in one number
        numbers: list[tuple[int, int, float]] = []
        ours, sure, measured = self._of_value, self._sure, self.number_column
        for row, given in enumerate(sets):
            packed += [ours[name][a.value] + sure[a.sure] for name, a in given.items()]
            numbers += [
                (row, measured[name], a.number)
                for name, a in given.items()
                if a.number is not None and name in measured
            ]
        rows = np.repeat(np.arange(len(sets)), [len(given) for given in sets])
        told = np.array(packed, np.int64)
        columns = told >> 16
        batch.codes[rows, columns] = told >> 8 & 255
        batch.sure[rows, columns] = told & 255
        for row, column, number in numbers:
            batch.numbers[row, column] = number
        return batch

    def put(self, batch: Batch, row: int, name: str, answer: Answer) -> None:
        """Set one answer of one wall; :class:`ValueError` as for :meth:`encode`."""
        column = self.column[name]
        batch.codes[row, column] = self.code_of(name, answer.value)
        batch.sure[row, column] = self._sure[answer.sure]
        if answer.number is not None and name in self.number_column:
            batch.numbers[row, self.number_column[name]] = answer.number

    def code_of(self, name: str, value: str) -> int:
        """The code of an answer's value; :class:`ValueError` as for :meth:`encode`."""
        column = self.column[name]
        code = self._codes[column].get(value)
        if code is None:
            if self.values[column]:
                raise ValueError(f"'{value}' is not an answer to '{name}'")
            return FIRST_VALUE
        return code

    def decode(
        self, batch: Batch, row: int, only: Iterable[str] | None = None
    ) -> dict[str, Answer]:
        """The answers of one wall, or only those to some questions.

        Words that were given come back as an empty text.
        """
        found = {}
        for name in self.questions if only is None else only:
            column = self.column[name]
            code = int(batch.codes[row, column])
            if code == NOT_ASKED:
                continue
            sure = DEGREES[batch.sure[row, column]]
            if code < FIRST_VALUE:
                found[name] = Answer(NO_ANSWER[code - UNKNOWN], sure=sure)
                continue
            values = self.values[column]
            value = values[code - FIRST_VALUE] if values and code != NO_BAND else ""
            number = None
            if name in self.number_column:
                number = float(batch.numbers[row, self.number_column[name]])
            given = value if number is None else f"{number:g}"
            found[name] = Answer(value, number, given, sure)
        return found


class _OfValue(dict[str, int]):
    """Column and code of a question's answers by value, packed into one number."""

    def __init__(self, coder: Coder, name: str) -> None:
        super().__init__()
        self._coder, self._name = coder, name

    def __missing__(self, value: str) -> int:
        coder, name = self._coder, self._name
        packed = coder.column[name] << 16 | coder.code_of(name, value) << 8
        if coder.values[coder.column[name]]:  # words without end are not remembered
            self[value] = packed
        return packed


def is_measured(question: AskedQuestion) -> bool:
    """Whether answers to the question are numbers."""
    return question.entry.answer in ("length", "number")
