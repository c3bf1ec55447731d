"""YAML rules into one experta engine, built once and reset for every case.

Every branch of every rule becomes an experta rule with a salience of its own, by layer
and load order: with equal salience experta fires stale rules, and in random order.
Patterns are bound, so that an action receives exactly the facts that matched; no private
part of experta is used.  Actions only record; what a layer's rules conclude is declared
when the layer is done, since only later layers read it.  Nothing is ever retracted.
"""

from __future__ import annotations

import inspect
from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from walltriage.case.model import Answer
from walltriage.errors import InputError, Problem
from walltriage.inference.engine._experta import AS, NOT, Fact, KnowledgeEngine, P, Rule
from walltriage.inference.engine.strata import BELIEF, Planned
from walltriage.knowledge.terms import ANY, Branch, Leaf

LAYER_STEP = 100_000
_STARTED = "stage"  # the family of the fact that rules with only negated tests wait for


@dataclass(frozen=True, slots=True)
class Known:
    """A datum as plain data: an answer, or something concluded."""

    family: str
    name: str
    value: str = ""
    number: float | None = None


@dataclass(frozen=True, slots=True)
class Firing:
    """One rule that fired, with the data that matched its condition."""

    rule: str
    kind: str
    matched: tuple[Known, ...]


def answer_data(answers: Mapping[str, Answer]) -> list[Known]:
    """Answers as the engine takes them; a guess is told beside its answer."""
    given = [Known("answer", name, a.value, a.number) for name, a in answers.items()]
    guesses = [
        Known("guessed", name) for name, a in answers.items() if a.is_real and a.sure == "guess"
    ]
    return given + guesses


Concluder = Callable[[Planned, tuple[Known, ...]], Iterable[Known]]
# experta works out each action's signature some nine times over; this tells it at once
_ACTION = inspect.signature(lambda engine, **facts: None)


class Datum(Fact):
    """Data of one family that became known together: the family, and each datum by its name.

    experta tries every pattern on every fact, so few facts with many fields are quick.
    """


class _Network(KnowledgeEngine):
    """Asks every rule whether it holds only while running, and only when there are new facts."""

    def get_activations(self) -> tuple[list[Any], list[Any]]:
        if not self.running or not self.facts.added:
            return [], []
        return super().get_activations()  # type: ignore[no-any-return]


class Engine:
    """A compiled knowledge base.

    ``conclude`` is called once for every rule that fires, and returns the data to
    declare.  One engine serves many cases, one at a time, in one thread.
    """

    def __init__(
        self, planned: list[Planned], thresholds: dict[str, float], conclude: Concluder
    ) -> None:
        self._thresholds = thresholds
        self._conclude = conclude
        self._fired: dict[str, Firing] = {}
        self._concluded: list[Known] = []
        leaves = {leaf for item in planned for branch in item.branches for leaf in branch}
        self._read = {(_family(leaf), leaf.name) for leaf in leaves}
        self._tests = {positive: self._test(positive) for positive in map(_positive, leaves)}
        rules: dict[str, Any] = {}
        layers = max(item.layer for item in planned) + 1
        for position, item in enumerate(planned):
            for index, branch in enumerate(item.branches):
                salience = (layers - item.layer) * LAYER_STEP - position * 25 - index
                rules[f"{item.id}__{index}"] = self._rule(item, branch, salience)
        for layer in range(layers):
            salience = (layers - layer - 1) * LAYER_STEP + 1  # after the last of its rules
            rules[f"end__of_layer_{layer}"] = self._end_of_layer(salience)
        self._count = len(rules)
        self._engine = type("CompiledRules", (_Network,), rules)()

    def run(self, data: Iterable[Known]) -> list[Firing]:
        """Reset, declare ``data``, run to the end; the firings in order."""
        self._fired, self._concluded = {}, []
        self._engine.reset()
        self._engine.declare(Datum(_STARTED), *self._facts(data))
        self._engine.run(steps=self._count + 1)
        return list(self._fired.values())

    def _rule(self, item: Planned, branch: Branch, salience: int) -> Any:
        patterns = [self._pattern(leaf, f"f{index}") for index, leaf in enumerate(branch)]
        if not any(not leaf.negated for leaf in branch):
            patterns.insert(0, Datum(_STARTED))

        def action(engine: KnowledgeEngine, **facts: Fact) -> None:
            if item.id in self._fired:  # another branch of the same rule was first
                return
            matched = tuple(
                _matched(facts[f"f{index}"], leaf)
                for index, leaf in enumerate(branch)
                if not leaf.negated
            )
            self._fired[item.id] = Firing(item.id, item.kind, matched)
            self._concluded += self._conclude(item, matched)

        return _experta_rule(patterns, action, f"{item.id}__{salience}", salience)

    def _end_of_layer(self, salience: int) -> Any:
        def action(engine: KnowledgeEngine, **facts: Fact) -> None:
            concluded, self._concluded = self._facts(self._concluded), []
            if concluded:
                engine.declare(*concluded)

        return _experta_rule([Datum(_STARTED)], action, f"end_of_layer__{salience}", salience)

    def _facts(self, data: Iterable[Known]) -> list[Datum]:
        """The data that any rule reads, a fact for each family.

        Where two data differ in value alone, the second goes into another fact.
        """
        seen: Counter[tuple[str, str]] = Counter()
        facts: dict[tuple[str, int], dict[str, Known]] = {}
        for known in dict.fromkeys(data):
            key = (known.family, known.name)
            if key in self._read or (known.family, ANY) in self._read:
                facts.setdefault((known.family, seen[key]), {})[known.name] = known
                seen[key] += 1
        return [Datum(family, **named) for (family, _), named in facts.items()]

    def _pattern(self, leaf: Leaf, bound: str) -> Any:
        tests = {} if leaf.name == ANY else {leaf.name: self._tests[_positive(leaf)]}
        pattern = Datum(_family(leaf), **tests)
        if leaf.negated:
            return NOT(pattern)
        return getattr(AS, bound) << pattern

    def _test(self, leaf: Leaf) -> P:
        """What a datum must meet; one test for all rules that ask the same."""
        if isinstance(leaf.limit, str):
            leaf = replace(leaf, limit=self._thresholds[leaf.limit])
        return P(lambda known: leaf.holds_for(known.value, known.number))


def stage() -> Known:
    """The datum every case starts from; rules with only negated tests wait for it."""
    return Known("stage", "case", BELIEF)


def check_size(planned: list[Planned]) -> None:
    """Refuse a knowledge base whose saliences could meet across layers."""
    if len(planned) * 25 >= LAYER_STEP:
        raise InputError(Problem("rules", 0, 0, f"{len(planned)} rules are too many"))


def _experta_rule(
    patterns: list[Any], action: Callable[..., None], name: str, salience: int
) -> Rule:
    action.__name__ = name
    action.__signature__ = _ACTION  # type: ignore[attr-defined]
    return Rule(*patterns, salience=salience)(action)


def _family(leaf: Leaf) -> str:
    """The family of the data that a leaf is about."""
    return "answer" if leaf.family == "answered" else leaf.family


def _positive(leaf: Leaf) -> Leaf:
    return replace(leaf, negated=False)


def _matched(fact: Fact, leaf: Leaf) -> Known:
    """The datum that met a leaf; the latest where any would do."""
    if leaf.name != ANY:
        named: Known = fact[leaf.name]
        return named
    return [value for value in fact.values() if isinstance(value, Known)][-1]
