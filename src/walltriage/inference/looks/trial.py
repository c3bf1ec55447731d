"""What each answer that might be given would make of the result: every one of them tried.

The whole knowledge base is run on all of them at once, in columns, so that whatever an answer
does is counted: clues, signs, base rates, guards, gates, spans worked out of measurements.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

import numpy as np

from walltriage.case.model import Answer
from walltriage.inference.columns.codes import FIRST_VALUE, NOT_ASKED, Batch, Floats
from walltriage.inference.columns.computed import fill_computed
from walltriage.inference.columns.evaluator import BatchResult, ColumnEvaluator
from walltriage.knowledge.base import AskedQuestion

MARKS_TRIED = 3  # numbers tried of a measured question without bands, evenly spread


@dataclass(frozen=True, slots=True)
class Trials:
    """Answers tried on one wall, a row each; the last row is the wall as it stands.

    ``question`` and ``option`` (t,): column of the question, index of its answer.
    """

    question: np.ndarray
    option: np.ndarray
    result: BatchResult

    @property
    def middle(self) -> Floats:
        """The chance between the bounds that the wall bears (t + 1,)."""
        return self.result.middle


def try_answers(
    evaluator: ColumnEvaluator, answers: Mapping[str, Answer], questions: Collection[str]
) -> Trials:
    """Every answer to every one of these questions, each alone beside what was told.

    ``answers`` are all that count.  Computed questions may be among ``questions``.
    """
    coder = evaluator.coder
    options = [(coder.column[name], index, number)
               for name in questions
               for index, number in enumerate(tried(evaluator.base.questions[name]))]  # fmt: skip
    one = coder.encode([answers])
    count = len(options) + 1
    batch = Batch(*(
        np.asfortranarray(np.repeat(part, count, axis=0))
        for part in (one.codes, one.sure, one.numbers)
    ))  # fmt: skip
    computed = [
        coder.column[name]
        for name, question in evaluator.base.questions.items()
        if question.entry.kind == "computed"
    ]
    own = {name for name in questions if evaluator.base.questions[name].entry.kind == "computed"}
    batch.codes[:, [c for c in computed if coder.questions[c] not in answers]] = NOT_ASKED
    for row, (column, index, number) in enumerate(options):
        name = coder.questions[column]
        question = evaluator.base.questions[name]
        if number is None:
            batch.codes[row, column] = FIRST_VALUE + index
        else:
            batch.codes[row, column] = coder.code_of(name, question.band_of(number))
            batch.numbers[row, coder.number_column[name]] = number
        batch.sure[row, column] = 0
    before = batch.codes[:, [coder.column[name] for name in own]].copy()
    fill_computed(coder, batch)
    for at, name in enumerate(own):
        rows = before[:, at] != NOT_ASKED
        batch.codes[rows, coder.column[name]] = before[rows, at]
    columns = np.array([column for column, _, _ in options], np.intp)
    indices = np.array([index for _, index, _ in options], np.intp)
    return Trials(columns, indices, evaluator.evaluate(batch))


def tried(question: AskedQuestion) -> list[float | None]:
    """What is tried as answers: None for an option, else a number out of the middle of each band
    or, without bands, of the whole range."""
    entry = question.entry
    if entry.answer == "choice" or entry.kind == "computed":
        return [None] * len(question.values)
    if entry.answer == "text":
        return []
    ends = [question.number(mark) for mark in (entry.least or 0.0, entry.most or 0.0)]
    if not entry.bands:
        part = (ends[1] - ends[0]) / MARKS_TRIED
        return [ends[0] + part * (index + 0.5) for index in range(MARKS_TRIED)]
    marks = [ends[0], *(question.number(b.under) for b in entry.bands if b.under is not None)]
    marks = [*marks, ends[1]][: len(entry.bands) + 1]
    return [(low + high) / 2 for low, high in zip(marks, marks[1:], strict=False)]
