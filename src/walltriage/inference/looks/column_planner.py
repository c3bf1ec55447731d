"""Which question comes next, for many interviews at once.

The choice is :mod:`walltriage.inference.looks.choice`'s.  Every wall is a house of its own here.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from walltriage.inference.columns.codes import (
    FIRST_VALUE,
    NOT_ASKED,
    OUT_OF_REACH,
    UNKNOWN,
    Batch,
    Bools,
)
from walltriage.inference.columns.evaluator import ColumnEvaluator
from walltriage.inference.looks.choice import LookChoice
from walltriage.inference.looks.policy import FAR, InterviewPolicy
from walltriage.inference.looks.progress import PLACES, STOPS, Progress, Standing
from walltriage.inference.looks.trial import Trial
from walltriage.inference.looks.unsettling import Unsettling
from walltriage.inference.looks.worth import Worth


@dataclass(frozen=True, slots=True)
class NextQuestions:
    """The next question of ``n`` interviews, or why there is none.

    ``question`` (n,): column of the question, -1 when the interview stops.  ``glance`` (n,): the
    glance on whose page it is asked with others, -1 for none.  ``stop``
    (n,): index into ``STOPS``, 0 when it goes on.  ``for_numbers`` (n,): where the verdict
    stands and the question only sizes what the wall carries.
    """

    question: np.ndarray
    glance: np.ndarray
    stop: np.ndarray
    for_numbers: Bools


class ColumnPlanner:
    """Plans many interviews with one knowledge base."""

    def __init__(self, evaluator: ColumnEvaluator, policy: InterviewPolicy | None = None) -> None:
        self.evaluator = evaluator
        self.policy = policy or InterviewPolicy()
        self.worth = Worth(evaluator.base, evaluator.belief.step_of)
        self.choice = LookChoice(self.worth, evaluator.rule_ids, self.policy)
        self._unsettling = Unsettling(Trial(self.worth, evaluator))
        questions = evaluator.base.questions
        self._applies = [
            (column, evaluator.rule_ids.index(q.id))
            for column, q in enumerate(questions.values())
            if q.entry.applies is not None
        ]
        coder = evaluator.coder
        self._opens = [
            (coder.column[name], coder.code_of(name, value), [coder.column[o] for o in opened])
            for name, question in questions.items()
            for value, opened in question.entry.opens.items()
        ]

    def next_questions(self, batch: Batch, progress: Progress) -> NextQuestions:
        """The next question of each interview."""
        walls = len(batch)
        plan = NextQuestions(
            np.full(walls, -1, np.int16), np.full(walls, -1, np.int16),
            np.zeros(walls, np.int8), np.zeros(walls, bool),
        )  # fmt: skip
        for rows, chunk, beliefs in self.evaluator.steps(batch):
            there = progress.rows(rows)
            left = self.open_questions(chunk.batch, chunk.fired, there)
            opened = self._opened(chunk.batch) | there.to_name
            to_try = self.choice.to_try(chunk.fired, beliefs, left, there)
            passed = self.choice.glances.passed(chunk.batch, there.to_name)
            unsettling = self._unsettling.among(chunk.batch, to_try, passed)
            found = self.choice.choose(
                Standing(left, opened, unsettling, chunk.fired, beliefs, there, chunk.batch, passed)
            )
            plan.question[rows], plan.stop[rows] = found.question, found.stop
            plan.for_numbers[rows], plan.glance[rows] = found.for_numbers, found.glance
        return plan

    def applicable(self, fired: Bools) -> Bools:
        """Where each question applies (n, q), asked or not, from the rules that fired."""
        applies = np.ones((len(fired), len(self.choice.effort)), bool, order="F")
        for column, rule in self._applies:
            applies[:, column] = fired[:, rule]
        return applies

    def open_questions(self, batch: Batch, fired: Bools, progress: Progress) -> Bools:
        """Questions (n, q) that apply, that the person can answer today, and has not."""
        choice = self.choice
        found = self.applicable(fired) & (batch.codes == NOT_ASKED) & choice.asked
        found &= choice.effort <= progress.reach[:, None]
        found &= choice.who[progress.role]
        for place in FAR:
            there = choice.place == PLACES.index(place)
            codes = batch.codes[:, there]
            unknown = self.choice.glances.answers(codes == UNKNOWN, there)
            nothing = unknown + (codes == OUT_OF_REACH).sum(axis=1)
            to_name = progress.to_name[:, there] & (codes == NOT_ASKED)
            known = (codes >= FIRST_VALUE) | to_name
            closed = (nothing >= self.policy.closed_after) & ~known.any(axis=1)
            found[np.ix_(closed, there)] = False
        return found

    def advance(self, progress: Progress, question: np.ndarray) -> None:
        """Note that these questions (n,) have been asked; -1 leaves an interview as it is."""
        going, choice = question >= 0, self.choice
        progress.here[going] = choice.place[question[going]]
        progress.been[going, choice.place[question[going]]] = True
        progress.asked[going] += ~choice.house[question[going]]

    def _opened(self, batch: Batch) -> Bools:
        """Questions (n, q) opened by what a list was answered."""
        opened = np.zeros(batch.codes.shape, bool)
        for column, code, columns in self._opens:
            opened[np.ix_(batch.codes[:, column] == code, columns)] = True
        return opened


__all__ = ["PLACES", "STOPS", "ColumnPlanner", "NextQuestions", "Progress"]
