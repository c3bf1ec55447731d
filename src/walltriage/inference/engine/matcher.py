"""Which rules hold, kept up to date fact by fact: a matcher and a strategy for experta.

experta's engine names its matcher and its strategy in ``__matcher__`` and ``__strategy__``;
facts, agenda, run loop and firing stay its own.  Its Rete network asks every node for changes
after every firing and walks all of them on every reset, which for rules by the thousand costs
far more than the matching.  Here each distinct test is looked up once by the family and name
of the data it reads; a branch holds when none of its tests is missing and no negated one is
met, so that a new fact touches the branches that read it and no others.

Facts are only ever added: what was once met stays met until the next reset.
"""

from __future__ import annotations

import bisect
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from operator import attrgetter
from typing import Any

from walltriage.inference.engine._experta import (
    Activation,
    Agenda,
    Fact,
    KnowledgeEngine,
    Matcher,
    Rule,
    Strategy,
)
from walltriage.knowledge.terms import ANY, NO_ANSWER, Branch, Leaf, positive

STARTED = "stage"  # the family of the fact that rules with only negated tests wait for
_STARTED_LEAF = Leaf(STARTED, ANY)
_KEY = attrgetter("key")


class Datum(Fact):
    """Data of one family that became known together: the family, and each datum by its name.

    A datum is anything with a ``value`` and a ``number`` that can be hashed.  experta looks through
    a fact for what such a fact never holds: other facts, patterns, fields with types, names with
    double underscores.
    """

    def __init__(self, *family: str, **data: Any) -> None:
        super().__init__()
        dict.update(self, enumerate(family))
        dict.update(self, data)

    def has_field_constraints(self) -> bool:
        return False

    def has_nested_accessor(self) -> bool:
        return False

    def validate(self) -> None:
        """There are no fields to validate."""


class CompiledRule(Rule):
    """A rule whose action takes whatever facts matched: experta looks through the signature of
    every other action for the names it takes."""

    def __new__(cls, action: Callable[..., None], name: str, salience: int) -> CompiledRule:
        rule: CompiledRule = super().__new__(cls, salience=salience)
        rule._wrapped, rule.__name__ = action, name
        return rule

    def __call__(self, engine: KnowledgeEngine, **facts: Fact) -> None:
        self._wrapped(engine, **facts)


@dataclass(frozen=True, slots=True)
class RuleBranch:
    """One branch, with the experta rule that fires when it holds.

    The rule's action gets the fact that met the branch's n-th test as ``fn``.  Each salience
    is taken by one rule only.
    """

    rule: CompiledRule
    branch: Branch


def family_of(leaf: Leaf) -> str:
    """The family of the data that a leaf is about."""
    return "answer" if leaf.family == "answered" else leaf.family


class _Tests:
    """The distinct tests of one datum, and which of them each word meets."""

    def __init__(self, tests: list[tuple[int, Leaf]]) -> None:
        self.all = [test for test, _ in tests]
        self._tests = tests
        words = {*NO_ANSWER, *(word for _, leaf in tests for word in leaf.values)}
        self._of_word = {word: self._met(word, None) for word in words}
        self._of_other = self._met("", None)  # a word that no test names

    def met(self, value: str, number: float | None) -> tuple[int, ...]:
        """The tests that a datum meets."""
        if number is None:
            return self._of_word.get(value, self._of_other)
        return self._met(value, number)

    def _met(self, value: str, number: float | None) -> tuple[int, ...]:
        return tuple(test for test, leaf in self._tests if leaf.holds_for(value, number))


class CountingMatcher(Matcher):
    """Counts, for each branch, the tests still missing and the negated ones that are met.

    The engine it works for tells its branches in ``conditions``, with all limits as numbers.
    """

    def __init__(self, engine: KnowledgeEngine) -> None:
        super().__init__(engine)
        self._rules: list[CompiledRule] = []
        self._reads: list[tuple[tuple[str, int], ...]] = []  # the bound name and test of each leaf
        self._leaves: dict[Leaf, int] = {}
        self._needed_by: list[list[int]] = []  # branches, by test
        self._blocks: list[list[int]] = []
        self._missing_at_start: list[int] = []
        for condition in engine.conditions:
            self._add(condition)
        tests: dict[tuple[str, str], list[tuple[int, Leaf]]] = {}
        for leaf, test in self._leaves.items():
            tests.setdefault((family_of(leaf), leaf.name), []).append((test, leaf))
        self._tests = {about: _Tests(found) for about, found in tests.items()}
        self.reset()

    def reset(self) -> None:
        """Forget all facts."""
        self._missing = self._missing_at_start[:]
        self._against = [0] * len(self._missing)
        self._facts: dict[int, list[Datum]] = {}  # that met each test, in order
        self._active: dict[int, Activation] = {}

    def changes(
        self, adding: Iterable[Fact] | None = None, deleting: Iterable[Fact] | None = None
    ) -> tuple[list[Activation], list[Activation]]:
        """The activations that the new facts bring about, and those that they end."""
        if deleting:
            raise ValueError("facts are never retracted")
        touched: set[int] = set()
        for fact in adding or ():
            if isinstance(fact, Datum):
                for test in self._tests_met(fact):
                    self._meet(test, fact, touched)
        added, removed = [], []
        for branch in touched:
            before = self._active.get(branch)
            if self._against[branch]:
                if before is not None:
                    removed.append(self._active.pop(branch))
                continue
            context = self._context(branch)
            if before is None or not _same(before.context, context):
                if before is not None:
                    removed.append(before)
                # the facts themselves are named in experta's log alone
                self._active[branch] = Activation(self._rules[branch], (), context)
                added.append(self._active[branch])
        return added, removed

    def _add(self, condition: RuleBranch) -> None:
        branch = len(self._rules)
        self._rules.append(condition.rule)
        needed: dict[str, int] = {}
        for place, leaf in enumerate(condition.branch):
            if leaf.negated:
                self._blocks[self._test(leaf)].append(branch)
            else:
                needed[f"f{place}"] = self._test(leaf)
        if not needed:
            needed["started"] = self._test(_STARTED_LEAF)
        tests = set(needed.values())
        for test in tests:
            self._needed_by[test].append(branch)
        self._reads.append(tuple(needed.items()))
        self._missing_at_start.append(len(tests))

    def _test(self, leaf: Leaf) -> int:
        leaf = positive(leaf)
        test = self._leaves.get(leaf)
        if test is None:
            test = self._leaves[leaf] = len(self._leaves)
            self._needed_by.append([])
            self._blocks.append([])
        return test

    def _tests_met(self, fact: Datum) -> Iterator[int]:
        family = fact[0]
        if (family, ANY) in self._tests:
            yield from self._tests[family, ANY].all
        for name, known in fact.items():
            tests = self._tests.get((family, name))
            if tests is not None:
                yield from tests.met(known.value, known.number)

    def _meet(self, test: int, fact: Datum, touched: set[int]) -> None:
        missing = self._missing
        facts = self._facts.get(test)
        if facts is not None:  # another fact that meets it: what a rule rests on may change
            facts.append(fact)
            touched.update(b for b in self._needed_by[test] if not missing[b])
            return
        self._facts[test] = [fact]
        for branch in self._needed_by[test]:
            missing[branch] -= 1
            if not missing[branch]:
                touched.add(branch)
        for branch in self._blocks[test]:
            self._against[branch] += 1
            if branch in self._active:
                touched.add(branch)

    def _context(self, branch: int) -> dict[str, Datum]:
        """The facts to fire on: of several sets that match, the latest, as experta has it."""
        reads, facts_of = self._reads[branch], self._facts
        choices = [facts_of[test] for _, test in reads]
        if sum(map(len, choices)) == len(choices):  # one fact each
            return {name: facts_of[test][0] for name, test in reads}
        latest = max(product(*choices), key=_recency)
        return {name: fact for (name, _), fact in zip(reads, latest, strict=True)}


def _recency(facts: Sequence[Datum]) -> list[int]:
    return sorted({fact.__factid__ for fact in facts}, reverse=True)


def _same(one: dict[str, Datum], other: dict[str, Datum]) -> bool:
    return all(one[name] is fact for name, fact in other.items())


class SalienceStrategy(Strategy):
    """The activation of highest salience first; removes exactly those named.

    No two rules share a salience, so each has one place in the agenda.
    """

    def update_agenda(
        self, agenda: Agenda, added: Iterable[Activation], removed: Iterable[Activation]
    ) -> None:
        """As ever, where anything has changed: experta asks after every firing."""
        if added or removed:
            super().update_agenda(agenda, added, removed)

    def _update_agenda(
        self, agenda: Agenda, added: Iterable[Activation], removed: Iterable[Activation]
    ) -> None:
        waiting = agenda.activations
        for activation in removed:
            place = bisect.bisect_left(waiting, activation.key, key=_KEY)
            if place < len(waiting) and waiting[place] is activation:  # else it has fired
                del waiting[place]
        for activation in added:
            activation.key = activation.rule.salience
            bisect.insort(waiting, activation, key=_KEY)


class CountingEngine(KnowledgeEngine):
    """experta's engine on compiled branches, matched by counting."""

    __matcher__ = CountingMatcher
    __strategy__ = SalienceStrategy

    def __init__(self, conditions: Sequence[RuleBranch]) -> None:
        self.conditions = conditions
        self._deffacts: list[Any] | None = None
        super().__init__()

    def get_deffacts(self) -> list[Any]:
        """As ever, but looked for once: experta goes through all members on every reset."""
        if self._deffacts is None:
            self._deffacts = super().get_deffacts()
        return self._deffacts

    def get_activations(self) -> tuple[list[Activation], list[Activation]]:
        """The changes, asked for only while running, and only when there are new facts."""
        if not self.running or not self.facts.added:
            return [], []
        return super().get_activations()  # type: ignore[no-any-return]
