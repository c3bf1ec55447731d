"""Simulated interviews, many in step: plan, ask the simulated person, note the answer."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

import numpy as np

from walltriage.case.model import HOUSE, ROLES, Answer, Case, Step
from walltriage.case.model import Wall as CaseWall
from walltriage.inference.answers import with_worked_out
from walltriage.inference.columns.codes import NOT_ASKED, Batch, Bools
from walltriage.inference.columns.evaluator import VERDICTS, ColumnEvaluator
from walltriage.inference.looks.column_planner import (
    STOPS,
    ColumnPlanner,
    NextQuestions,
    Progress,
)
from walltriage.inference.looks.glance import Asked, Picked, asked_of, picked_by, word_for_all
from walltriage.inference.looks.policy import EFFORT_COST
from walltriage.knowledge.base import KnowledgeBase
from walltriage.lab.calibration import point_chance
from walltriage.lab.house.build import build_house, generator
from walltriage.lab.house.truth import PATHS, truth
from walltriage.lab.outcomes import NAMES, Outcomes
from walltriage.lab.reporter import ROLE, Person

Order = Literal["planner", "fixed", "random"]
ORDERS: tuple[Order, ...] = ("planner", "fixed", "random")
MOST_QUESTIONS = 60


@dataclass(frozen=True, slots=True)
class Held:
    """What was asked and answered in ``n`` interviews.

    ``asked`` (n, MOST_QUESTIONS): columns of the questions in order, -1 after the last; of
    several on one page (a glance) that which brought it up.
    ``counted``: where a question was asked to come to a verdict, not to size what the wall
    carries.  ``stop`` (n,): index into ``STOPS``.  ``given``: the answers of each.
    """

    batch: Batch
    asked: np.ndarray
    counted: Bools
    stop: np.ndarray
    given: list[dict[str, Answer]]


class Interviewer:
    """Holds interviews in step over one knowledge base.

    ``overlooked``: how likely (0 to 1) a thing that somebody would tell of, asked by itself, is not
    picked where it stands among others on one page.
    """

    def __init__(self, base: KnowledgeBase, overlooked: float = 0.0) -> None:
        self.base, self.overlooked = base, overlooked
        self._draws = np.random.default_rng(0)
        self.evaluator = ColumnEvaluator(base)
        self.planner = ColumnPlanner(self.evaluator)
        self._questions = list(base.questions.values())
        self._efforts = np.array([EFFORT_COST[q.entry.effort] for q in self._questions])
        self._computed = [i for i, q in enumerate(self._questions) if q.entry.kind == "computed"]
        self._measured = {
            name
            for readings in base.measures.inputs.values()
            for reading in readings
            for name in (reading.question, *reading.only_with)
        }
        self._bearing = [i for i, p in enumerate(base.paths.values()) if p.entry.bears]
        self._fixed = np.lexsort(
            (np.arange(len(self._questions)), np.array([q.entry.effort for q in self._questions]))
        )

    def hold(
        self, seed: int, indices: range, reporter: str, order: Order = "planner"
    ) -> tuple[Outcomes, list[Case]]:
        """Interviews number ``indices``; the second part holds every dangerous miss as a case."""
        count = len(indices)
        houses, people, truths = [], [], np.zeros((count, len(PATHS)), bool)
        for row, index in enumerate(indices):
            name = NAMES[index % len(NAMES)]
            house = build_house(name, seed, index)
            wall = house.wall(house.subject)
            rng = generator(seed, index, f"person {reporter}")
            people.append(Person(reporter, house, wall, rng, len(self._questions)))
            houses.append(house)
            truths[row] = list(truth(house, wall).values())
        held = self.interviews(people, order, generator(seed, indices.start, "order"))
        asked, effort = held.counted.sum(axis=1).astype(np.int16), self._effort_of(held)
        batch, stop, given = held.batch, held.stop, held.given
        result = self.evaluator.evaluate(batch)
        seen = np.array([
            person.reach >= 2 and (house.attic_reachable if person.attic_over else person.reach > 2)
            for person, house in zip(people, houses, strict=True)
        ], bool)  # fmt: skip
        outcomes = Outcomes(
            np.array(indices), np.array([i % len(NAMES) for i in indices], np.int16), truths,
            result.verdict.astype(np.int8), result.lower, result.upper,
            point_chance(result.path_low[:, self._bearing], result.path_high[:, self._bearing]),
            asked, effort, stop, seen,
        )  # fmt: skip
        wrong = np.flatnonzero(
            outcomes.bears & (outcomes.verdict == VERDICTS.index("likely_non_bearing"))
        )
        cases = [
            as_case(self.base, given[row], houses[row].archetype, indices[row], truths[row],
                    people[row])
            for row in wrong
        ]  # fmt: skip
        return outcomes, cases

    def interviews(self, people: list[Person], order: Order, draw: np.random.Generator) -> Held:
        """One interview with each of these people, in step; ``draw`` orders random ones."""
        count = len(people)
        batch = self.evaluator.coder.empty(count)
        progress = Progress.start(count, len(self._questions))
        progress.reach[:] = [person.reach for person in people]
        progress.role[:] = [ROLES.index(ROLE[person.kind]) for person in people]
        asked = np.full((count, MOST_QUESTIONS), -1, np.int16)
        counts = np.zeros((count, MOST_QUESTIONS), bool)
        stop = np.zeros(count, np.int8)
        given: list[dict[str, Answer]] = [{} for _ in range(count)]
        shuffle = draw.random((count, len(self._questions)))
        going = np.arange(count)
        for turn in range(MOST_QUESTIONS):
            here = progress.rows(going)
            plan = self._next(batch.rows(going), here, order, shuffle[going])
            ended = plan.question < 0
            stop[going[ended]] = plan.stop[ended]
            singles = np.flatnonzero(~ended & (plan.glance < 0))
            for at in singles.tolist():
                row, column = int(going[at]), int(plan.question[at])
                self._ask(batch, row, column, people[row], given[row])
            self._glance(batch, going, here, plan, people, given)
            self.planner.advance(here, plan.question)
            progress.put(going, here)
            asked[going, turn] = plan.question
            counts[going, turn] = ~ended & ~plan.for_numbers
            going = going[~ended]
            if not len(going):
                break
        return Held(batch, asked, counts, stop, given)

    def _effort_of(self, held: Held) -> np.ndarray:
        """Effort (n,) of the questions that count, in units of ``EFFORT_COST``."""
        efforts = np.where(held.counted, self._efforts[held.asked], 0.0)
        total: np.ndarray = efforts.sum(axis=1)
        return total

    def _next(
        self, batch: Batch, progress: Progress, order: Order, shuffle: np.ndarray
    ) -> NextQuestions:
        if order == "planner":
            return self.planner.next_questions(batch, progress)
        result = self.evaluator.evaluate(batch)
        left = self.planner.open_questions(batch, result.fired, progress)
        if order == "fixed":
            ranked = left[:, self._fixed]
            best = self._fixed[ranked.argmax(axis=1)]
        else:
            best = np.where(left, shuffle, -1.0).argmax(axis=1)
        stop = np.zeros(len(batch), np.int8)
        stop[~left.any(axis=1)] = STOPS.index("exhausted")
        stop[progress.asked >= self.planner.policy.most_wall_questions] = STOPS.index("length")
        stop[result.verdict != 0] = STOPS.index("verdict")
        alone = np.full(len(batch), -1, np.int16)
        return NextQuestions(np.where(stop > 0, -1, best), alone, stop, np.zeros(len(batch), bool))

    def _glance(
        self, batch: Batch, going: np.ndarray, here: Progress, plan: NextQuestions,
        people: list[Person], given: list[dict[str, Answer]],
    ) -> None:  # fmt: skip
        """Ask several questions on one page, wherever the plan says so."""
        at = np.flatnonzero(plan.glance >= 0)
        if not len(at):
            return
        column, coder = self.evaluator.coder.column, self.evaluator.coder
        fired = self.evaluator.evaluate(batch.rows(going[at])).fired
        left = self.planner.open_questions(batch.rows(going[at]), fired, here.rows(at))
        left &= ~here.to_name[at]
        told: dict[int, dict[str, Answer]] = {}
        cannot = self.planner.choice.glances.shut_out(batch.rows(going[at]), plan.glance[at])
        for place, open_here, shut_out in zip(at.tolist(), left, cannot, strict=True):
            row, glance = int(going[place]), self.base.glances[plan.glance[place]]
            names = {self._questions[c].id for c in np.flatnonzero(open_here)}
            page = asked_of(glance, names, shut_out)
            answers, to_name = self._said(page, people[row])
            told[row] = answers
            for name, answer in answers.items():
                coder.put(batch, row, name, answer)
            here.to_name[place, [column[name] for name in to_name]] = True
        rows = np.array(list(told))
        applies = self.planner.applicable(self.evaluator.evaluate(batch.rows(rows)).fired)
        for row, here_applies in zip(rows.tolist(), applies, strict=True):
            for name, answer in told[row].items():
                if here_applies[column[name]]:
                    given[row][name] = answer
                else:
                    batch.codes[row, column[name]], batch.sure[row, column[name]] = NOT_ASKED, 0
            if self._measured & given[row].keys() & told[row].keys():
                self._work_out(batch, row, given[row])

    def _said(self, page: Asked, person: Person) -> tuple[dict[str, Answer], tuple[str, ...]]:
        """What a person says on a page of several things: answers, and what is to be named."""
        column = self.evaluator.coder.column

        @cache
        def answer(name: str) -> Answer:
            return person.answer(self.base.questions[name], column[name])

        word = word_for_all(page, answer)
        if word:
            return {n: Answer(v, None, v) for n, v in page.nothing_known(word).items()}, ()
        picked = picked_by(page, answer)
        if self.overlooked:
            kept = self._draws.random(len(page.items)) >= self.overlooked
            seen = {at for at in picked.seen if kept[at]}
            picked = Picked(frozenset(seen), picked.unsure)
        found = {
            name: Answer(value, None, value, answer(name).sure)
            for name, value in page.answers(picked).items()
        }
        return found, page.to_name(picked)

    def _ask(
        self, batch: Batch, row: int, column: int, person: Person, given: dict[str, Answer]
    ) -> None:
        question = self._questions[column]
        answer = person.answer(question, column)
        given[question.id] = answer
        self.evaluator.coder.put(batch, row, question.id, answer)
        if question.id in self._measured:
            self._work_out(batch, row, given)

    def _work_out(self, batch: Batch, row: int, given: dict[str, Answer]) -> None:
        """The computed answers of a wall anew, after something that they rest on was told."""
        batch.codes[row, self._computed] = NOT_ASKED
        for name, worked_out in with_worked_out(self.base, given).items():
            if name not in given:
                self.evaluator.coder.put(batch, row, name, worked_out)


def as_case(
    base: KnowledgeBase,
    given: dict[str, Answer],
    archetype: str,
    index: int,
    paths: np.ndarray,
    person: Person | None = None,
) -> Case:
    """One simulated interview as a case that ``triage`` and ``replay`` can read."""
    reached = [name for name, on in zip(PATHS, paths, strict=True) if on]
    house = {n: a for n, a in given.items() if base.questions[n].scope == HOUSE}
    own = {n: a for n, a in given.items() if base.questions[n].scope != HOUSE}
    steps = tuple(Step(HOUSE if n in house else "wall", n) for n in given)
    return Case(
        name=f"simulated {archetype} {index}",
        house=house,
        walls=(CaseWall("wall", "", own),),
        role=ROLES[0] if person is None else ROLE[person.kind],  # type: ignore[arg-type]
        reach=4 if person is None else person.reach,
        asked=steps,
        story="A simulated house. In truth on this wall: "
        + (", ".join(reached) or "nothing")
        + ".",
    )
