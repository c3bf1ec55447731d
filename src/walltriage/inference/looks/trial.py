"""What each answer that might be given would make of the result: every one of them tried.

The whole knowledge base is run on all of them at once, in columns, so that whatever an answer
does is counted: clues, signs, base rates, guards, gates, spans worked out of measurements.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

import numpy as np

from walltriage.case.model import Answer
from walltriage.inference.belief.step import LEAST_CHANCE, Beliefs
from walltriage.inference.columns.codes import FIRST_VALUE, NOT_ASKED, Batch, Floats
from walltriage.inference.columns.computed import fill_computed
from walltriage.inference.columns.evaluator import BatchResult, ColumnEvaluator
from walltriage.inference.looks.stack import CERTAIN
from walltriage.inference.looks.worth import SIGN_CHANCE, Worth
from walltriage.knowledge.base import AskedQuestion

MOST_TOGETHER = 8192  # rows; more would only take memory
MARKS_TRIED = 3  # numbers tried of a measured question without bands, evenly spread


@dataclass(frozen=True, slots=True)
class Change:
    """What one answer is expected to change: ``decibans`` of the chance that the wall bears, up
    or down, and how likely it is (0 to 1) that a verdict follows."""

    decibans: float = 0.0
    settles: float = 0.0


@dataclass(frozen=True, slots=True)
class Tried:
    """One wall: all answers that count, what they came to, and the questions whose answers are
    tried."""

    answers: Mapping[str, Answer]
    beliefs: Beliefs
    questions: Collection[str]


Options = list[tuple[str, float | int]]


class Trial:
    """Tries answers with one knowledge base."""

    def __init__(self, worth: Worth, evaluator: ColumnEvaluator) -> None:
        self.worth, self.evaluator = worth, evaluator
        base, columns = evaluator.base, {path: i for i, path in enumerate(evaluator.base.paths)}
        path_of = {sign.id: columns[path] for path, sign in base.signs()}
        placed = [(i, path_of[n]) for i, n in enumerate(evaluator.rule_ids) if n in path_of]
        self._signs = np.array([index for index, _ in placed], np.intp)
        self._paths = np.array([path for _, path in placed], np.intp)
        self._computed = frozenset(
            name for name, question in base.questions.items() if question.entry.kind == "computed"
        )

    def changes(self, walls: Sequence[Tried]) -> Iterator[dict[str, Change]]:
        """The expected change from each answer that is tried, wall by wall."""
        options = [self._options(wall) for wall in walls]
        group, rows = 0, 0
        for index, some in enumerate(options, 1):
            rows += len(some) + 1
            if rows >= MOST_TOGETHER or index == len(options):
                together = range(group, index)
                yield from self._changes(
                    [walls[i] for i in together], [options[i] for i in together]
                )
                group, rows = index, 0

    def _options(self, wall: Tried) -> Options:
        uses, base, answers = self.worth.uses, self.evaluator.base, wall.answers
        fed = {name for question in wall.questions for name in uses[question].feeds}
        fed -= {name for name in fed if name in answers and answers[name].is_real}
        asked = [*wall.questions, *sorted(fed - set(wall.questions))]
        return [(name, number) for name in asked for number in tried(base.questions[name])]

    def _changes(
        self, walls: Sequence[Tried], options: Sequence[Options]
    ) -> Iterator[dict[str, Change]]:
        encode = self.evaluator.coder.encode
        batches = [self.rows(encode([w.answers]), o) for w, o in zip(walls, options, strict=True)]
        result, start = self.evaluate(batches), 0
        for wall, batch, own in zip(walls, batches, options, strict=True):
            yield self._change(wall, own, result.rows(slice(start, start + len(batch))))
            start += len(batch)

    def _change(self, wall: Tried, options: Options, result: BatchResult) -> dict[str, Change]:
        """What each question is expected to change; the last row is the wall as it stands."""
        doubt, questions = _decibans(result.middle), wall.questions
        shift, settles = np.abs(doubt - doubt[-1]), result.verdict != 0
        told = self.worth.answer_chances(wall.beliefs)
        found, start = {}, 0
        for name, same in groupby(options, key=lambda option: option[0]):
            rows = slice(start, start + len(list(same)))
            start = rows.stop
            likely = self._likely(result, rows, told.get(name))
            found[name] = Change(float(likely @ shift[rows]), float(likely @ settles[rows]))
        return {name: self._with_fed(name, found, questions) for name in questions}

    def _with_fed(
        self, name: str, found: Mapping[str, Change], questions: Collection[str]
    ) -> Change:
        """A measurement's own change, or its part of what can be worked out once all are made."""
        own, uses = found.get(name, Change()), self.worth.uses
        for computed in uses[name].feeds & found.keys():
            needed = sum(computed in uses[other].feeds for other in questions)
            part, whole = 1 / needed, found[computed]
            shared = Change(whole.decibans * part, whole.settles * part)
            own = max(own, shared, key=lambda change: change.decibans)
        return own

    def _likely(self, result: BatchResult, rows: slice, told: Floats | None) -> Floats:
        """How likely each answer is: by the belief; where it has no say, a sign of a path shows
        now and then where that path bears, and other answers are alike."""
        count = rows.stop - rows.start
        if told is not None and len(told) == count:
            likely: Floats = told / told.sum()
            return likely
        new = result.fired[rows][:, self._signs] & ~result.fired[-1:, self._signs]
        shows, likely = new.any(axis=1), np.full(count, 1 / count)
        if shows.any():
            paths = self._paths[new.any(axis=0)]
            bears = np.sqrt(result.path_low[-1, paths] * result.path_high[-1, paths]).max()
            likely = np.where(shows, SIGN_CHANCE * bears / shows.sum(), 0.0)
            if not shows.all():
                likely[~shows] = (1 - likely.sum()) / (~shows).sum()
        return likely

    def evaluate(self, batches: Sequence[Batch]) -> BatchResult:
        """All rows of several batches, one after the other."""
        parts = zip(*((b.codes, b.sure, b.numbers) for b in batches), strict=True)
        return self.evaluator.evaluate(
            Batch(*(np.asfortranarray(np.concatenate(part)) for part in parts))
        )

    def rows(self, one: Batch, options: Options) -> Batch:
        """A row for each answer tried, alone beside what was told of one wall; last the wall as it
        stands."""
        coder = self.evaluator.coder
        batch = Batch(*(
            np.asfortranarray(np.repeat(part, len(options) + 1, axis=0))
            for part in (one.codes, one.sure, one.numbers)
        ))  # fmt: skip
        worked_out = [coder.column[name] for name in self._computed]
        batch.codes[:-1, worked_out] = NOT_ASKED
        for row, (name, value) in enumerate(options):
            question, column = self.evaluator.base.questions[name], coder.column[name]
            if isinstance(value, float):
                batch.codes[row, column] = coder.code_of(name, question.band_of(value))
                batch.numbers[row, coder.number_column[name]] = value
            else:
                batch.codes[row, column] = FIRST_VALUE + value
            batch.sure[row, column] = CERTAIN
        own = [(row, coder.column[name], batch.codes[row, coder.column[name]])
               for row, (name, _) in enumerate(options) if name in self._computed]  # fmt: skip
        fill_computed(coder, batch)
        for row, column, code in own:  # tried itself, whatever the measurements say
            batch.codes[row, column] = code
        return batch


def tried(question: AskedQuestion) -> list[float | int]:
    """What is tried as answers: places of the options, or a number out of the middle of each band
    (without bands, :data:`MARKS_TRIED` over the whole range); nothing for words."""
    entry = question.entry
    if entry.answer == "choice" or entry.kind == "computed":
        return list(range(len(question.values)))
    if entry.answer == "text":
        return []
    ends = [question.number(mark) for mark in (entry.least or 0.0, entry.most or 0.0)]
    if not entry.bands:
        part = (ends[1] - ends[0]) / MARKS_TRIED
        return [ends[0] + part * (index + 0.5) for index in range(MARKS_TRIED)]
    marks = [ends[0], *(question.number(b.under) for b in entry.bands if b.under is not None)]
    marks = [*marks, ends[1]][: len(entry.bands) + 1]
    return [(low + high) / 2 for low, high in pairwise(marks)]


def _decibans(chances: Floats) -> Floats:
    kept = np.clip(chances, LEAST_CHANCE, 1 - LEAST_CHANCE)
    found: Floats = 10 * np.log10(kept / (1 - kept))
    return found
