"""What the arithmetic needs, read from the answers as ``rules/measures.yaml`` says."""

from __future__ import annotations

from walltriage.case.model import Answers
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.schema_measures import InputSource, MeasuresFile
from walltriage.structure.steps import Range
from walltriage.units import parse_length


class Measured:
    """The inputs of the arithmetic for one wall; None where nothing usable was answered."""

    def __init__(self, base: KnowledgeBase, answers: Answers) -> None:
        self._measures: MeasuresFile = base.measures
        self._answers = answers

    def word(self, name: str) -> str | None:
        """An input that is a word, such as a joist size."""
        value = self._value(name)
        return None if value is None else str(value)

    def number(self, name: str) -> float | None:
        """An input that is a number: inches for lengths, else in the question's own unit."""
        value = self._value(name)
        return None if value is None else float(value)

    def assumed(self, name: str) -> Range:
        """The range taken for what nobody measures; lengths in inches."""
        entry = self._measures.assumed[name]
        low, usual, high = (
            parse_length(mark) if isinstance(mark, str) else float(mark)
            for mark in (entry.low, entry.usual, entry.high)
        )
        return Range(low, usual, high)

    def number_or_assumed(self, name: str) -> Range:
        """The number answered, or the range taken for it."""
        number = self.number(name)
        return self.assumed(name) if number is None else Range(number, number, number)

    @property
    def reported_from(self) -> float:
        """The chance from which on a load path counts as reported."""
        return self._measures.reported_from.chance

    def reports(self, path: str) -> bool:
        """Whether an answer tells of a load on this path, whatever its size."""
        return any(
            answer is not None and answer.value in report.answers
            for report in self._measures.reports.get(path, ())
            for answer in (self._answers.get(report.question),)
        )

    def narrowed_by(self, about: str) -> str:
        """The question that would settle an open matter and has no answer yet, or nothing."""
        for question in self._measures.narrowed_by.get(about, ()):
            answer = self._answers.get(question)
            if answer is None or not answer.is_real:
                return question
        return ""

    def questions(self, names: tuple[str, ...]) -> tuple[str, ...]:
        """The questions that these inputs are read from."""
        inputs = self._measures.inputs
        return tuple(r.question for name in names for r in inputs.get(name, ()))

    def _value(self, name: str) -> str | float | int | None:
        for reading in self._measures.inputs.get(name, ()):
            value = self._read(reading)
            if value is not None:
                return value
        return None

    def _read(self, reading: InputSource) -> str | float | int | None:
        answer = self._answers.get(reading.question)
        if answer is None or not answer.is_real:
            return None
        for question, wanted in reading.only_with.items():
            other = self._answers.get(question)
            if other is None or other.value != wanted:
                return None
        if reading.means is None:
            return answer.number
        return reading.means.get(answer.value)
