"""A knowledge base as logic with a solver, and what single proofs are told in."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import z3

from walltriage.case.model import Answer
from walltriage.inference.columns.evaluator import ColumnEvaluator
from walltriage.inference.engine.evaluate import Evaluator
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.schema_guards import VerdictRule
from walltriage.language import say
from walltriage.prove.encode import Encoding
from walltriage.rule_testing.rule_cases import case_answers

NON_BEARING, BEARING = "likely_non_bearing", "likely_bearing"


@dataclass(frozen=True, slots=True)
class Proof:
    """One property: whether it holds, what was found, and answers that break it."""

    holds: bool
    told: str
    counter: dict[str, Answer] | None = None
    name: str = ""
    seconds: float = 0.0


class Prover:
    """One knowledge base ready for proofs; build once."""

    def __init__(self, base: KnowledgeBase) -> None:
        self.base = base
        self.evaluator = Evaluator(base)
        self.columns = ColumnEvaluator(base)
        self.encoding = Encoding(base)
        self.solver = self.encoding.solver()
        self.asked = [n for n, q in base.questions.items() if q.entry.kind != "computed"]
        self._kinds: dict[str, list[str]] = {}
        for item in self.encoding.stratified:
            self._kinds.setdefault(item.kind, []).append(item.id)

    @cached_property
    def met(self) -> np.ndarray:
        """What fires on each of the rules' own cases: (cases, rules in order of firing).

        A case that shows a rule fire spares the solver the question whether it can.
        """
        given = [
            case_answers(self.base, case)
            for _, rule in self.base.rules()
            if rule.status != "retired"
            for case in (*rule.cases.fires, *rule.cases.quiet)
        ]
        return self.columns.evaluate(self.columns.encode(given)).fired

    def verdict(self, name: str) -> z3.BoolRef:
        """That some rule concludes this verdict."""
        return self.any_of(
            item.id
            for item in self.encoding.stratified
            if isinstance(item.rule, VerdictRule) and item.rule.concludes == name
        )

    def kind(self, name: str) -> z3.BoolRef:
        """That some rule of this kind fires."""
        return self.any_of(self._kinds.get(name, ()))

    def any_of(self, names: Iterable[str]) -> z3.BoolRef:
        """That one of these rules fires."""
        return z3.Or([self.encoding.fired[name] for name in names] or [z3.BoolVal(False)])

    def silent(self, names: Iterable[str]) -> list[z3.BoolRef]:
        """That none of these questions has a real answer."""
        return [z3.Not(self.encoding.answered(name)) for name in names]

    def never(self, *terms: z3.BoolRef, told: str = "") -> Proof:
        """That the terms cannot all hold; else the answers under which they do."""
        if self.solver.check(*terms) == z3.unsat:
            return Proof(True, told or say("no answers do that"))
        counter = self.encoding.decode(self.solver.model())
        verdict = self.evaluator.evaluate(counter).verdict
        if verdict == NON_BEARING:
            return Proof(False, say("these answers do"), counter)
        found = say(
            "not excluded for these answers, which the program calls '{verdict}'", verdict=verdict
        )
        return Proof(False, found, counter)


Claim = Callable[[Prover], Proof]


def run(prover: Prover, claims: Iterable[tuple[str, Claim]]) -> Iterator[Proof]:
    """Each proof in turn, with its name and how long it took."""
    for name, claim in claims:
        start = time.perf_counter()
        found = claim(prover)
        yield replace(found, name=name, seconds=time.perf_counter() - start)
