"""Which question comes next, and when to stop asking.

The order: what the house must tell first, then what shuts a building out or holds a
verdict back, then what must be known of the wall, then whatever is worth most for its
effort.  Somebody who has climbed to the attic is asked everything worth asking up there
before coming down.  Nothing is remembered: the same case always gets the same question.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from walltriage.case.model import HOUSE, OUT_OF_REACH, Answer, Case, Step
from walltriage.inference.evaluate import Evaluation
from walltriage.inference.triage import Triager
from walltriage.inference.worth import EFFORT_COST
from walltriage.knowledge.base import AskedQuestion
from walltriage.knowledge.schema import Gate
from walltriage.knowledge.terms import Leaf, branches

MOST_WALL_QUESTIONS = 25  # attention falls off after a quarter of an hour
# Least worth per effort, in wasted "cannot tell"s, for which anybody is bothered.  Low on
# purpose: single answers hardly move a wall on which six load paths are open, though
# three of them together do.
FLOOR = 0.0005
GATE_WORTH = 0.5  # lifting the last thing in the way of a verdict saves half a "cannot tell"
SCOPE_WORTH = 0.1  # a building out of scope ends the interview early; few are
# Extra effort of walking somewhere, in the units of EFFORT_COST.
MOVE_COST = {"desk": 0.0, "rooms": 1.0, "upstairs": 2.0, "below": 3.0, "attic": 3.0, "opened": 3.0}
FAR = frozenset({"upstairs", "below", "attic", "opened"})  # nobody is sent there twice
NEAR_EFFORT = 1  # up to here an observation is made from where people stand anyway
BLOCKED_AFTER = 2  # "can't get there"s after which a place is left alone

Stop = Literal["verdict", "scope", "length", "futile", "exhausted"]


@dataclass(frozen=True, slots=True)
class Plan:
    """The next step, or why there is none; ``more_here`` more are likely at this place."""

    step: Step | None
    stop: Stop | None = None
    more_here: int = 0


class Planner:
    """Plans interviews with one knowledge base."""

    def __init__(self, triager: Triager) -> None:
        self.triager = triager
        self.base = triager.base
        self.worth = triager.worth
        self._order = {name: index for index, name in enumerate(self.base.questions)}
        self._lifters = {gate.id: self._lifting(gate) for gate in self.base.guards.gates}
        gates = frozenset(self._lifters)
        self._guarding = frozenset(
            name for name, uses in self.worth.uses.items() if uses.scope or uses.other & gates
        )

    def plan(self, case: Case, wall_id: str, evaluation: Evaluation) -> Plan:
        """The next question about one wall, or about its house; ``evaluation`` is the wall's."""
        open_questions = self._open(case, wall_id, evaluation)
        house = [q for q in open_questions if q.scope == HOUSE]
        must = [q for q in house if q.entry.first] or self._near_guards(house)
        if not must and evaluation.fired("scope"):
            return Plan(None, "scope")
        must = must or [q for q in open_questions if q.entry.first]
        if not must:
            stop = self._stop(case, wall_id, evaluation, open_questions)
            if stop is not None:
                return Plan(None, stop)
        here = self._here(case, wall_id)
        scored = self._worthwhile(open_questions, here, evaluation)
        if must:
            best = must[0]
        elif scored:
            best = self._best(scored, here)
        else:
            return Plan(None, "futile")
        alike = {q.id for q in (*must, *(q for _, q in scored))} - {best.id}
        more = sum(
            q.id in alike and q.place == best.place and q.scope == best.scope
            for q in open_questions
        )
        return Plan(Step(HOUSE if best.scope == HOUSE else wall_id, best.id), None, more)

    def _stop(
        self, case: Case, wall_id: str, evaluation: Evaluation, left: list[AskedQuestion]
    ) -> Stop | None:
        if evaluation.verdict != "cannot_tell":
            return "verdict"
        if sum(step.subject == wall_id for step in case.asked) >= MOST_WALL_QUESTIONS:
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
        self, questions: list[AskedQuestion], here: str, evaluation: Evaluation
    ) -> list[tuple[float, AskedQuestion]]:
        """The questions worth anybody's while, with their worth per effort from ``here``."""
        lifters = self._needed_lifters(evaluation)
        values = {q.id: self._value(q, evaluation, lifters) for q in questions}
        return [
            (values[q.id] / self._cost(q, here), q)
            for q in questions
            if q.id in lifters or values[q.id] / EFFORT_COST[q.entry.effort] >= FLOOR
        ]

    def _best(self, scored: list[tuple[float, AskedQuestion]], here: str) -> AskedQuestion:
        """The best question; in a far place, the best one there as long as there is any."""
        if here in FAR:
            scored = [(score, q) for score, q in scored if q.place == here] or scored
        return min(scored, key=lambda item: (-item[0], self._order[item[1].id]))[1]

    def _value(self, question: AskedQuestion, evaluation: Evaluation, lifters: set[str]) -> float:
        value = self.worth.value(question.id, evaluation)
        if question.id in lifters:
            value += GATE_WORTH
        if self.worth.uses[question.id].scope:
            value += SCOPE_WORTH
        return value

    def _cost(self, question: AskedQuestion, here: str) -> float:
        """Effort from where the person stands: once there, a second look is cheap."""
        if question.place == here:
            return EFFORT_COST[min(question.entry.effort, NEAR_EFFORT)]
        return EFFORT_COST[question.entry.effort] + MOVE_COST.get(question.place, 0.0)

    def _needed_lifters(self, evaluation: Evaluation) -> set[str]:
        """Questions that could lift a gate when nothing but gates is left in the way."""
        mark = self.base.guards.thresholds.get("non_bearing_at_most", 0.0)
        if evaluation.measures["upper"] > mark:
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

    def _here(self, case: Case, wall_id: str) -> str:
        """The place of the last question asked about this wall or the house."""
        for step in reversed(case.asked):
            if step.subject in (HOUSE, wall_id):
                return self.base.questions[step.question].place
        return "desk"


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
