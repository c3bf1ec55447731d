"""What is proved of a knowledge base, each with its counter-example when it does not hold."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations, pairwise

import numpy as np
import z3

from walltriage.case.model import Answer
from walltriage.inference.evaluate import Evaluator
from walltriage.inference.rule_cases import case_answers
from walltriage.inference.strata import GUESSED_SIGN
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.schema import DerivedFact, VerdictRule
from walltriage.study.columns import ColumnEvaluator
from walltriage.study.prove.encode import Encoding

NON_BEARING, BEARING = "likely_non_bearing", "likely_bearing"
ALMOST = 1e-12
SUBSUMABLE = ("fact", "sign", "scope", "contradiction")


@dataclass(frozen=True, slots=True)
class Proof:
    """One property: whether it holds, what was found, and answers that break it."""

    name: str
    holds: bool
    told: str
    counter: dict[str, Answer] | None = None
    seconds: float = 0.0


class Prover:
    """Proves the properties of one knowledge base; build once."""

    def __init__(self, base: KnowledgeBase) -> None:
        self.base = base
        self.evaluator = Evaluator(base)
        self.encoding = Encoding(base)
        self.solver = self.encoding.solver()
        self.asked = [n for n, q in base.questions.items() if q.entry.kind != "computed"]
        self._met: np.ndarray | None = None
        self._kinds: dict[str, list[str]] = {}
        for item in self.encoding.planned:
            self._kinds.setdefault(item.kind, []).append(item.id)

    def verdict(self, name: str) -> z3.BoolRef:
        """That some rule concludes this verdict."""
        return self._any(
            item.id
            for item in self.encoding.planned
            if isinstance(item.rule, VerdictRule) and item.rule.concludes == name
        )

    def kind(self, name: str) -> z3.BoolRef:
        """That some rule of this kind fires."""
        return self._any(self._kinds.get(name, ()))

    def _any(self, names: Iterable[str]) -> z3.BoolRef:
        return z3.Or([self.encoding.fired[name] for name in names] or [z3.BoolVal(False)])

    def all(self) -> Iterator[Proof]:
        """Every property, in order."""
        yield from self.safety()
        yield from self._run(
            ("every rule can fire", self.nothing_dead),
            ("no rule is covered by another", self.nothing_subsumed),
            ("no two rules conclude opposites", self.nothing_conflicting),
            ("each verdict is reached", self.reachable),
        )

    def safety(self) -> Iterator[Proof]:
        """The properties that keep a bearing wall from passing; quick."""
        yield from self._run(
            ("a decisive sign is never non-bearing", self.sign_never_non_bearing),
            ("a guessed sign is never non-bearing", self.guess_never_non_bearing),
            ("all don't-know is cannot tell", self.nothing_known),
            ("nothing seen is never non-bearing", self.nothing_seen),
            ("a building out of scope is never non-bearing", self.scope_never_non_bearing),
            ("a contradiction is never non-bearing", self.contradiction_never_non_bearing),
            ("no answer for a path lowers its condition", self.monotone),
            ("no path is ruled out by one condition", self.capped),
        )

    def _run(self, *checks: tuple[str, Callable[[], Proof]]) -> Iterator[Proof]:
        for name, check in checks:
            start = time.perf_counter()
            found = check()
            seconds = time.perf_counter() - start
            yield Proof(name, found.holds, found.told, found.counter, seconds)

    # safety

    def never(self, *terms: z3.BoolRef, told: str = "no answers do that") -> Proof:
        """That the terms cannot all hold; else the answers under which they do."""
        if self.solver.check(*terms) == z3.unsat:
            return Proof("", True, told)
        counter = self.encoding.decode(self.solver.model())
        return Proof("", False, "these answers do", counter)

    def sign_never_non_bearing(self) -> Proof:
        """Decisive sign and "non-bearing" exclude each other, at any sureness."""
        return self.never(self.kind("sign"), self.verdict(NON_BEARING))

    def guess_never_non_bearing(self) -> Proof:
        """A sign held back because of a guess still withholds "non-bearing"."""
        return self.never(self.kind(GUESSED_SIGN), self.verdict(NON_BEARING))

    def nothing_known(self) -> Proof:
        """With no real answer the engine tells nothing, and logic allows no "non-bearing"."""
        silent = [z3.Not(self.encoding.answered(name)) for name in self.base.questions]
        proof = self.never(*silent, self.verdict(NON_BEARING))
        empty = self.evaluator.evaluate({})
        if empty.verdict != "cannot_tell":
            return Proof("", False, f"the engine says {empty.verdict} to no answers", {})
        return proof

    def nothing_seen(self) -> Proof:
        """Without anything seen or measured against a path, no "non-bearing"."""
        unseen = [z3.Not(self.encoding.atom("seen_against", path)) for path in self.base.paths]
        return self.never(*unseen, self.verdict(NON_BEARING))

    def scope_never_non_bearing(self) -> Proof:
        """A scope guard withholds "non-bearing"."""
        return self.never(self.kind("scope"), self.verdict(NON_BEARING))

    def contradiction_never_non_bearing(self) -> Proof:
        """So does a contradiction."""
        return self.never(self.kind("contradiction"), self.verdict(NON_BEARING))

    # tables

    def monotone(self) -> Proof:
        """Every adjacent two-by-two minor of every clue and condition table is at least 0."""
        looked, broken = 0, []
        for path, tables in self.encoding.belief.tables.items():
            for name, table in tables.items():
                pairs = [(table.not_bearing, table.bearing, f"{path}.{name}")]
                for clue, rows in table.rows.items():
                    by_state = list(zip(*rows.values(), strict=True))
                    pairs += [(low, high, clue) for low, high in pairwise(by_state)]
                for low, high, where in pairs:
                    for i, j in pairwise(range(len(low))):
                        looked += 1
                        if low[i] * high[j] < low[j] * high[i] - ALMOST:
                            broken.append(where)
        told = ", ".join(sorted(set(broken))) or f"{looked} minors, none negative"
        return Proof("", not broken, told)

    def capped(self) -> Proof:
        """No single condition can bring a path from its least base rate to "ruled out"."""
        mark = self.base.guards.thresholds["path_ruled_out_at_most"]
        heavy = []
        for path, tables in self.encoding.belief.tables.items():
            for name, table in tables.items():
                ratios = [b / n for b, n in zip(table.bearing, table.not_bearing, strict=True)]
                if min(ratios) < 10 ** (-12 / 10) - ALMOST:
                    heavy.append(f"{path}.{name}")
        told = ", ".join(heavy) or f"none speaks against by over 12 decibans (mark {mark:g})"
        return Proof("", not heavy, told)

    # anomalies

    def met(self) -> np.ndarray:
        """What fires on each of the rules' own cases: (cases, rules in order of firing).

        A case that shows a rule fire spares the solver the question whether it can.
        """
        if self._met is None:
            given = [
                case_answers(self.base, case)
                for _, rule in self.base.rules()
                if rule.status != "retired"
                for case in (*rule.cases.fires, *rule.cases.quiet)
            ]
            columns = ColumnEvaluator(self.base)
            self._met = columns.evaluate(columns.encode(given)).fired
        return self._met

    def nothing_dead(self) -> Proof:
        """Each rule, and each question's applicability, holds under some answers."""
        met = self.met().any(axis=0)
        dead = [
            item.id
            for item, shown in zip(self.encoding.planned, met, strict=True)
            if not shown and self.solver.check(self.encoding.fired[item.id]) == z3.unsat
        ]
        count = len(self.encoding.planned)
        return Proof("", not dead, ", ".join(dead) or f"all {count} can")

    def nothing_subsumed(self) -> Proof:
        """No rule with the same conclusion fires whenever another does."""
        groups: dict[tuple[object, ...], list[str]] = {}
        for item in self.encoding.planned:
            if item.kind not in SUBSUMABLE:
                continue
            same: tuple[object, ...] = (item.kind, item.load_path)
            if isinstance(item.rule, DerivedFact):
                same = (item.kind, *item.rule.concludes.items())
            groups.setdefault(same, []).append(item.id)
        covered, pairs, met = [], 0, self.met()
        column = {item.id: index for index, item in enumerate(self.encoding.planned)}
        for names in groups.values():
            for one, two in combinations(names, 2):
                for inner, outer in ((one, two), (two, one)):
                    pairs += 1
                    if (met[:, column[inner]] & ~met[:, column[outer]]).any():
                        continue  # the rules' own cases show one without the other
                    only = (self.encoding.fired[inner], z3.Not(self.encoding.fired[outer]))
                    if self.solver.check(*only) == z3.unsat:
                        covered.append(f"{inner} (by {outer})")
        return Proof("", not covered, ", ".join(covered) or f"{pairs} pairs, none")

    def nothing_conflicting(self) -> Proof:
        """No two values of one fact, and not both verdicts, for the same answers."""
        by_fact: dict[str, list[tuple[str, str]]] = {}
        for item in self.encoding.planned:
            if isinstance(item.rule, DerivedFact):
                for name, value in item.rule.concludes.items():
                    by_fact.setdefault(name, []).append((value, item.id))
        for name, makers in by_fact.items():
            for (value, one), (another, two) in combinations(makers, 2):
                if value != another:
                    both = (self.encoding.fired[one], self.encoding.fired[two])
                    if self.solver.check(*both) == z3.sat:
                        counter = self.encoding.decode(self.solver.model())
                        told = f"{one} and {two} give '{name}' two values"
                        return Proof("", False, told, counter)
        return self.never(
            self.kind("sign"), self.verdict(BEARING), self.verdict(NON_BEARING), told="none do"
        )

    def reachable(self) -> Proof:
        """Each verdict comes out of the engine for some of the rules' own cases."""
        met = {self.evaluator.evaluate({}).verdict}
        for rule in self.base.guards.verdicts:
            for given in rule.cases.fires:
                met.add(self.evaluator.evaluate(case_answers(self.base, given)).verdict)
        lacking = {"cannot_tell", BEARING, NON_BEARING} - met
        return Proof("", not lacking, ", ".join(sorted(lacking)) or "all three")
