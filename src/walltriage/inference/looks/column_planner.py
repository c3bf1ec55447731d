"""Which question comes next, for many interviews at once.

The order the interview keeps: what the house must tell first, then what shuts a building
out, then what must be known of the wall, then whatever is worth most for its effort from
where the person stands.  Every wall is a house of its own here.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

import numpy as np

from walltriage.case.model import HOUSE, ROLES
from walltriage.inference.belief.step import Beliefs
from walltriage.inference.columns.codes import (
    FIRST_VALUE,
    NOT_ASKED,
    OUT_OF_REACH,
    Batch,
    Bools,
    Floats,
)
from walltriage.inference.columns.evaluator import VERDICTS, ColumnEvaluator
from walltriage.inference.columns.rules import Chunk
from walltriage.inference.engine.uses import lifting
from walltriage.inference.looks.policy import EFFORT_COST, FAR, InterviewPolicy
from walltriage.inference.looks.worth import Worth

STOPS = ("", "verdict", "scope", "length", "futile", "exhausted")
PLACES = ("desk", "rooms", "upstairs", "attic", "below", "opened", "none")
ALIKE = 1e-12  # relative difference of scores that is rounding, not preference


@dataclass(frozen=True, slots=True)
class Progress:
    """How far ``n`` interviews have come.

    ``here`` (n,): index into ``PLACES`` of the last question asked, 0 before any; ``been``
    (n, places): where any question was asked.  ``asked`` (n,): questions asked about the
    wall itself.  ``reach`` (n,): highest effort the person can make.  ``role`` (n,):
    index into ``ROLES``.
    """

    here: np.ndarray
    been: Bools
    asked: np.ndarray
    reach: np.ndarray
    role: np.ndarray

    @classmethod
    def start(cls, walls: int, reach: int = 4, role: str = "buyer") -> Progress:
        """Interviews in which nothing has been asked, all by the same kind of person."""
        return cls(
            np.zeros(walls, np.int8),
            np.zeros((walls, len(PLACES)), bool),
            np.zeros(walls, np.int16),
            np.full(walls, reach, np.int8),
            np.full(walls, ROLES.index(role), np.int8),
        )

    def rows(self, which: slice | np.ndarray) -> Progress:
        """Some of the interviews."""
        parts = (self.here, self.been, self.asked, self.reach, self.role)
        return Progress(*(part[which] for part in parts))

    def put(self, which: np.ndarray, moved: Progress) -> None:
        """Set how far some of the interviews have come in place, the inverse of :meth:`rows`."""
        self.here[which], self.been[which], self.asked[which] = moved.here, moved.been, moved.asked


@dataclass(frozen=True, slots=True)
class NextQuestions:
    """The next question of ``n`` interviews, or why there is none.

    ``question`` (n,): column of the question, -1 when the interview stops.  ``stop``
    (n,): index into ``STOPS``, 0 when it goes on.  ``for_numbers`` (n,): where the verdict
    stands and the question only sizes what the wall carries.
    """

    question: np.ndarray
    stop: np.ndarray
    for_numbers: Bools


class ColumnPlanner:
    """Plans many interviews with one knowledge base."""

    def __init__(self, evaluator: ColumnEvaluator, policy: InterviewPolicy | None = None) -> None:
        self.evaluator = evaluator
        self.policy = policy or InterviewPolicy()
        self.worth = Worth(evaluator.base, evaluator.belief.step_of)
        base = evaluator.base
        questions = list(base.questions.values())
        self._house = np.array([q.scope == HOUSE for q in questions])
        self._first = np.array([q.entry.first for q in questions])
        self._asked = np.array([q.entry.kind != "computed" for q in questions])
        self._effort = np.array([q.entry.effort for q in questions])
        self._place = np.array([PLACES.index(q.place) for q in questions])
        self._who = np.array([[role in q.entry.who for q in questions] for role in ROLES])
        self._applies = [
            (column, evaluator.rule_ids.index(q.id))
            for column, q in enumerate(questions)
            if q.entry.applies is not None
        ]
        uses = self.worth.uses
        gates = {gate.id: gate for gate in base.guards.gates if gate.status != "retired"}
        self._scope = np.array([bool(uses[q.id].scope) for q in questions])
        self._near_guard = self._scope & self._house & (self._effort <= self.policy.near_effort)
        self._guard_order = np.lexsort((np.arange(len(questions)), self._effort))
        self._lifters = [
            (evaluator.rule_ids.index(name), self._columns(lifting(base, uses, gate)))
            for name, gate in gates.items()
        ]
        self._scope_rules = [
            evaluator.rule_ids.index(rule.id) for rule in base.scope if rule.status != "retired"
        ]
        self._gate_names = np.array([[g in uses[q.id].other for q in questions] for g in gates])
        self._gate_names = self._gate_names.reshape(len(gates), len(questions))
        self._routers = np.array([[q.id in uses[r.id].other for r in questions] for q in questions])
        self._numbers = self._columns(base.measures.asked_for_numbers)
        tape = self._columns(base.measures.asked_with_a_tape)
        self._floor = np.where(tape, self.policy.tape_floor, self.policy.floor)
        far = [PLACES.index(place) for place in FAR]
        self._is_far = np.isin(np.arange(len(PLACES)), far)
        efforts, near = np.array(EFFORT_COST), self.policy.near_effort
        self._cost_here = efforts[np.minimum(self._effort, near)]
        moves = np.array([self.policy.move_cost.get(q.place, 0.0) for q in questions])
        self._cost_there = efforts[self._effort] + moves
        self._mark = base.guards.thresholds["non_bearing_at_most"]

    def _columns(self, names: Collection[str]) -> Bools:
        """Where these questions are among all (q,)."""
        return np.array([name in names for name in self.evaluator.coder.questions])

    def next_questions(self, batch: Batch, progress: Progress) -> NextQuestions:
        """The next question of each interview."""
        walls = len(batch)
        plan = NextQuestions(
            np.full(walls, -1, np.int16), np.zeros(walls, np.int8), np.zeros(walls, bool)
        )
        for rows, chunk, beliefs in self.evaluator.steps(batch):
            question, stop, numbers = self._plan_chunk(chunk, beliefs, progress.rows(rows))
            plan.question[rows], plan.stop[rows], plan.for_numbers[rows] = question, stop, numbers
        return plan

    def applicable(self, fired: Bools) -> Bools:
        """Where each question applies (n, q), asked or not, from the rules that fired."""
        applies = np.ones((len(fired), len(self._effort)), bool, order="F")
        for column, rule in self._applies:
            applies[:, column] = fired[:, rule]
        return applies

    def open_questions(self, batch: Batch, fired: Bools, progress: Progress) -> Bools:
        """Questions (n, q) that apply, that the person can answer today, and has not."""
        found = self.applicable(fired) & (batch.codes == NOT_ASKED) & self._asked
        found &= self._effort <= progress.reach[:, None]
        found &= self._who[progress.role]
        for place in FAR:
            there = self._place == PLACES.index(place)
            codes = batch.codes[:, there]
            barred = (codes == OUT_OF_REACH).sum(axis=1) >= self.policy.blocked_after
            barred &= ~(codes >= FIRST_VALUE).any(axis=1)
            found[np.ix_(barred, there)] = False
        return found

    def advance(self, progress: Progress, question: np.ndarray) -> None:
        """Note that these questions (n,) have been asked; -1 leaves an interview as it is."""
        going = question >= 0
        progress.here[going] = self._place[question[going]]
        progress.been[going, self._place[question[going]]] = True
        progress.asked[going] += ~self._house[question[going]]

    def _plan_chunk(
        self, chunk: Chunk, beliefs: Beliefs, progress: Progress
    ) -> tuple[np.ndarray, np.ndarray, Bools]:
        left = self.open_questions(chunk.batch, chunk.fired, progress)
        best, done = self._must(left, chunk)
        stop = np.where(done, STOPS.index("scope"), 0)
        rest = (best < 0) & ~done
        bearing, decided = self._verdicts(chunk)
        wanted = _first_of(left & self._numbers)
        for_numbers = rest & bearing & (wanted >= 0)
        best, rest = np.where(for_numbers, wanted, best), rest & ~for_numbers
        nearly = beliefs.measures["upper"] <= self.policy.nearly * self._mark
        most = np.where(nearly, self.policy.most_when_nearly_there, self.policy.most_wall_questions)
        for reason, met in (
            ("verdict", decided),
            ("length", progress.asked >= most),
            ("exhausted", ~left.any(axis=1)),
        ):
            stop[rest & met] = STOPS.index(reason)
            rest &= ~met
        cost = self._costs(progress)
        scores = self._scores(chunk, beliefs, left, left & rest[:, None], cost)
        picked = self._best(scores, progress)
        stop[rest & (picked < 0)] = STOPS.index("futile")
        rows = np.flatnonzero(rest & (picked >= 0))
        best[rows] = self._router(picked[rows], left[rows], cost[rows], progress.rows(rows))
        best[rest & (picked < 0)] = -1
        return best, stop, for_numbers

    def _must(self, left: Bools, chunk: Chunk) -> tuple[np.ndarray, Bools]:
        """The question that comes first whatever it is worth (-1: none); where scope ends it."""
        best = _first_of(left & self._house & self._first)
        guards = (left & self._near_guard)[:, self._guard_order]
        which = _first_of(guards)
        near = np.where(which >= 0, self._guard_order[which], -1)
        best = np.where(best >= 0, best, near)
        out = np.zeros(len(chunk), bool)
        for rule in self._scope_rules:
            out |= chunk.fired[:, rule]
        out &= best < 0
        wall = _first_of(left & self._first)
        return np.where((best >= 0) | out, best, wall), out

    def _verdicts(self, chunk: Chunk) -> tuple[Bools, Bools]:
        """Where the verdict is "likely bearing", and where there is any (n, each)."""
        bearing, decided = (np.zeros(len(chunk), bool) for _ in range(2))
        for rule, code in self.evaluator.verdict_rules:
            met = chunk.fired[:, rule] & ~decided
            decided |= met
            if VERDICTS[code] == "likely_bearing":
                bearing |= met
        return bearing, decided

    def _costs(self, progress: Progress) -> Floats:
        """Effort (n, q) from where people stand: there a second look is cheap, and going
        back to a place one has come down from is dear."""
        again = (progress.been & self._is_far)[:, self._place]
        cost = np.where(again, self._cost_there * self.policy.going_back, self._cost_there)
        return np.where(self._place == progress.here[:, None], self._cost_here, cost)

    def _scores(
        self, chunk: Chunk, beliefs: Beliefs, left: Bools, wanted: Bools, cost: Floats
    ) -> Floats:
        """Worth per effort (n, q) of the questions worth anybody's while; -1 for others."""
        policy, shut = self.policy, self._shut(chunk, left)
        values = self.worth.values(beliefs, wanted, shut)
        values += self._needed(chunk, beliefs) * ~shut[:, None] * policy.gate_worth
        named = np.zeros(wanted.shape, bool)
        for (rule, _), questions in zip(self._lifters, self._gate_names, strict=True):
            named[np.ix_(chunk.fired[:, rule] & ~shut, questions)] = True
        values += named * (policy.early_gate_worth * self._is_far[self._place])
        values += self._scope * policy.scope_worth
        scores = values / cost
        return np.where(wanted & (scores >= self._floor), scores, -1.0)

    def _shut(self, chunk: Chunk, left: Bools) -> Bools:
        """Where some gate holds "non-bearing" back that no question left could lift (n,)."""
        shut = np.zeros(len(chunk), bool)
        for rule, questions in self._lifters:
            shut |= chunk.fired[:, rule] & ~left[:, questions].any(axis=1)
        return shut

    def _needed(self, chunk: Chunk, beliefs: Beliefs) -> Bools:
        """Questions (n, q) that could lift a gate when nothing but gates is in the way."""
        lifts = np.zeros(chunk.batch.codes.shape, bool)
        for rule, questions in self._lifters:
            lifts[np.ix_(chunk.fired[:, rule], questions)] = True
        return lifts & (beliefs.measures["upper"] <= self._mark)[:, None]

    def _best(self, scores: Floats, progress: Progress) -> np.ndarray:
        """The best question (n,); in a far place the best one there, as long as there is any."""
        there = (scores >= 0) & (self._place == progress.here[:, None])
        stay = self._is_far[progress.here] & there.any(axis=1)
        scores = np.where(stay[:, None] & ~there, -1.0, scores)
        top = scores.max(axis=1)
        # questions alike in worth come in their own order
        best = (scores >= (top * (1 - ALIKE))[:, None]).argmax(axis=1)
        return np.where(top >= 0, best, -1)

    def _router(
        self, best: np.ndarray, left: Bools, cost: Floats, progress: Progress
    ) -> np.ndarray:
        """What comes before ``best`` (k,) because it tells whether that applies at all.

        Only what costs no more than the question itself, and from a far place only what is
        asked there or at a desk.
        """
        best, rows = best.copy(), np.arange(len(best))
        near = (self._place == progress.here[:, None]) | (self._place == PLACES.index("desk"))
        left = left & (near | ~self._is_far[progress.here][:, None])
        while len(rows):
            left[rows, best[rows]] = False
            here = cost[rows]
            first = self._routers[best[rows]] & left[rows]
            first &= here <= here[np.arange(len(rows)), best[rows]][:, None]
            cheapest = np.where(first, here, np.inf).argmin(axis=1)
            met = first.any(axis=1)
            rows = rows[met]
            best[rows] = cheapest[met]
        return best


def _first_of(met: Bools) -> np.ndarray:
    """Column of the first true value of each row (n,), -1 where there is none."""
    return np.where(met.any(axis=1), met.argmax(axis=1), -1)
