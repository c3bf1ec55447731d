"""Which question comes next in one interview, when to stop asking, and how much is left.

The choice itself is :mod:`walltriage.inference.looks.choice`'s, one row of it.  The same case
always gets the same question: what is remembered only saves work.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import Literal, cast

import numpy as np

from walltriage.case.model import HOUSE, ROLES, UNKNOWN, Answer, Case, Step
from walltriage.case.pages import pages
from walltriage.inference.columns.codes import Batch, Bools
from walltriage.inference.engine.evaluate import Evaluation
from walltriage.inference.looks.choice import LookChoice
from walltriage.inference.looks.glance import Asked, asked_of
from walltriage.inference.looks.policy import FAR, InterviewPolicy
from walltriage.inference.looks.progress import PLACES, REASONS, STOPS, Progress, Standing
from walltriage.inference.triage import Triager

MOST_KEPT = 200  # walls
Stop = Literal["verdict", "scope", "length", "futile", "exhausted"]


@dataclass(frozen=True, slots=True)
class NextStep:
    """The next step, or why there is none; ``more_here`` more are likely at this place, and
    ``in_all`` wherever one goes today.

    ``for_numbers`` marks a measurement asked after the verdict, for the preliminary numbers.
    ``page``: the things on the page with which it is asked, when it is not asked by itself.
    ``reason``: why it is asked, one of ``REASONS``.
    """

    step: Step | None
    stop: Stop | None = None
    more_here: int = 0
    in_all: int = 0
    for_numbers: bool = False
    page: Asked | None = None
    reason: str = ""


class Planner:
    """Plans interviews with one knowledge base."""

    def __init__(self, triager: Triager, policy: InterviewPolicy | None = None) -> None:
        self.triager = triager
        self.policy = policy or InterviewPolicy()
        self.base = triager.base
        self._rules = {item.id: index for index, item in enumerate(triager.evaluator.stratified)}
        self.choice = LookChoice(triager.worth, tuple(self._rules), self.policy)
        self._names = tuple(self.base.questions)
        self._columns = {name: index for index, name in enumerate(self._names)}
        self._can_be_asked = {
            name: question
            for name, question in self.base.questions.items()
            if question.entry.kind != "computed"
        }
        self._page_of = {
            name: glance.id
            for glance in self.base.glances
            for name in (*glance.lists, *glance.singles)
        }
        self._kept: dict[str, tuple[Evaluation, object, NextStep]] = {}

    def next_step(self, case: Case, wall_id: str, evaluation: Evaluation) -> NextStep:
        """The next question about one wall, or about its house; ``evaluation`` is the wall's.

        Remembered for each wall: of many walls in a house an answer changes few, and each is
        planned after every answer.
        """
        answers = self.triager.answers(case, wall_id)
        left = self._open(case, wall_id, evaluation, answers)
        places = self._places(case, wall_id)
        about = tuple(left), tuple(places), case.role, case.reach, case.to_name
        kept = self._kept.get(wall_id)
        if kept is not None and kept[0] is evaluation and kept[1] == about:
            return kept[2]
        if len(self._kept) >= MOST_KEPT:
            self._kept.clear()
        found = self._next_step(case, wall_id, evaluation, answers, left, places)
        self._kept[wall_id] = evaluation, about, found
        return found

    def _next_step(
        self,
        case: Case,
        wall_id: str,
        evaluation: Evaluation,
        answers: Mapping[str, Answer],
        left: list[str],
        places: list[str],
    ) -> NextStep:
        asked = len(pages(step for step in case.asked if step.subject == wall_id))
        to_name = {step.question for step in case.to_name if step.subject in (HOUSE, wall_id)}
        opened = {*self._opened(case, wall_id), *to_name}
        fired, beliefs = self._fired(evaluation), evaluation.beliefs
        row, progress = self._row(left), self._progress(case, places, asked, to_name)
        to_try = self.choice.to_try(fired, beliefs, row, progress)
        told = self.choice.coder.encode([answers])
        passed = self._passed(case, told, progress)
        unsettling = self._unsettling(told, to_try, passed)
        chosen = self.choice.choose(
            Standing(row, self._row(opened), unsettling, fired, beliefs, progress, told, passed)
        )
        column = int(chosen.question[0])
        if column < 0:
            return NextStep(None, cast(Stop, STOPS[chosen.stop[0]]))
        name = self._names[column]
        question = self.base.questions[name]
        fresh = [other for other in left if other not in to_name]
        glance = int(chosen.glance[0])
        page = None
        if glance >= 0:
            (shut_out,) = self.choice.glances.shut_out(told, chosen.glance)
            page = asked_of(self.base.glances[glance], fresh, shut_out)
        likely = {self._names[c] for c in np.flatnonzero(chosen.must[0] | chosen.worthwhile[0])}
        likely -= {name, *(page.questions if page else ())}
        pages_in = self.choice.glances.pages
        there = {other for other in likely if self.base.questions[other].place == question.place}
        here, all_pages = pages_in(there, fresh), pages_in(likely, fresh)
        in_all = all_pages  # where the verdict stands but for what is sought, all of it is asked
        if evaluation.verdict != "likely_non_bearing":
            in_all = self._about(all_pages, asked_pages(case, wall_id), bool(chosen.must[0].any()))
        step = Step(HOUSE if question.scope == HOUSE else wall_id, name)
        numbers = bool(chosen.for_numbers[0])
        reason = REASONS[int(chosen.reason[0])]
        return NextStep(step, None, min(here, in_all), in_all, numbers, page, reason)

    def _about(self, likely: int, asked: int, begins: bool) -> int:
        """About how many questions follow: while the first are asked as many as are usual, then
        what is worth asking, of which a verdict spares the rest."""
        usual = max(self.policy.usual_questions - asked, self.policy.last_questions)
        return max(usual - 1, likely) if begins else min(likely, usual)

    def _open(
        self, case: Case, wall_id: str, evaluation: Evaluation, answered: Collection[str]
    ) -> list[str]:
        """Questions that apply, that this person can answer today, and has not."""
        applicable = self.triager.evaluator.applicable(evaluation)
        closed = self.closed_places(case, wall_id)
        return [
            name
            for name, question in self._can_be_asked.items()
            if name in applicable
            and name not in answered
            and question.entry.effort <= case.reach
            and case.role in question.entry.who
            and question.place not in closed
        ]

    def _opened(self, case: Case, wall_id: str) -> list[str]:
        """Questions that an answer to a list has opened."""
        return [
            name
            for list_name, answer in case.answers_for(wall_id).items()
            for name in self.base.questions[list_name].entry.opens.get(answer.value, ())
        ]

    def _unsettling(self, told: Batch, to_try: Bools, passed: Bools) -> Bools:
        """Of the questions ``to_try`` (1, q), those that could take "non-bearing" back."""
        return self.triager.unsettling.among(told, to_try, passed) if to_try.any() else to_try

    def _passed(self, case: Case, told: Batch, progress: Progress) -> Bools:
        """Questions (1, q) passed over on a page, of which somebody has picked something else."""
        shown = {step.glance for step in case.asked}
        there = {
            name
            for glance in self.base.glances if glance.id in shown
            for item in glance.items
            for name in item.seen
        }  # fmt: skip
        return self.choice.glances.passed(told, progress.to_name) & self._row(there)

    def _row(self, names: Iterable[str]) -> Bools:
        """Some questions as a row (1, q)."""
        row = np.zeros((1, len(self._names)), bool)
        row[0, [self._columns[name] for name in names]] = True
        return row

    def _fired(self, evaluation: Evaluation) -> Bools:
        """The rules that fired, as a row (1, r)."""
        row = np.zeros((1, len(self._rules)), bool)
        row[0, [self._rules[f.rule] for f in evaluation.firings if f.rule in self._rules]] = True
        return row

    def _progress(
        self, case: Case, places: list[str], asked: int, to_name: Iterable[str]
    ) -> Progress:
        been = np.array([[place in places[1:] for place in PLACES]])
        here = np.array([PLACES.index(places[-1])])
        reach, role = np.array([case.reach]), np.array([ROLES.index(case.role)])
        return Progress(here, been, np.array([asked]), reach, role, self._row(to_name))

    def _places(self, case: Case, wall_id: str) -> list[str]:
        """The places gone to for this wall or the house, in order; people start at a desk."""
        steps = [step for step in case.asked if step.subject in (HOUSE, wall_id)]
        return ["desk", *(self.base.questions[step.question].place for step in steps)]

    def out_of_scope(
        self, case: Case, wall_id: str, evaluation: Evaluation
    ) -> tuple[tuple[str, str], ...]:
        """What shuts a wall out: (subject, rule id) of each scope rule that holds, and of which
        nothing is left that this person could be asked today.  The subject is the house, or the
        wall where something at the wall is read."""
        uses, questions = self.triager.worth.uses, self.base.questions
        left = self._open(case, wall_id, evaluation, self.triager.answers(case, wall_id))
        found: list[tuple[str, str]] = []
        for firing in evaluation.fired("scope"):
            reads = {name for name, use in uses.items() if firing.rule in use.scope}
            of_house = all(questions[name].scope == HOUSE for name in reads)
            if reads.isdisjoint(left):
                found.append((HOUSE if of_house else wall_id, firing.rule))
        return tuple(found)

    def closed_places(self, case: Case, wall_id: str) -> set[str]:
        """Far places where two questions got no answer ("don't know", a page of it counted once, or
        "can't get there"), none got one, and nothing was seen that is still to be named.  A place
        opens again when one of those answers is changed."""
        answers = case.answers_for(wall_id)
        seen = {
            self.base.questions[step.question].place
            for step in case.to_name
            if step.subject in (HOUSE, wall_id)
        }
        by_place: dict[str, dict[str, Answer]] = {}
        for name, answer in answers.items():
            place = self.base.questions[name].place
            if place in FAR:
                by_place.setdefault(place, {})[name] = answer
        return {
            place
            for place, given in by_place.items()
            if place not in seen
            and not any(answer.is_real for answer in given.values())
            and self._without_answer(given) >= self.policy.closed_after
        }

    def _without_answer(self, given: Mapping[str, Answer]) -> int:
        """How often it was said that one does not know, once for a page, or can't get there."""
        unknown = [name for name, answer in given.items() if answer.value == UNKNOWN]
        return len({self._page_of.get(name, name) for name in unknown}) + len(given) - len(unknown)


def asked_pages(case: Case, wall_id: str) -> int:
    """How many pages were put about a wall and its house."""
    return len(pages(step for step in case.asked if step.subject in (HOUSE, wall_id)))
