"""Which question comes next, or why there is none: the one place that decides it.

The order: what the house must tell first, then what shuts a building out, then what must be
known of the wall, then whatever is worth most for its effort from where the person stands.
Somebody who has climbed to the attic is asked everything worth asking up there before coming
down.  A list answered "one or more" is followed up at once.  No interview ends before it was
asked whether the house is in trouble.  For one interview and for many alike: one is a row.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from walltriage.case.model import HOUSE, ROLES
from walltriage.inference.belief.step import Beliefs
from walltriage.inference.columns.codes import Bools, Coder, Floats
from walltriage.inference.looks.gate_worth import GateWorth, columns_of
from walltriage.inference.looks.glance import Glances
from walltriage.inference.looks.policy import EFFORT_COST, FAR, InterviewPolicy
from walltriage.inference.looks.progress import PLACES, REASONS, STOPS, Chosen, Progress, Standing
from walltriage.inference.looks.trouble import danger
from walltriage.inference.looks.worth import Worth

ALIKE = 1e-12  # relative difference of scores that is rounding, not preference


class LookChoice:
    """Chooses questions with one knowledge base; ``rules`` are the ids of all its rules."""

    def __init__(
        self, worth: Worth, rules: Sequence[str], policy: InterviewPolicy | None = None
    ) -> None:
        self.worth, self.base = worth, worth.base
        self.policy = policy or InterviewPolicy()
        base, order = self.base, {name: index for index, name in enumerate(rules)}
        questions = list(base.questions.values())
        self.asked = np.array([q.entry.kind != "computed" for q in questions])
        self.effort = np.array([q.entry.effort for q in questions])
        self.place = np.array([PLACES.index(q.place) for q in questions])
        self.who = np.array([[role in q.entry.who for q in questions] for role in ROLES])
        self.house = np.array([q.scope == HOUSE for q in questions])
        self._first = np.array([q.entry.first for q in questions])
        self._always = np.array([[role in q.entry.always for q in questions] for role in ROLES])
        uses = worth.uses
        self.coder = Coder(base)
        self.glances = Glances(base, self.coder)
        self._scope = np.array([bool(uses[q.id].scope) for q in questions])
        self._near_guard = self._scope & self.house & (self.effort <= self.policy.near_effort)
        self._guard_order = np.lexsort((np.arange(len(questions)), self.effort))
        self._gates = GateWorth(worth, rules, self.policy, self.coder)
        self._scope_rules = [order[r.id] for r in base.scope if r.id in order]
        self._verdicts = [(order[r.id], r.concludes) for r in base.guards.verdicts if r.id in order]
        columns = {question.id: column for column, question in enumerate(questions)}
        self._routers = np.zeros((len(questions), len(questions)), bool)
        for name, use in uses.items():
            for other in use.other & columns.keys():
                self._routers[columns[other], columns[name]] = True
        self._numbers = columns_of(base, base.measures.asked_for_numbers)
        self._lists = [
            (column, np.flatnonzero(columns_of(base, set().union(*question.entry.opens.values()))))
            for column, question in enumerate(questions)
            if question.entry.opens
        ]
        lists, dangerous = danger(worth)
        self._danger_lists, self._danger = columns_of(base, lists), columns_of(base, dangerous)
        self._danger_opened = self._danger & ~self._danger_lists
        self._sought = columns_of(base, base.guards.sought_before_non_bearing)
        self._tape = columns_of(base, base.measures.asked_with_a_tape)
        self._floor = np.where(self._tape, 0.0, self.policy.floor)
        self.far = np.isin(np.arange(len(PLACES)), [PLACES.index(place) for place in FAR])
        efforts, near = np.array(EFFORT_COST), self.policy.near_effort
        self._cost_here = efforts[np.minimum(self.effort, near)]
        moves = np.array([self.policy.move_cost.get(q.place, 0.0) for q in questions])
        self._cost_there = efforts[self.effort] + moves
        self._mark = base.guards.thresholds["non_bearing_at_most"]

    def choose(self, at: Standing) -> Chosen:
        """The next question of each interview."""
        left, progress = at.left, at.progress
        bearing, decided = self._decided(at.fired)
        best, must = self._must(at, decided)
        outside: Bools = np.any(at.fired[:, self._scope_rules], axis=1)
        # out of scope no look clears a wall: what is told without a walk may still show weight, and
        # so may a span
        near = self.effort <= self.policy.near_effort
        left = left & (~outside[:, None] | near | self._tape)
        stop, rest = np.zeros(len(left), np.int64), best < 0
        close, policy = self._close(at.beliefs), self.policy
        most = np.where(close, policy.most_when_nearly_there, policy.most_wall_questions)
        for reason, met in (
            ("verdict", decided),
            ("scope", outside & (progress.asked >= self.policy.most_out_of_scope)),
            ("length", progress.asked >= most),
            ("exhausted", ~left.any(axis=1)),
        ):
            stop[rest & met] = STOPS.index(reason)
            rest &= ~met
        cost = self._costs(progress)
        scores = self._scores(at, left & rest[:, None], cost)
        picked = self._best(scores, progress)
        stop[rest & (picked < 0)] = STOPS.index("futile")
        stop[rest & (picked < 0) & outside] = STOPS.index("scope")
        because = np.where(best >= 0, REASONS.index("must"), REASONS.index("worth"))
        opened = (best >= 0) & at.opened[np.arange(len(best)), best]
        because[opened] = REASONS.index("named")
        rows = np.flatnonzero(rest & (picked >= 0))
        best[rows] = self._router(picked[rows], left[rows], cost[rows], progress.rows(rows))
        wanted = first_of(left & self._numbers)
        for_numbers = (stop == STOPS.index("verdict")) & bearing & (wanted >= 0)
        # nothing is called non-bearing before what is rare and deadly was looked for, and nobody
        # leaves before having been asked whether the house is in trouble
        free = (stop == STOPS.index("verdict")) & ~bearing
        handy = 1.0 / (1.0 + cost)
        to_seek = left & self._sought_of(at) & free[:, None]
        # what one page answers may make the rest needless; but nobody goes far for it first
        many = np.where(self.far[self.place], 1, self.glances.together(to_seek))
        sought = self._best(np.where(to_seek, handy * many, -1.0), progress)
        rows = np.flatnonzero(sought >= 0)
        sought[rows] = self._router(sought[rows], left[rows], cost[rows], progress.rows(rows))
        danger = first_of(left & self._danger & (self._at_hand(progress) | at.opened))
        # a measured span may decide what nothing else did: who has a tape is asked for it
        tape = self._best(np.where(left & self._tape & ~decided[:, None], handy, -1.0), progress)
        for there, more, why in (
            (for_numbers, wanted, "numbers"), (free & (sought >= 0), sought, "sought"),
            (tape >= 0, tape, "tape"), (danger >= 0, danger, "trouble"),
        ):  # fmt: skip
            there = there & (stop > 0)
            best, stop = np.where(there, more, best), np.where(there, 0, stop)
            because[there] = REASONS.index(why)
        glance = self.glances.holding(best, at.left & ~progress.to_name)
        return Chosen(best, glance, because, stop, for_numbers, must, (scores >= 0) | to_seek)

    def _sought_of(self, at: Standing) -> Bools:
        """What is looked for before "non-bearing" is said (n, q); what a list names that was not
        asked yet is looked for by the list."""
        found = self._sought | at.unsettling
        for of, named in self._lists:
            first = at.left[:, of]
            found[:, of] |= first & found[:, named].any(axis=1)
            found[np.ix_(first, named)] = False
        return found

    def _at_hand(self, progress: Progress) -> Bools:
        """Questions (n, q) for which nobody has to go anywhere, or where somebody has been."""
        found: Bools = progress.been[:, self.place] | ~self.far[self.place]
        return found

    def _must(self, at: Standing, decided: Bools) -> tuple[np.ndarray, Bools]:
        """The question that comes first whatever it is worth (n,), -1 where there is none; and all
        such questions (n, q).

        What shuts a building out is not asked where a verdict stands already.
        """
        left, undecided = at.left, ~decided[:, None]
        first = left & self.house & self._first
        guards = left & self._near_guard & undecided & ~at.passed
        opened = left & at.opened & (undecided | self._danger_opened) & self._at_hand(at.progress)
        always = left & self._always[at.progress.role]
        sooner = (first, always, left & self._danger_lists, left & self._first)
        best = first_of(opened)
        for rest in sooner:
            best = np.where(best >= 0, best, first_of(rest))
        near = first_of(guards[:, self._guard_order])
        best = np.where(best >= 0, best, np.where(near >= 0, self._guard_order[near], -1))
        return best, np.logical_or.reduce((opened, guards, *sooner))

    def _decided(self, fired: Bools) -> tuple[Bools, Bools]:
        """Where the verdict is "likely bearing", and where there is any (n, each)."""
        bearing, decided = (np.zeros(len(fired), bool) for _ in range(2))
        for rule, concludes in self._verdicts:
            met = fired[:, rule] & ~decided
            decided |= met
            if concludes == "likely_bearing":
                bearing |= met
        return bearing, decided

    def to_try(self, fired: Bools, beliefs: Beliefs, left: Bools, progress: Progress) -> Bools:
        """Of the questions ``left`` (n, q), those of which it has to be known whether they could
        take "non-bearing" back: all where it is the verdict, and where it is near those of the far
        place where somebody is."""
        bearing, decided = self._decided(fired)
        here = self.far[progress.here][:, None] & (self.place == progress.here[:, None])
        near = (self._close(beliefs) & ~decided)[:, None] & here
        found: Bools = left & ((decided & ~bearing)[:, None] | near)
        return found

    def _close(self, beliefs: Beliefs) -> Bools:
        """Where the chance that the wall bears has come near the mark of "non-bearing" (n,)."""
        close: Bools = beliefs.measures["upper"] <= self.policy.nearly * self._mark
        return close

    def _costs(self, progress: Progress) -> Floats:
        """Effort (n, q) from where people stand: there a second look is cheap, and going
        back to a place one has come down from is dear."""
        again = (progress.been & self.far)[:, self.place]
        cost = np.where(again, self._cost_there * self.policy.going_back, self._cost_there)
        return np.where(self.place == progress.here[:, None], self._cost_here, cost)

    def _scores(self, at: Standing, wanted: Bools, cost: Floats) -> Floats:
        """Worth per effort (n, q) of the questions worth anybody's while; -1 for others."""
        if not wanted.any():  # what comes first whatever it is worth needs no price
            return np.full(wanted.shape, -1.0)
        policy, shut = self.policy, self._gates.shut(at)
        values = self.worth.values(at.beliefs, wanted, shut)
        lifts = self._gates.lifts(at)
        values += lifts * self._gates.near(at.beliefs, shut)[:, None] * policy.gate_worth
        # what is sought before "non-bearing" is asked while one is there, once that is near
        early = (lifts > 0) | ((self._sought | at.unsettling) & self._close(at.beliefs)[:, None])
        values += early * ~shut[:, None] * (policy.early_gate_worth * self.far[self.place])
        values += (self._scope & ~at.passed) * policy.scope_worth
        scores = values / cost
        return np.where(wanted & (scores >= self._floor), scores, -1.0)

    def _best(self, scores: Floats, progress: Progress) -> np.ndarray:
        """The best question (n,); in a far place the best one there, as long as there is any."""
        there = (scores >= 0) & (self.place == progress.here[:, None])
        stay = self.far[progress.here] & there.any(axis=1)
        scores = np.where(stay[:, None] & ~there, -1.0, scores)
        top = scores.max(axis=1)
        # questions alike in worth come in their own order
        best = (scores >= (top * (1 - ALIKE))[:, None]).argmax(axis=1)
        return np.where(top >= 0, best, -1)

    def _router(
        self, best: np.ndarray, left: Bools, cost: Floats, progress: Progress
    ) -> np.ndarray:
        """What comes before ``best`` (k,) because it tells whether that applies at all.

        Only what costs no more than the question itself, and for as long as somebody stays in a
        far place only what is asked there or at a desk.
        """
        best, rows = best.copy(), np.arange(len(best))
        near = (self.place == progress.here[:, None]) | (self.place == PLACES.index("desk"))
        leaves = self.place[best] != progress.here
        left = left & (near | (leaves | ~self.far[progress.here])[:, None])
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


def first_of(met: Bools) -> np.ndarray:
    """Column of the first true value of each row (n,), -1 where there is none."""
    return np.where(met.any(axis=1), met.argmax(axis=1), -1)
