"""Which question comes next, and when to stop asking.

The order: what the house must tell first, then what shuts a building out or holds a
verdict back, then what must be known of the wall, then whatever is worth most for its
effort.  Somebody who has climbed to the attic is asked everything worth asking up there
before coming down.  Nothing is remembered: the same case always gets the same question.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

from walltriage.case.model import HOUSE, OUT_OF_REACH, Answer, Case, Step
from walltriage.inference.evaluate import Evaluation
from walltriage.inference.triage import Triager
from walltriage.inference.worth import EFFORT_COST
from walltriage.knowledge.base import AskedQuestion
from walltriage.knowledge.schema import Gate
from walltriage.knowledge.terms import Leaf, branches

MOST_WALL_QUESTIONS = 25  # attention falls off after a quarter of an hour
# Whoever has come this close to "non-bearing" (times its mark) is not sent home a few
# answers short of it.
NEARLY, MOST_WHEN_NEARLY_THERE = 4.0, 35
# Least worth per effort, in wasted "cannot tell"s, for which anybody is bothered.  Somebody
# who stays in the rooms is then let off after about ten questions about the wall, and
# somebody in the attic is asked all that helps to close a load path.
FLOOR = 0.002
GATE_WORTH = 0.5  # lifting the last thing in the way of a verdict saves half a "cannot tell"
EARLY_GATE_WORTH = 0.02  # what a gate asks for by name is best seen while one is there anyway
SCOPE_WORTH = 0.1  # a building out of scope ends the interview early; few are
# Extra effort of walking somewhere, in the units of EFFORT_COST.
MOVE_COST = {"desk": 0.0, "rooms": 1.0, "upstairs": 2.0, "below": 3.0, "attic": 3.0, "opened": 3.0}
FAR = frozenset({"upstairs", "below", "attic", "opened"})  # nobody is sent there twice
RETURN = 2.0  # times the effort, to be sent back where one has been
NEAR_EFFORT = 1  # up to here an observation is made from where people stand anyway
BLOCKED_AFTER = 2  # "can't get there"s after which a place is left alone

Stop = Literal["verdict", "scope", "length", "futile", "exhausted"]


@dataclass(frozen=True, slots=True)
class Plan:
    """The next step, or why there is none; ``more_here`` more are likely at this place.

    ``for_numbers`` marks a measurement asked after the verdict, for the preliminary numbers.
    """

    step: Step | None
    stop: Stop | None = None
    more_here: int = 0
    for_numbers: bool = False


class Planner:
    """Plans interviews with one knowledge base."""

    def __init__(self, triager: Triager) -> None:
        self.triager = triager
        self.base = triager.base
        self.worth = triager.worth
        self._mark = self.base.guards.thresholds["non_bearing_at_most"]
        self._order = {name: index for index, name in enumerate(self.base.questions)}
        self._lifters = {gate.id: self._lifting(gate) for gate in self.base.guards.gates}
        gates = frozenset(self._lifters)
        self._guarding = frozenset(
            name for name, uses in self.worth.uses.items() if uses.scope or uses.other & gates
        )
        self._routers = {
            name: [other for other, uses in self.worth.uses.items() if name in uses.other]
            for name in self.base.questions
        }

    def plan(self, case: Case, wall_id: str, evaluation: Evaluation) -> Plan:
        """The next question about one wall, or about its house; ``evaluation`` is the wall's."""
        open_questions = self._open(case, wall_id, evaluation)
        house = [q for q in open_questions if q.scope == HOUSE]
        must = [q for q in house if q.entry.first]
        must += [q for q in self._near_guards(house) if q not in must]
        if not must and evaluation.fired("scope"):
            return Plan(None, "scope")
        must = must or [q for q in open_questions if q.entry.first]
        if not must:
            stop = self._stop(case, wall_id, evaluation, open_questions)
            wanted = self._for_numbers(stop, evaluation, open_questions)
            if wanted:
                return replace(self._chosen(wanted[0], wanted, wall_id), for_numbers=True)
            if stop is not None:
                return Plan(None, stop)
        if must:
            return self._chosen(must[0], must, wall_id)
        scored = self._worthwhile(open_questions, case, wall_id, evaluation)
        if not scored:
            return Plan(None, "futile")
        places = self._places(case, wall_id)
        best = self._router(self._best(scored, places[-1]), open_questions, places)
        alike = [q for _, q in scored] if best.place in FAR else []
        return self._chosen(best, alike, wall_id)

    def _for_numbers(
        self, stop: Stop | None, evaluation: Evaluation, open_questions: list[AskedQuestion]
    ) -> list[AskedQuestion]:
        """The few measurements that size what a likely bearing wall carries."""
        if stop != "verdict" or evaluation.verdict != "likely_bearing":
            return []
        wanted = self.base.measures.asked_for_numbers
        return [q for q in open_questions if q.id in wanted]

    def _chosen(self, best: AskedQuestion, alike: list[AskedQuestion], wall_id: str) -> Plan:
        """The plan to ask ``best``, with how many of ``alike`` follow at the same place."""
        more = sum(q.place == best.place and q.scope == best.scope and q != best for q in alike)
        return Plan(Step(HOUSE if best.scope == HOUSE else wall_id, best.id), None, more)

    def _stop(
        self, case: Case, wall_id: str, evaluation: Evaluation, left: list[AskedQuestion]
    ) -> Stop | None:
        if evaluation.verdict != "cannot_tell":
            return "verdict"
        nearly = evaluation.measures["upper"] <= NEARLY * self._mark
        most = MOST_WHEN_NEARLY_THERE if nearly else MOST_WALL_QUESTIONS
        if sum(step.subject == wall_id for step in case.asked) >= most:
            return "length"
        return None if left else "exhausted"

    def _open(self, case: Case, wall_id: str, evaluation: Evaluation) -> list[AskedQuestion]:
        """Questions that apply, that this person can answer today, and has not."""
        answered = case.answers_for(wall_id)
        applicable = self.triager.evaluator.applicable(evaluation)
        blocked = blocked_places(case, wall_id, self.base.questions.values())
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
        """Scope and gate questions that need no walk, least effort first."""
        near = [q for q in questions if q.id in self._guarding and q.entry.effort <= NEAR_EFFORT]
        return sorted(near, key=lambda q: (q.entry.effort, self._order[q.id]))

    def _worthwhile(
        self, questions: list[AskedQuestion], case: Case, wall_id: str, evaluation: Evaluation
    ) -> list[tuple[float, AskedQuestion]]:
        """The questions worth anybody's while, with their worth per effort from here."""
        last = self._needed_lifters(evaluation)
        named = {gate.rule for gate in evaluation.fired("gate")}
        places = self._places(case, wall_id)
        scored = []
        for question in questions:
            uses = self.worth.uses[question.id]
            value = self.worth.value(question.id, evaluation)
            value += GATE_WORTH if question.id in last else 0.0
            value += EARLY_GATE_WORTH if uses.other & named else 0.0
            value += SCOPE_WORTH if uses.scope else 0.0
            score = value / self._cost(question, places)
            if score >= FLOOR:
                scored.append((score, question))
        return scored

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
            return EFFORT_COST[min(question.entry.effort, NEAR_EFFORT)]
        cost = EFFORT_COST[question.entry.effort] + MOVE_COST.get(question.place, 0.0)
        return cost * RETURN if question.place in FAR.intersection(places) else cost

    def _needed_lifters(self, evaluation: Evaluation) -> set[str]:
        """Questions that could lift a gate when nothing but gates is left in the way."""
        if evaluation.measures["upper"] > self._mark:
            return set()
        return {name for gate in evaluation.fired("gate") for name in self._lifters[gate.rule]}

    def _lifting(self, gate: Gate) -> frozenset[str]:
        """The questions an answer to which could make the gate let go."""
        uses = self.worth.uses
        direct = {name for name, use in uses.items() if gate.id in use.other}
        leaves = [leaf for branch in branches(gate.when) for leaf in branch]
        return frozenset(direct.union(*(self._moving(leaf) for leaf in leaves)))

    def _moving(self, leaf: Leaf) -> set[str]:
        """The questions that move what this test reads of the belief."""
        uses = self.worth.uses.items()
        if leaf.family == "path":
            return {name for name, use in uses if leaf.name in use.paths}
        if leaf.family == "measure":
            return {name for name, use in uses if use.clue_paths}
        if leaf.family == "seen_against":
            seen = self.base.guards.seen_kinds
            return {
                name
                for name, use in uses
                if leaf.name in use.clue_paths and self.base.questions[name].entry.kind in seen
            }
        return set()

    def _places(self, case: Case, wall_id: str) -> list[str]:
        """The places gone to for this wall or the house, in order; people start at a desk."""
        steps = [step for step in case.asked if step.subject in (HOUSE, wall_id)]
        return ["desk", *(self.base.questions[step.question].place for step in steps)]


def blocked_places(case: Case, wall_id: str, questions: Iterable[AskedQuestion]) -> set[str]:
    """Far places in which "can't get there" was said twice and nothing was ever seen."""
    answers = case.answers_for(wall_id)
    by_place: dict[str, list[Answer]] = {}
    for question in questions:
        if question.place in FAR and question.id in answers:
            by_place.setdefault(question.place, []).append(answers[question.id])
    return {
        place
        for place, given in by_place.items()
        if sum(a.value == OUT_OF_REACH for a in given) >= BLOCKED_AFTER
        and not any(a.is_real for a in given)
    }
