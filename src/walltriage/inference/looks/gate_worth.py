"""What a look is worth for the gates in the way of "non-bearing", and whether one can lift them.

A gate is one more thing that has to be seen before a wall is called non-bearing.  It counts for
more the nearer the chance that the wall bears is to the mark of that verdict.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

import numpy as np

from walltriage.inference.belief.speaking import is_direct
from walltriage.inference.belief.step import LEAST_CHANCE, OPEN, Beliefs
from walltriage.inference.columns.codes import Bools, Coder, Floats
from walltriage.inference.engine.uses import lifting
from walltriage.inference.looks.live_ways import LiveWays, facts_to_hold
from walltriage.inference.looks.policy import InterviewPolicy
from walltriage.inference.looks.progress import Standing
from walltriage.inference.looks.reachable import Reachable
from walltriage.inference.looks.worth import Worth
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.reads import questions_behind
from walltriage.knowledge.schema_guards import Gate
from walltriage.knowledge.terms import ASKED_OF, TermError, branches, placed_leaves


def columns_of(base: KnowledgeBase, names: Collection[str]) -> Bools:
    """Where these questions are among all (q,)."""
    return np.array([name in names for name in base.questions])


class GateWorth:
    """Weighs gates with one knowledge base; ``rules`` are the ids of all its rules."""

    def __init__(
        self, worth: Worth, rules: Sequence[str], policy: InterviewPolicy, coder: Coder
    ) -> None:
        self._worth, self._base, self._policy = worth, worth.base, policy
        base, uses = self._base, worth.uses
        order = {name: index for index, name in enumerate(rules)}
        gates = {g.id: g for g in base.guards.gates if g.status != "retired" and g.id in order}
        self._reachable = Reachable(worth.conditions)
        self._lifters = [
            (order[name], columns_of(base, lifting(base, uses, gate)))
            for name, gate in gates.items()
        ]
        self._ways = [self._open_ways(gate) for gate in gates.values()]
        self._live = LiveWays(base, coder)
        self._rates = [
            [
                (order[r.id], r.in_100[1], branches(r.when))
                for r in path.entry.base_rates if r.id in order
            ]
            for path in base.paths.values()
        ]  # fmt: skip
        self._facts = [facts_to_hold(branches(gate.when)) for gate in gates.values()]
        self._rules = np.array([rule for rule, _ in self._lifters], np.intp)
        # the questions that move each gate, one gate after the other, -1 for none that is left
        movers = [np.flatnonzero(moving).tolist() or [-1] for _, moving in self._lifters]
        self._movers = np.array([column for some in movers for column in some], np.intp)
        self._movers_of = np.cumsum([0, *map(len, movers)])[:-1]
        behind = questions_behind(base)
        self._besides = [self._not_by_facts(gate, behind) for gate in gates.values()]
        parts = [parts_in_lifting(gate, behind) for gate in gates.values()]
        self._parts = np.array(
            [[part.get(q, 1.0) if name in uses[q].other else 0.0 for q in base.questions]
             for name, part in zip(gates, parts, strict=True)]
        ).reshape(len(gates), len(base.questions))  # fmt: skip
        partial = base.guards.partial_look
        whole = behind.get(partial.fact, ()) if partial else ()
        asked = np.array([q.entry.kind != "computed" for q in base.questions.values()])
        self._tells_whole = columns_of(base, whole) & asked
        self._mark = base.guards.thresholds["non_bearing_at_most"]

    def _open_ways(self, gate: Gate) -> list[tuple[int, Bools, Bools]]:
        """Of a gate that stands while load paths are open: each path's column, the questions (q,)
        that touch it, and those that can close it: a look at it, and what tells whether there is
        something to look at."""
        paths = {
            leaf.name for _, leaf in placed_leaves(gate.when)
            if leaf.family == "path" and leaf.values in (("open",), ("ruled_out",))
        }  # fmt: skip
        found = []
        for path in sorted(paths):
            touching = {
                name for name, use in self._worth.uses.items()
                if path in use.clue_paths | use.sign_paths
            }  # fmt: skip
            looks = {
                clue.question
                for clues in self._base.paths[path].clues.values()
                for clue in clues
                if is_direct(self._base, clue)
            }
            before = {
                other for name in looks for other, use in self._worth.uses.items()
                if name in use.other
            }  # fmt: skip
            column = list(self._base.paths).index(path)
            either = columns_of(self._base, touching), columns_of(self._base, looks | before)
            found.append((column, *either))
        return found

    def _not_by_facts(self, gate: Gate, behind: Mapping[str, set[str]]) -> Bools:
        """The questions (q,) that a gate reads otherwise than by a fact that has to come to
        hold."""
        leaves = [leaf for branch in branches(gate.when) for leaf in branch]
        read = {leaf.name for leaf in leaves if leaf.family in ASKED_OF}
        held = [behind.get(x.name, set()) for x in leaves if x.family == "fact" and not x.negated]
        return columns_of(self._base, read.union(*held))

    def shut(self, at: Standing) -> Bools:
        """Where "non-bearing" is out of reach (n,): a gate stands that no question left could
        lift, or no answers to them could bring the chance of bearing down enough."""
        left = at.left[:, self._movers] & (self._movers >= 0)
        liftable = np.logical_or.reduceat(left, self._movers_of, axis=1)
        shut: Bools = np.any(at.fired[:, self._rules] & ~liftable, axis=1)
        if shut.all():
            return shut
        far_off = self._reachable.least(at.beliefs, at.left) > self._policy.hopeless * self._mark
        return shut | far_off

    def lifts(self, at: Standing) -> Floats:
        """Which part (n, q), 0 to 1, of the way to letting the gates go each answer makes."""
        lifts: Floats = self._tells_whole * self._by_whole(at.beliefs)[:, None]
        last = at.beliefs.measures["upper"] <= self._mark  # nothing but gates is in the way
        for gate, ((rule, moving), ways, parts) in enumerate(
            zip(self._lifters, self._ways, self._parts, strict=True)
        ):
            stands = at.fired[:, rule]
            if not stands.any():
                continue
            lifts[stands] = np.maximum(lifts[stands], parts * self._leading(gate, at)[stands])
            if not (stands & last).any():
                continue
            if not ways:
                lifts[np.ix_(stands & last, moving)] = 1.0
            for path, touching, closing in ways:
                here = stands & last & (at.beliefs.status[:, path] == OPEN)
                lifts[np.ix_(here, touching)] = np.maximum(
                    lifts[np.ix_(here, touching)], self._policy.part_of_way
                )
                lifts[np.ix_(here, closing)] = 1.0
                lifts[here] = np.maximum(lifts[here], self._lowering(path, at)[here])
        return lifts

    def _lowering(self, path: int, at: Standing) -> Bools:
        """The questions (n, q) that could still bring a base rate of a path (its column) to hold
        whose highest is below that of the one that holds: of several, the first holds."""
        found = np.zeros(at.left.shape, bool)
        rates = self._rates[path]
        if not rates:
            return found
        none_yet = np.logical_and.accumulate([~at.fired[:, rule] for rule, _, _ in rates])
        holding = np.array([top for _, top, _ in rates])[
            np.minimum(none_yet.sum(axis=0), len(rates) - 1)
        ]
        for (_, top, ways), before in zip(rates, none_yet, strict=True):
            lower = before & (top < holding)
            if ways and lower.any():
                found |= self._live.to_any(ways, at.told, at.left) & lower[:, None]
        return found

    def _leading(self, gate: int, at: Standing) -> Bools:
        """The questions that could still move a gate (n, q): a way by facts may be shut."""
        found: Bools = np.ones(at.left.shape, bool)
        if self._facts[gate]:
            found &= self._besides[gate]
            for fact in self._facts[gate]:
                found |= self._live.to_fact(fact, at.told, at.left)
        return found

    def near(self, beliefs: Beliefs, shut: Bools) -> Floats:
        """How near (n,) the verdict is, 0 to 1: the mark over the chance that the wall bears."""
        upper = np.maximum(beliefs.measures["upper"], self._mark)
        found: Floats = np.where(shut, 0.0, (self._mark / upper) ** self._policy.gate_nearness)
        return found

    def _by_whole(self, beliefs: Beliefs) -> Floats:
        """Which part (n,) of the way to "non-bearing" is made by knowing that all of the top was
        seen."""
        now, then = (_decibans(c) for c in (beliefs.measures["upper"],
                                            self._reachable.if_whole(beliefs)))  # fmt: skip
        way = np.maximum(now - _decibans(np.array(self._mark)), 0.0)
        gone = np.clip(now - then, 0.0, way)
        return np.divide(gone, way, out=np.zeros_like(way), where=way > 0)


def _decibans(chances: Floats) -> Floats:
    kept = np.clip(chances, LEAST_CHANCE, 1 - LEAST_CHANCE)
    found: Floats = 10 * np.log10(kept / (1 - kept))
    return found


def parts_in_lifting(gate: Gate, behind: Mapping[str, set[str]]) -> dict[str, float]:
    """What one answer to each question does (0 to 1) of the shortest way in which a gate lets
    go; empty where there are too many ways to tell them apart."""
    try:
        ways = branches({"not": gate.when})
    except TermError:
        return {}
    parts: dict[str, float] = {}
    for way in ways:
        steps = {
            frozenset(behind.get(leaf.name, ()))
            if leaf.family == "fact"
            else frozenset({leaf.name})
            for leaf in way
        }
        for name in frozenset().union(*steps):
            parts[name] = max(parts.get(name, 0.0), 1 / len(steps))
    return parts
