"""A case as it stands in an interview: which answers count, and what they come to.

An answer to a question that does not apply as things stand is set aside.  Every wall is worked out
once for a case.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache

from walltriage.case.model import HOUSE, Case, Step, Wall
from walltriage.inference.engine.evaluate import Evaluation
from walltriage.inference.triage import Triager
from walltriage.interview.given import GivenAnswer, case_of

_ALONE = "house"  # stands for "no wall" where only the house is evaluated


class CountedCase:
    """``case`` is made of those answers alone that count; they are ``counted``, in order."""

    def __init__(
        self,
        triager: Triager,
        frame: Case,
        given: Sequence[GivenAnswer],
        to_name: Sequence[Step],
    ) -> None:
        self._triager = triager
        counted = list(given)
        while True:
            self.case: Case = case_of(frame, counted, to_name)
            self._evaluations: dict[str, Evaluation] = {}
            keep = self._that_apply(counted)
            if len(keep) == len(counted):
                break
            counted = keep
        self.counted = tuple(counted)

    def evaluation(self, subject: str) -> Evaluation:
        """The evaluation of a wall."""
        known = self._evaluations.get(subject)
        if known is None:
            case = self.case
            if subject == _ALONE:
                case = replace(case, walls=(Wall(_ALONE),))
            known = self._evaluations[subject] = self._triager.evaluate(case, subject)
        return known

    def _that_apply(self, given: Sequence[GivenAnswer]) -> list[GivenAnswer]:
        @cache
        def applicable(subject: str) -> frozenset[str]:
            return self._triager.evaluator.applicable(self.evaluation(subject))

        # the first wall is worked out in any case, and of many walls the house alone settles most
        first, *others = (wall.id for wall in self.case.walls)

        def applies(step: Step) -> bool:
            if self._triager.base.questions[step.question].entry.applies is None:
                return True
            subjects = (step.subject,) if step.subject != HOUSE else (first, _ALONE, *others)
            return any(step.question in applicable(subject) for subject in subjects)

        return [item for item in given if applies(item.step)]
