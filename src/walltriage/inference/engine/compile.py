"""YAML rules into one experta engine, built once and reset for every case.

Every branch of every rule becomes an experta rule with a salience of its own, by layer
and load order: with equal salience experta fires stale rules, and in random order.
Which branches hold is told by the matcher beside this module.  An action receives exactly
the facts that matched.  Actions only record; what a layer's rules conclude is declared
when the layer is done, since only later layers read it.  Nothing is ever retracted.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from walltriage.case.model import LESS_SURE, Answer
from walltriage.errors import refuse
from walltriage.inference.engine._experta import Fact, KnowledgeEngine
from walltriage.inference.engine.matcher import (
    STARTED,
    CompiledRule,
    CountingEngine,
    Datum,
    RuleBranch,
    family_of,
)
from walltriage.inference.engine.strata import BELIEF, StratifiedRule
from walltriage.knowledge.terms import ANY, Branch, Leaf

LAYER_STEP = 100_000
# against a loop alone: a branch fires anew, to no effect, when a later fact meets its tests
FIRINGS_A_BRANCH = 100


class PlainFact(NamedTuple):
    """A datum as plain data: an answer, or something concluded."""

    family: str
    name: str
    value: str = ""
    number: float | None = None


class Firing(NamedTuple):
    """One rule that fired, with the data that matched its condition."""

    rule: str
    kind: str
    matched: tuple[PlainFact, ...]


def answer_data(answers: Mapping[str, Answer]) -> list[PlainFact]:
    """Answers as the engine takes them; a guess or a doubt is told beside its answer."""
    given = [PlainFact("answer", name, a.value, a.number) for name, a in answers.items()]
    less_sure = [
        PlainFact(family, name)
        for name, a in answers.items()
        if a.is_real
        for family, degrees in LESS_SURE.items()
        if a.sure in degrees
    ]
    return given + less_sure


Concluder = Callable[[StratifiedRule, tuple[PlainFact, ...]], Iterable[PlainFact]]
Network = Callable[[Sequence[RuleBranch]], KnowledgeEngine]


class Engine:
    """A compiled knowledge base.

    ``conclude`` is called once for every rule that fires, and returns the data to
    declare.  One engine serves many cases, one at a time, in one thread.  ``network``
    makes the experta engine of the compiled branches.
    """

    def __init__(
        self,
        stratified: list[StratifiedRule],
        thresholds: dict[str, float],
        conclude: Concluder,
        network: Network = CountingEngine,
    ) -> None:
        self._thresholds = thresholds
        self._conclude = conclude
        self._fired: dict[str, Firing] = {}
        self._concluded: list[PlainFact] = []
        self._read = {
            (family_of(leaf), leaf.name)
            for item in stratified
            for branch in item.branches
            for leaf in branch
        }
        conditions = []
        layers = max(item.layer for item in stratified) + 1
        for position, item in enumerate(stratified):
            for index, branch in enumerate(item.branches):
                salience = (layers - item.layer) * LAYER_STEP - position * 25 - index
                conditions.append(self._condition(item, branch, salience))
        for layer in range(layers):
            salience = (layers - layer - 1) * LAYER_STEP + 1  # after the last of its rules
            conditions.append(self._end_of_layer(salience))
        self._count = len(conditions)
        self._engine = network(conditions)

    def run(self, data: Iterable[PlainFact]) -> list[Firing]:
        """Reset, declare ``data``, run to the end; the firings in order."""
        self._fired, self._concluded = {}, []
        self._engine.reset()
        self._engine.declare(Datum(STARTED), *self._facts(data))
        self._engine.run(steps=self._count * FIRINGS_A_BRANCH)
        return list(self._fired.values())

    def _condition(self, item: StratifiedRule, branch: Branch, salience: int) -> RuleBranch:
        branch = tuple(map(self._with_limit, branch))
        bound = [(f"f{place}", leaf) for place, leaf in enumerate(branch) if not leaf.negated]

        def action(engine: KnowledgeEngine, **facts: Fact) -> None:
            if item.id in self._fired:  # another branch of the same rule was first
                return
            matched = tuple(_matched(facts[name], leaf) for name, leaf in bound)
            self._fired[item.id] = Firing(item.id, item.kind, matched)
            self._concluded += self._conclude(item, matched)

        return RuleBranch(CompiledRule(action, f"{item.id}__{salience}", salience), branch)

    def _end_of_layer(self, salience: int) -> RuleBranch:
        def action(engine: KnowledgeEngine, **facts: Fact) -> None:
            concluded, self._concluded = self._facts(self._concluded), []
            if concluded:
                engine.declare(*concluded)

        return RuleBranch(CompiledRule(action, f"end_of_layer__{salience}", salience), ())

    def _facts(self, data: Iterable[PlainFact]) -> list[Datum]:
        """The data that any rule reads, a fact for each family.

        Where two data differ in value alone, the second goes into another fact.
        """
        seen: dict[tuple[str, str], int] = {}
        facts: dict[tuple[str, int], dict[str, PlainFact]] = {}
        for known in dict.fromkeys(data):
            family, name = known.family, known.name
            key = family, name
            if key in self._read or (family, ANY) in self._read:
                nth = seen.get(key, 0)
                facts.setdefault((family, nth), {})[name] = known
                seen[key] = nth + 1
        return [Datum(family, **named) for (family, _), named in facts.items()]

    def _with_limit(self, leaf: Leaf) -> Leaf:
        if isinstance(leaf.limit, str):
            return replace(leaf, limit=self._thresholds[leaf.limit])
        return leaf


def stage() -> PlainFact:
    """The datum every case starts from; rules with only negated tests wait for it."""
    return PlainFact("stage", "case", BELIEF)


def check_size(stratified: list[StratifiedRule]) -> None:
    """Refuse a knowledge base whose saliences could meet across layers."""
    if len(stratified) * 25 >= LAYER_STEP:
        raise refuse("rules", f"{len(stratified)} rules are too many")


def _matched(fact: Fact, leaf: Leaf) -> PlainFact:
    """The datum that met a leaf; the latest where any would do."""
    if leaf.name != ANY:
        named: PlainFact = fact[leaf.name]
        return named
    return [value for value in fact.values() if isinstance(value, PlainFact)][-1]
