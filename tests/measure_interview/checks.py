"""Whether the first three checks of an open wall name what would change most, and settle it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tests.measure_interview.people import Asked
from walltriage.inference.columns.codes import Batch
from walltriage.inference.columns.computed import fill_computed
from walltriage.inference.columns.evaluator import VERDICTS
from walltriage.inference.looks.column_planner import STOPS
from walltriage.inference.looks.next_checks import deciding_checks, open_checks
from walltriage.inference.looks.trial import Tried
from walltriage.inference.triage import Triager
from walltriage.lab.interviews import Held, Interviewer

OPEN, SCOPE = VERDICTS.index("cannot_tell"), STOPS.index("scope")


@dataclass(frozen=True, slots=True)
class Checks:
    """Of ``walls`` left open: ``largest`` have the answer with the largest expected change among
    their first three checks.  ``settled``, of the ``could`` that one true answer would settle,
    have such an answer among them."""

    walls: int
    largest: int
    could: int
    settled: int


def checks(interviewer: Interviewer, walls: list[Asked], held: Held, most: int) -> Checks:
    """The checks of the first ``most`` walls that their interviews left open."""
    evaluator, triager = interviewer.evaluator, Triager(interviewer.base)
    verdicts = evaluator.evaluate(held.batch).verdict
    left = np.flatnonzero((verdicts == OPEN) & (held.stop != SCOPE))[:most]
    largest = could = settled = 0
    for row in left:
        answers = evaluator.coder.decode(held.batch, int(row))
        result = triager.evaluator.evaluate(answers)
        named = [
            c.question
            for c in deciding_checks(triager.evaluator, triager.trial, [(result, answers)])[0]
        ]
        questions = open_checks(triager.evaluator, triager.trial.worth, result, answers)
        (changes,) = triager.trial.changes([Tried(answers, result.beliefs, questions)])
        most_of_all = max(change.decibans for change in changes.values())
        largest += any(changes[name].decibans >= most_of_all for name in named if name in changes)
        settling = _settling(
            interviewer, walls[row], held.batch.rows(slice(row, row + 1)), questions
        )
        could += bool(settling)
        settled += bool(settling & set(named))
    return Checks(len(left), largest, could, settled)


def _settling(interviewer: Interviewer, wall: Asked, told: Batch, questions: list[str]) -> set[str]:
    """The questions whose true answer, alone beside what was told, gives a verdict."""
    evaluator = interviewer.evaluator
    batch = Batch(*(
        np.asfortranarray(np.repeat(part, len(questions), axis=0))
        for part in (told.codes, told.sure, told.numbers)
    ))  # fmt: skip
    for row, name in enumerate(questions):
        question = interviewer.base.questions[name]
        answer = wall.truthful.answer(question, evaluator.coder.column[name])
        evaluator.coder.put(batch, row, name, answer)
    fill_computed(evaluator.coder, batch)
    verdicts = evaluator.evaluate(batch).verdict
    return {name for name, verdict in zip(questions, verdicts, strict=True) if verdict != OPEN}
