"""YAML rules into one experta engine, built once and reset for every case.

Every branch of every rule becomes an experta rule with a salience of its own, by layer
and load order: with equal salience experta fires stale rules, and in random order.
Patterns are bound, so that an action receives exactly the facts that matched; no private
part of experta is used.  Actions only record and declare; nothing is ever retracted.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from walltriage.case.model import Answer
from walltriage.errors import InputError, Problem
from walltriage.inference._experta import AS, NOT, Fact, KnowledgeEngine, P, Rule
from walltriage.inference.strata import BELIEF, Planned
from walltriage.knowledge.terms import ANY, Branch, Leaf

LAYER_STEP = 100_000


class Datum(Fact):
    """The one fact class: ``family``, ``name``, ``value`` and, if measured, ``number``."""


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
        leaves = {leaf for item in planned for branch in item.branches for leaf in branch}
        self._read = {(_family(leaf), leaf.name) for leaf in leaves}
        rules: dict[str, Any] = {}
        top = (max(item.layer for item in planned) + 1) * LAYER_STEP
        for position, item in enumerate(planned):
            for index, branch in enumerate(item.branches):
                salience = top - item.layer * LAYER_STEP - position * 25 - index
                rules[f"{item.id}__{index}"] = self._rule(item, branch, salience)
        self._count = len(rules)
        self._engine = type("CompiledRules", (KnowledgeEngine,), rules)()

    def run(self, data: Iterable[Known]) -> list[Firing]:
        """Reset, declare ``data``, run to the end; the firings in order."""
        self._fired = {}
        self._engine.reset()
        self._engine.declare(_fact(stage()), *self._wanted(data))
        self._engine.run(steps=self._count + 1)
        return list(self._fired.values())

    def _rule(self, item: Planned, branch: Branch, salience: int) -> Any:
        patterns = [self._pattern(leaf, f"f{index}") for index, leaf in enumerate(branch)]
        if not any(not leaf.negated for leaf in branch):
            patterns.insert(0, Datum(family="stage", name="case"))

        def action(engine: KnowledgeEngine, **facts: Fact) -> None:
            if item.id in self._fired:  # another branch of the same rule was first
                return
            matched = tuple(_known(facts[key]) for key in sorted(facts, key=lambda k: int(k[1:])))
            self._fired[item.id] = Firing(item.id, item.kind, matched)
            facts = self._wanted(self._conclude(item, matched))
            if facts:
                engine.declare(*facts)

        action.__name__ = f"{item.id}__{salience}"
        return Rule(*patterns, salience=salience)(action)

    def _wanted(self, data: Iterable[Known]) -> list[Datum]:
        """Facts of the data that any rule reads; each declaration of others costs as much."""
        return [
            _fact(known)
            for known in dict.fromkeys(data)
            if (known.family, known.name) in self._read or (known.family, ANY) in self._read
        ]

    def _pattern(self, leaf: Leaf, bound: str) -> Any:
        constraints: dict[str, Any] = {"family": _family(leaf)}
        if leaf.name != ANY:
            constraints["name"] = leaf.name
        if leaf.comparison is not None:
            limit = self._limit(leaf)
            numeric = Leaf(leaf.family, leaf.name, (), leaf.comparison, limit)
            constraints["number"] = P(lambda number, t=numeric: t.holds_for("", number))
        elif leaf.values or leaf.family == "answered":
            constraints["value"] = P(lambda value, t=leaf: t.holds_for(value, None))
        pattern = Datum(**constraints)
        if leaf.negated:
            return NOT(pattern)
        return getattr(AS, bound) << pattern

    def _limit(self, leaf: Leaf) -> float:
        if isinstance(leaf.limit, str):
            return self._thresholds[leaf.limit]
        return float(leaf.limit or 0)


def stage() -> Known:
    """The datum every case starts from; rules with only negated tests wait for it."""
    return Known("stage", "case", BELIEF)


def check_size(planned: list[Planned]) -> None:
    """Refuse a knowledge base whose saliences could meet across layers."""
    if len(planned) * 25 >= LAYER_STEP:
        raise InputError(Problem("rules", 0, 0, f"{len(planned)} rules are too many"))


def _family(leaf: Leaf) -> str:
    """The family of the data that a leaf is about."""
    return "answer" if leaf.family == "answered" else leaf.family


def _fact(known: Known) -> Datum:
    return Datum(family=known.family, name=known.name, value=known.value, number=known.number)


def _known(fact: Fact) -> Known:
    return Known(fact["family"], fact["name"], fact["value"], fact["number"])
