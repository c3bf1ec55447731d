"""Which question comes next, and when to stop asking.

The order: what the house must tell first, then what shuts a building out or holds a
verdict back, then what must be known of the wall, then whatever is worth most for its
effort.  Somebody who has climbed to the attic is asked everything worth asking up there
before coming down.  The same case always gets the same question: what is remembered only
saves work.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

from walltriage.case.model import HOUSE, OUT_OF_REACH, Answer, Case, Step
from walltriage.inference.engine.evaluate import Evaluation
from walltriage.inference.engine.uses import lifting
from walltriage.inference.looks.policy import EFFORT_COST, FAR, InterviewPolicy
from walltriage.inference.triage import Triager
from walltriage.knowledge.base import AskedQuestion

MOST_KEPT = 200  # walls
Stop = Literal["verdict", "scope", "length", "futile", "exhausted"]


@dataclass(frozen=True, slots=True)
class NextStep:
    """The next step, or why there is none; ``more_here`` more are likely at this place.

    ``for_numbers`` marks a measurement asked after the verdict, for the preliminary numbers.
    ``worth`` counts the questions worth asking as things stand, this one among them; None while
    what must be known first is asked.
    """

    step: Step | None
    stop: Stop | None = None
    more_here: int = 0
    for_numbers: bool = False
    worth: int | None = None


_Scored = list[tuple[float, AskedQuestion]]


class Planner:
    """Plans interviews with one knowledge base."""

    def __init__(self, triager: Triager, policy: InterviewPolicy | None = None) -> None:
        self.triager = triager
        self.policy = policy or InterviewPolicy()
        self.base = triager.base
        self.worth = triager.worth
        self._mark = self.base.guards.thresholds["non_bearing_at_most"]
        self._order = {name: index for index, name in enumerate(self.base.questions)}
        self._lifters = {
            gate.id: lifting(self.base, self.worth.uses, gate) for gate in self.base.guards.gates
        }
        self._guarding = frozenset(name for name, uses in self.worth.uses.items() if uses.scope)
        self._kept: dict[str, tuple[Evaluation, tuple[tuple[str, ...], ...], _Scored]] = {}
        self._routers = {
            name: [other for other, uses in self.worth.uses.items() if name in uses.other]
            for name in self.base.questions
        }

    def next_step(self, case: Case, wall_id: str, evaluation: Evaluation) -> NextStep:
        """The next question about one wall, or about its house; ``evaluation`` is the wall's."""
        open_questions = self._open(case, wall_id, evaluation)
        house = [q for q in open_questions if q.scope == HOUSE]
        must = [q for q in house if q.entry.first]
        must += [q for q in self._near_guards(house) if q not in must]
        if not must and evaluation.fired("scope"):
            return NextStep(None, "scope")
        must = must or [q for q in open_questions if q.entry.first]
        if not must:
            stop = self._stop(case, wall_id, evaluation, open_questions)
            wanted = self._for_numbers(stop, evaluation, open_questions)
            if wanted:
                chosen = self._chosen(wanted[0], wanted, wall_id)
                return replace(chosen, for_numbers=True, worth=len(wanted))
            if stop is not None:
                return NextStep(None, stop)
        if must:
            return self._chosen(must[0], must, wall_id)
        scored = self._scored(open_questions, case, wall_id, evaluation)
        if not scored:
            return NextStep(None, "futile")
        places = self._places(case, wall_id)
        best = self._router(self._best(scored, places[-1]), open_questions, places)
        alike = [q for _, q in scored] if best.place in FAR else []
        return replace(self._chosen(best, alike, wall_id), worth=len(scored))

    def _for_numbers(
        self, stop: Stop | None, evaluation: Evaluation, open_questions: list[AskedQuestion]
    ) -> list[AskedQuestion]:
        """The few measurements that size what a likely bearing wall carries."""
        if stop != "verdict" or evaluation.verdict != "likely_bearing":
            return []
        wanted = self.base.measures.asked_for_numbers
        return [q for q in open_questions if q.id in wanted]

    def _chosen(self, best: AskedQuestion, alike: list[AskedQuestion], wall_id: str) -> NextStep:
        """The plan to ask ``best``, with how many of ``alike`` follow at the same place."""
        more = sum(q.place == best.place and q.scope == best.scope and q != best for q in alike)
        return NextStep(Step(HOUSE if best.scope == HOUSE else wall_id, best.id), None, more)

    def _stop(
        self, case: Case, wall_id: str, evaluation: Evaluation, left: list[AskedQuestion]
    ) -> Stop | None:
        if evaluation.verdict != "cannot_tell":
            return "verdict"
        policy = self.policy
        nearly = evaluation.measures["upper"] <= policy.nearly * self._mark
        most = policy.most_when_nearly_there if nearly else policy.most_wall_questions
        if sum(step.subject == wall_id for step in case.asked) >= most:
            return "length"
        return None if left else "exhausted"

    def _open(self, case: Case, wall_id: str, evaluation: Evaluation) -> list[AskedQuestion]:
        """Questions that apply, that this person can answer today, and has not."""
        answered = self.triager.answers(case, wall_id)
        applicable = self.triager.evaluator.applicable(evaluation)
        blocked = self.blocked_places(case, wall_id)
        return [
            question
            for name, question in self.base.questions.items()
            if name in applicable
            and name not in answered
            and question.entry.kind != "computed"
            and question.entry.effort <= case.reach
            and case.role in question.entry.who
            and question.place not in blocked
        ]

    def _near_guards(self, questions: Iterable[AskedQuestion]) -> list[AskedQuestion]:
        """Scope questions that need no walk, least effort first."""
        least = self.policy.near_effort
        near = [q for q in questions if q.id in self._guarding and q.entry.effort <= least]
        return sorted(near, key=lambda q: (q.entry.effort, self._order[q.id]))

    def _scored(
        self, questions: list[AskedQuestion], case: Case, wall_id: str, evaluation: Evaluation
    ) -> _Scored:
        """The questions worth anybody's while, remembered for each wall.

        Of many walls in a house an answer changes few, and each is planned after every answer.
        """
        about = tuple(q.id for q in questions), tuple(self._places(case, wall_id))
        kept = self._kept.get(wall_id)
        if kept is not None and kept[0] is evaluation and kept[1] == about:
            return kept[2]
        if len(self._kept) >= MOST_KEPT:
            self._kept.clear()
        scored = self._worthwhile(questions, case, wall_id, evaluation)
        self._kept[wall_id] = evaluation, about, scored
        return scored

    def _worthwhile(
        self, questions: list[AskedQuestion], case: Case, wall_id: str, evaluation: Evaluation
    ) -> list[tuple[float, AskedQuestion]]:
        """The questions worth anybody's while, with their worth per effort from here."""
        last = self._needed_lifters(evaluation)
        named = {gate.rule for gate in evaluation.fired("gate")}
        shut = self._shut(named, {question.id for question in questions})
        places = self._places(case, wall_id)
        policy, scored = self.policy, []
        asked = {question.id for question in questions}
        values = self.worth.prices(asked, evaluation.beliefs, shut)
        for question in questions:
            uses = self.worth.uses[question.id]
            value = values[question.id]
            if not shut:
                value += policy.gate_worth if question.id in last else 0.0
            if question.place in FAR and uses.other & named and not shut:
                value += policy.early_gate_worth
            value += policy.scope_worth if uses.scope else 0.0
            score = value / self._cost(question, places)
            tape = question.id in self.base.measures.asked_with_a_tape
            if score >= (policy.tape_floor if tape else policy.floor):
                scored.append((score, question))
        return scored

    def _shut(self, gates: Iterable[str], left: set[str]) -> bool:
        """Whether some gate holds "non-bearing" back that no question left could lift."""
        return any(not self._lifters[gate] & left for gate in gates)

    def _best(self, scored: list[tuple[float, AskedQuestion]], here: str) -> AskedQuestion:
        """The best question; in a far place, the best one there as long as there is any."""
        if here in FAR:
            scored = [(score, q) for score, q in scored if q.place == here] or scored
        return min(scored, key=lambda item: (-item[0], self._order[item[1].id]))[1]

    def _router(
        self, best: AskedQuestion, open_questions: list[AskedQuestion], places: list[str]
    ) -> AskedQuestion:
        """What should be asked before ``best`` because it tells whether that applies at all.

        Only what costs no more than the question itself: nobody climbs to learn whether to
        look out of the window.
        """
        here = places[-1]
        left = {
            q.id: q
            for q in open_questions
            if q is best or here not in FAR or q.place in (here, "desk")
        }
        while True:
            del left[best.id]
            first = [
                left[name]
                for name in self._routers[best.id]
                if name in left and self._cost(left[name], places) <= self._cost(best, places)
            ]
            if not first:
                return best
            best = min(first, key=lambda q: (self._cost(q, places), self._order[q.id]))

    def _cost(self, question: AskedQuestion, places: list[str]) -> float:
        """Effort from the last of ``places``: there, a second look is cheap; going back to a
        place one has come down from is dear."""
        if question.place == places[-1]:
            return EFFORT_COST[min(question.entry.effort, self.policy.near_effort)]
        cost = EFFORT_COST[question.entry.effort] + self.policy.move_cost.get(question.place, 0.0)
        again = question.place in FAR.intersection(places)
        return cost * self.policy.going_back if again else cost

    def _needed_lifters(self, evaluation: Evaluation) -> set[str]:
        """Questions that could lift a gate when nothing but gates is left in the way."""
        if evaluation.measures["upper"] > self._mark:
            return set()
        return {name for gate in evaluation.fired("gate") for name in self._lifters[gate.rule]}

    def _places(self, case: Case, wall_id: str) -> list[str]:
        """The places gone to for this wall or the house, in order; people start at a desk."""
        steps = [step for step in case.asked if step.subject in (HOUSE, wall_id)]
        return ["desk", *(self.base.questions[step.question].place for step in steps)]

    def blocked_places(self, case: Case, wall_id: str) -> set[str]:
        """Far places in which "can't get there" was said twice and nothing was ever seen."""
        answers = case.answers_for(wall_id)
        by_place: dict[str, list[Answer]] = {}
        for question in self.base.questions.values():
            if question.place in FAR and question.id in answers:
                by_place.setdefault(question.place, []).append(answers[question.id])
        return {
            place
            for place, given in by_place.items()
            if sum(a.value == OUT_OF_REACH for a in given) >= self.policy.blocked_after
            and not any(a.is_real for a in given)
        }
