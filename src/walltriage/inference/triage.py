"""A case in, a finding out."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from walltriage.case.model import Answer, Case, Wall
from walltriage.inference import explain
from walltriage.inference.computed import computed_answers, has_distances
from walltriage.inference.evaluate import Evaluation, Evaluator
from walltriage.inference.finding import Finding, WallFinding
from walltriage.inference.next_checks import deciding_checks
from walltriage.inference.worth import Worth
from walltriage.knowledge.base import KnowledgeBase


class Triager:
    """A knowledge base compiled once, and all that is asked of it."""

    def __init__(self, base: KnowledgeBase) -> None:
        self.base = base
        self.evaluator = Evaluator(base)
        self.worth = Worth(self.evaluator)

    def finding(self, case: Case) -> Finding:
        """Triage every wall of a case."""
        walls = tuple(self.wall(case, wall) for wall in case.walls)
        return Finding(case.name, self.base.version, self.base.sha256, walls)

    def answers(self, case: Case, wall_id: str) -> dict[str, Answer]:
        """All answers that bear on one wall, with the computed ones."""
        answers = case.answers_for(wall_id)
        return answers | computed_answers(self.base, answers)

    def evaluate(self, case: Case, wall_id: str) -> Evaluation:
        """One wall through the engine, without the wording."""
        return self.evaluator.evaluate(self.answers(case, wall_id))

    def wall(self, case: Case, wall: Wall) -> WallFinding:
        """Triage one wall."""
        answers = self.answers(case, wall.id)
        result = self.evaluator.evaluate(answers)
        return WallFinding(
            id=wall.id,
            name=wall.name,
            verdict=result.verdict,
            probability=(result.measures["lower"], result.measures["upper"]),
            load_paths=explain.load_paths(self.evaluator, result, answers),
            why_not=explain.why_not(self.evaluator, result),
            contradictions=explain.contradictions(self.evaluator, result, answers),
            next_checks=deciding_checks(self.worth, result, answers),
            cautions=explain.cautions(self.evaluator, result),
            referral=explain.referral(self.evaluator, result),
            numbers=self._numbers(result, answers),
            decided_by=result.decided_by,
            scope=tuple(firing.rule for firing in result.fired("scope")),
            trace=tuple(result.firings),
            answered=explain.answered(self.evaluator, answers),
        )

    def _numbers(self, result: Evaluation, answers: Mapping[str, Answer]) -> dict[str, Any] | None:
        if not has_distances(self.base, answers):
            return None
        from walltriage.inference.numbers import wall_numbers

        return wall_numbers(self.base, result, answers)
