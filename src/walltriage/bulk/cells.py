"""Raw answers to codes, each distinct raw answer worked out once.

The check is ``case.answers.make_answer``, the same as for a single case; what it says of
a raw value is remembered, because in many walls the same few values come again.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from walltriage.bulk.gather import (
    CODE_SHIFT,
    COLUMN_SHIFT,
    MEASURED_SHIFT,
    Ints,
    MeasuredNumbers,
)
from walltriage.case.answers import AnswerError, make_answer
from walltriage.case.model import DEGREES, SUREST_FIRST, Answer
from walltriage.inference.columns.codes import Coder
from walltriage.knowledge.base import AskedQuestion

MOST_REMEMBERED = 50_000  # raw values a question; measured lengths could grow without end
LONG = 100  # letters; whoever writes so much will hardly write the same again
BAD = -1  # packed: an answer that is not in order
_DOUBT = [SUREST_FIRST.index(degree) for degree in DEGREES]
# by the sureness that the words of an answer allow, 0 where they allow any, and the one said of it
LEAST_SURE = np.array(
    [[max(told, said, key=_DOUBT.__getitem__) if told else said for said in range(len(DEGREES))]
     for told in range(len(DEGREES))], np.uint8
)  # fmt: skip
Coded = tuple[int, tuple[int, float] | None]
"""An answer packed as for ``Gathered``, and column and value of a number."""


def packed(coder: Coder, name: str, answer: Answer) -> Coded:
    """A checked answer in the form that is gathered."""
    code = coder.code_of(name, answer.value)
    number = None
    if answer.number is not None and name in coder.number_column:
        number = coder.number_column[name], answer.number
    sure = DEGREES.index(answer.sure)
    return coder.column[name] << COLUMN_SHIFT | code << CODE_SHIFT | sure, number


def no_surer(answer: int, sure: int) -> int:
    """A packed answer said with a sureness: words such as "about 1955" allow no more."""
    told = answer & 255  # 0 where the value allows any
    return answer - told + int(LEAST_SURE[told, sure]) if told else answer + sure


class RawAnswers(dict[Any, Coded | None]):
    """Packed answers by raw value of one question; None for a value it does not have."""

    def __init__(self, coder: Coder, name: str, units: str) -> None:
        super().__init__()
        self._coder, self._name, self._units = coder, name, units
        self._question: AskedQuestion = coder.base.questions[name]

    def __missing__(self, raw: Any) -> Coded | None:
        if len(self) >= MOST_REMEMBERED:
            self.clear()
        try:
            answer = make_answer(self._name, self._question, raw, units=self._units)
        except AnswerError:
            return None
        coded = packed(self._coder, self._name, answer)
        if not (isinstance(raw, str) and len(raw) > LONG):
            self[raw] = coded
        return coded

    def error(self, raw: Any) -> AnswerError:
        """What is wrong with a raw value that has no code."""
        try:
            make_answer(self._name, self._question, raw, units=self._units)
        except AnswerError as error:
            return error
        raise ValueError(f"{raw!r} is an answer to '{self._name}'")


class RawTables:
    """The remembered raw answers of all questions that can be answered."""

    def __init__(self, coder: Coder) -> None:
        self._coder = coder
        self._tables: dict[tuple[str, str], dict[str, RawAnswers]] = {}
        self.measured = MeasuredNumbers()

    def pointing(self, coded: Coded) -> int:
        """An answer packed with the place of its number, if it has one."""
        if coded[1] is None:
            return coded[0]
        return coded[0] | self.measured.put(*coded[1]) << MEASURED_SHIFT

    def packed(self, coded: Sequence[Coded | None]) -> Ints:
        """Many such answers (k,), :data:`BAD` for those that are none."""
        found = np.array([BAD if one is None else one[0] for one in coded], np.int64)
        measured = [index for index, one in enumerate(coded) if one is not None and one[1]]
        first = len(self.measured) + 1
        self.measured.extend(coded[index][1] for index in measured)  # type: ignore[index, misc]
        found[measured] |= np.arange(first, first + len(measured)) << MEASURED_SHIFT
        return found

    def tables(self, scope: str, units: str) -> dict[str, RawAnswers]:
        """By question of one scope (``house`` or ``wall``), bare lengths in ``units``."""
        found = self._tables.get((scope, units))
        if found is None:
            found = self._tables[scope, units] = {
                name: RawAnswers(self._coder, name, units)
                for name, question in self._coder.base.questions.items()
                if question.scope == scope and question.entry.kind != "computed"
            }
        return found
