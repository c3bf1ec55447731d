"""Raw answers to codes, each distinct raw answer worked out once.

The check is ``case.answers.make_answer``, the same as for a single case; what it says of
a raw value is remembered, because in many walls the same few values come again.
"""

from __future__ import annotations

from typing import Any

from walltriage.case.answers import AnswerError, make_answer
from walltriage.knowledge.base import AskedQuestion
from walltriage.study.codes import Coder

MOST_REMEMBERED = 50_000  # raw values a question; measured lengths could grow without end
LONG = 100  # letters; whoever writes so much will hardly write the same again
NO_NUMBER = float("nan")
Coded = tuple[int, float]  # code, and number or NaN


class RawAnswers(dict[Any, Coded | None]):
    """Code and number by raw value of one question; None for a value it does not have."""

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
        number = NO_NUMBER if answer.number is None else answer.number
        coded = self._coder.code_of(self._name, answer.value), number
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
    """The remembered raw answers of all questions, by question and units."""

    def __init__(self, coder: Coder) -> None:
        self._coder = coder
        self._tables: dict[tuple[str, str], RawAnswers] = {}

    def table(self, name: str, units: str) -> RawAnswers:
        """The raw answers of one question with bare lengths in ``units``."""
        table = self._tables.get((name, units))
        if table is None:
            table = self._tables[name, units] = RawAnswers(self._coder, name, units)
        return table
