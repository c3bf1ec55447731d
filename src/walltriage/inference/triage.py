"""A case in, a finding out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING

from walltriage.case.model import Answer, Case, Wall
from walltriage.case.plan import Plan
from walltriage.errors import InputError
from walltriage.inference import explain
from walltriage.inference.answers import answers_that_count
from walltriage.inference.engine.evaluate import Evaluation, Evaluator
from walltriage.inference.finding import Finding, NextCheck, RulesUsed, Verdict, WallFinding
from walltriage.inference.leaning import leaning_of
from walltriage.inference.looks.opening_plan import opening_plan
from walltriage.inference.not_counted import not_counted
from walltriage.inference.numbers.computed import has_distances
from walltriage.inference.observed import cited, house_observations, wall_observations
from walltriage.inference.relations.house_answers import relied_on
from walltriage.inference.relations.plan_answers import PlanReader, check_relations
from walltriage.inference.seen_answers import NO_LOOKS, wall_length_in
from walltriage.knowledge.base import KnowledgeBase

if TYPE_CHECKING:  # what many walls need not, they are spared
    from walltriage.inference.looks.trial import Trial
    from walltriage.inference.looks.unsettling import Unsettling
    from walltriage.inference.looks.worth import Worth
    from walltriage.inference.numbers.house import HouseWork
    from walltriage.inference.numbers.results import HouseNumbers, WallNumbers

_Told = tuple[Evaluation, dict[str, Answer]]  # of one wall, with all answers that count
REMEMBERED = 256  # evaluations kept: walls of one house ask for each other's verdicts again


class Triager:
    """A knowledge base compiled once, and all that is asked of it."""

    def __init__(self, base: KnowledgeBase) -> None:
        self.base = base
        self.evaluator = Evaluator(base)
        check_relations(base)
        self._reader: PlanReader | None = None
        self._evaluations: dict[tuple[tuple[str, Answer], ...], Evaluation] = {}
        # the last case asked about, and by wall the answers that count in it
        self._known: tuple[Case | None, dict[str, dict[str, Answer]]] = (None, {})

    def finding(self, case: Case) -> Finding:
        """Triage every wall of a case."""
        work, house = self._house(case)
        told = [self._told(case, wall) for wall in case.walls]
        checks = self._next_checks(told)
        walls = tuple(
            self._wall(case, wall, work, own, to_check)
            for wall, own, to_check in zip(case.walls, told, checks, strict=True)
        )
        rules = RulesUsed(self.base.version, self.base.sha256)
        return Finding(
            case.name, rules, walls, house, house_observations(self.base, case),
            cited(self.base, walls), case,
        )  # fmt: skip

    def _house(self, case: Case) -> tuple[HouseWork | None, HouseNumbers | None]:
        """The loads of a drawn house and its numbers; None twice without a plan."""
        if case.plan is None or self.base.measures.span_need is None:
            return None, None
        from walltriage.inference.numbers.house import house_numbers
        from walltriage.inference.numbers.results import HouseNumbers

        verdicts = {wall.id: self.evaluate(case, wall.id).verdict for wall in case.walls}
        try:
            work = self.house_work(case, verdicts)
        except InputError as error:
            told = tuple(problem.what for problem in error.problems)
            return None, HouseNumbers((), (), None, (), told, ())
        return work, house_numbers(work)

    def house_work(self, case: Case, verdicts: Mapping[str, Verdict]) -> HouseWork:
        """The loads of a drawn house, followed with these verdicts on its walls.

        Raises :class:`InputError` for sizes beyond what the arithmetic accepts.
        """
        from walltriage.inference.numbers.house import house_work
        from walltriage.inference.numbers.measures import Measured
        from walltriage.inference.numbers.site import site_of

        assert case.plan is not None
        answers = self.house_answers(case)
        of_walls = {wall.id: self.answers(case, wall.id) for wall in case.walls}
        quakes = Measured(self.base, answers).word("quake") == "yes"
        return house_work(
            self.base, self.reader(case.plan).layout, answers, verdicts,
            site_of(self.base, answers, of_walls), earthquakes=quakes,
        )  # fmt: skip

    def house_answers(self, case: Case) -> dict[str, Answer]:
        """The answers about the house, with those its plan gives."""
        if case.plan is None:
            return dict(case.house)
        return {**self.reader(case.plan).answers("", case.house), **case.house}

    def answers(self, case: Case, wall_id: str) -> dict[str, Answer]:
        """All answers that bear on one wall, as :func:`answers_that_count` gives them.

        Those of the last case are remembered: whoever evaluates a wall asks for them, and then
        whoever plans what to ask about it.
        """
        of, known = self._known
        if of is not case:
            known = {}
            self._known = case, known
        if wall_id not in known:
            reader = None if case.plan is None else self.reader(case.plan)
            known[wall_id] = answers_that_count(
                self.base, case, wall_id, reader, lambda other: self.evaluate(case, other).verdict
            )
        return dict(known[wall_id])

    def reader(self, plan: Plan) -> PlanReader:
        """The plan worked out; the last one is kept."""
        kept = None if self._reader is None else self._reader.layout.plan
        if self._reader is None or (kept is not plan and kept != plan):
            self._reader = PlanReader(self.base, plan)
        return self._reader

    def evaluate(self, case: Case, wall_id: str) -> Evaluation:
        """One wall through the engine, without the wording."""
        return self._evaluated(self.answers(case, wall_id))

    def _evaluated(self, answers: dict[str, Answer]) -> Evaluation:
        key = tuple(answers.items())
        known = self._evaluations.pop(key, None)
        if known is None:
            known = self.evaluator.evaluate(answers)
            if len(self._evaluations) >= REMEMBERED:
                del self._evaluations[next(iter(self._evaluations))]
        self._evaluations[key] = known  # put back last: the least used goes first
        return known

    def wall(self, case: Case, wall: Wall, house: HouseWork | None = None) -> WallFinding:
        """Triage one wall; ``house`` has the loads of a drawn house."""
        told = self._told(case, wall)
        return self._wall(case, wall, house, told, self._next_checks([told])[0])

    def _told(self, case: Case, wall: Wall) -> _Told:
        answers = self.answers(case, wall.id)
        return self._evaluated(answers), answers

    def _wall(
        self, case: Case, wall: Wall, house: HouseWork | None, told: _Told,
        checks: tuple[NextCheck, ...],
    ) -> WallFinding:  # fmt: skip
        result, answers = told
        seen, looks = self.base.seen_along, case.wall(wall.id).looks
        found = WallFinding(
            id=wall.id,
            name=wall.name,
            verdict=result.verdict,
            probability=(result.measures["lower"], result.measures["upper"]),
            middle=result.measures["middle"],
            load_paths=explain.load_paths(self.evaluator, result, answers),
            why_not=explain.why_not(self.evaluator, result),
            contradictions=explain.contradictions(self.evaluator, result, answers),
            next_checks=checks,
            cautions=explain.cautions(self.evaluator, result),
            referral=explain.referral(self.evaluator, result),
            numbers=self._numbers(wall.id, result, answers, house),
            decided_by=result.decided_by,
            scope=tuple(firing.rule for firing in result.fired("scope")),
            trace=explain.trace(self.evaluator, result),
            observed=wall_observations(self.base, case, wall.id, answers),
            leaning=leaning_of(self.base, result),
            length_in=None if seen is None else wall_length_in(seen, looks or NO_LOOKS, answers),
            not_counted=not_counted(self.evaluator, result, answers),
            relies_on=self._relies_on(case, wall.id),
        )
        return replace(found, opening=opening_plan(self.base, found, looks, answers))

    def _relies_on(self, case: Case, wall_id: str) -> tuple[str, ...]:
        if case.plan is None:
            return ()
        return tuple(case.wall(w).name for w in relied_on(self.reader(case.plan), case, wall_id))

    @cached_property
    def worth(self) -> Worth:
        """Prices questions; made when the first has to be priced."""
        from walltriage.inference.looks.worth import Worth

        return Worth(self.base, self.evaluator.step)

    @cached_property
    def trial(self) -> Trial:
        """Tries answers on a wall; made when the first wall has to be tried."""
        from walltriage.inference.columns.evaluator import ColumnEvaluator
        from walltriage.inference.looks.trial import Trial

        made = self.evaluator
        return Trial(self.worth, ColumnEvaluator(self.base, made.stratified, made.step))

    @cached_property
    def unsettling(self) -> Unsettling:
        """Finds what could take a "non-bearing" back; made when the first such wall comes."""
        from walltriage.inference.looks.unsettling import Unsettling

        return Unsettling(self.trial)

    def _next_checks(self, walls: Sequence[_Told]) -> list[tuple[NextCheck, ...]]:
        if all(result.verdict != "cannot_tell" for result, _ in walls):
            return [()] * len(walls)
        from walltriage.inference.looks.next_checks import deciding_checks

        return deciding_checks(self.evaluator, self.trial, walls)

    def _numbers(
        self,
        wall: str,
        result: Evaluation,
        answers: Mapping[str, Answer],
        house: HouseWork | None,
    ) -> WallNumbers | None:
        if house is None and not has_distances(self.base, answers):
            return None
        from walltriage.inference.numbers.wall import WallWork, wall_numbers

        return wall_numbers(WallWork(self.base, wall, result, answers, house))
