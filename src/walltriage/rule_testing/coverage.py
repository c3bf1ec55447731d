"""Which rules, tests of rules, options and gates a set of runs has exercised.

A run is looked at rule by rule, from the data it held: a rule fires or stays quiet; a
test "carries" it when it is true in an alternative that holds, and "stops" it when the
rule stays quiet and would fire were this one test true.  Nothing is counted by line.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from walltriage.case.model import Answer
from walltriage.inference.engine.closure import ClosureRun
from walltriage.inference.engine.compile import PlainFact
from walltriage.inference.engine.strata import BELIEF, GUESSED_SIGN, StratifiedRule, written
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.condition_text import leaf_words
from walltriage.knowledge.rule_kinds import KINDS
from walltriage.knowledge.terms import ANY, Leaf, placed_leaves
from walltriage.language import say

Place = tuple[str, int, int]
LeafKey = tuple[str, Leaf]


@dataclass(frozen=True, slots=True, order=True)
class Gap:
    """Something no run has exercised; ``kind``: fires, quiet, carries, stops or option."""

    place: Place
    kind: str
    entry: str
    what: str

    def __str__(self) -> str:
        path, line, _ = self.place
        return f"{path}:{line}: {self.what}"


class Coverage:
    """Counts what runs of one knowledge base exercise; drafts and retired rules left out."""

    def __init__(self, base: KnowledgeBase, stratified: Mapping[str, StratifiedRule]) -> None:
        self._base = base
        self._planned = {
            name: item
            for name, item in stratified.items()
            if item.kind not in (BELIEF, GUESSED_SIGN)
            and (item.rule is None or item.rule.status == "reviewed")
        }
        self._earlier = _earlier_rates(stratified)
        self._open: dict[str, set[LeafKey | str]] = {
            name: _wanted(item, bool(self._earlier.get(name)))
            for name, item in self._planned.items()
        }
        self._options = {
            (name, value) for name, question in base.questions.items() for value in question.values
        }
        self.total = sum(map(len, self._open.values())) + len(self._options)
        self.runs = 0

    def add(self, run: ClosureRun, answers: Mapping[str, Answer]) -> None:
        """Count one run: the answers it was given, and what each rule did."""
        self.runs += 1
        self._options -= {(name, answer.value) for name, answer in answers.items()}
        index: dict[tuple[str, str], list[PlainFact]] = {}
        for known in run.known:
            index.setdefault((known.family, known.name), []).append(known)
            index.setdefault((known.family, ANY), []).append(known)
        for name in run.considered & self._open.keys():
            if self._open[name]:
                self._look(name, run.fired, index)

    def _look(
        self, name: str, all_fired: frozenset[str], index: Mapping[tuple[str, str], list[PlainFact]]
    ) -> None:
        wanted, fired = self._open[name], name in all_fired
        too_late = not all_fired.isdisjoint(self._earlier.get(name, ()))
        wanted.discard("fires" if fired else "quiet")
        for own in written(self._planned[name]):
            false = {leaf for leaf in own if not self._true(leaf, index)}
            if fired and not false:
                wanted -= {("carries", leaf) for leaf in own}
            elif not fired and not too_late and len(false) == 1:
                wanted -= {("stops", leaf) for leaf in false}

    def _true(self, leaf: Leaf, index: Mapping[tuple[str, str], list[PlainFact]]) -> bool:
        family = "answer" if leaf.family == "answered" else leaf.family
        limit = leaf.limit
        if isinstance(limit, str):
            limit = self._base.guards.thresholds[limit]
        test = Leaf(leaf.family, leaf.name, leaf.values, leaf.comparison, limit)
        met = any(test.holds_for(k.value, k.number) for k in index.get((family, leaf.name), ()))
        return met != leaf.negated

    def gaps(self) -> list[Gap]:
        """What is left, by place."""
        found = [gap for name in self._open for gap in self._rule_gaps(name)]
        for name, value in self._options:
            kind = "options" if self._base.questions[name].entry.answer == "choice" else "bands"
            place = self._base.place(name, kind, self._base.questions[name].values.index(value))
            what = say("'{value}' is never answered to '{name}'", value=value, name=name)
            found.append(Gap(place, "option", name, what))
        return sorted(found)

    def _rule_gaps(self, name: str) -> list[Gap]:
        item, base = self._planned[name], self._base
        own = "applies" if item.kind == "question" else "when"
        kind = say(item.kind.replace("_", " "))
        asked = item.kind == "question"
        found = []
        if "fires" in self._open[name]:
            never = "{kind} '{name}' never applies" if asked else "{kind} '{name}' never fires"
            what = say(never, kind=kind, name=name)
            found.append(Gap(base.place(name), "fires", name, what))
        if "quiet" in self._open[name]:
            always = "{kind} '{name}' always applies" if asked else "{kind} '{name}' always fires"
            what = say(always, kind=kind, name=name)
            found.append(Gap(base.place(name), "quiet", name, what))
        term = base.questions[name].entry.applies if own == "applies" else _when(item)
        places = {leaf: base.place(name, own, *where) for where, leaf in placed_leaves(term)}
        for wanted in self._open[name]:
            if isinstance(wanted, str):
                continue
            does_what, leaf = wanted
            place = places.get(leaf, base.place(name, "question"))
            test = leaf_words(base, leaf)
            what = say(_untested(does_what, asked), kind=kind, name=name, test=test)
            found.append(Gap(place, does_what, name, what))
        return found


def _untested(does_what: str, asked: bool) -> str:
    """What to say of a test of a condition that never carried, or never stopped, its rule."""
    if does_what != "carries":
        return "in {kind} '{name}' the test '{test}' is never what stops it"
    if asked:
        return "in {kind} '{name}' the test '{test}' is never true when it applies"
    return "in {kind} '{name}' the test '{test}' is never true when it fires"


def _when(item: StratifiedRule) -> object:
    return getattr(item.rule, "when", None)


def _earlier_rates(stratified: Mapping[str, StratifiedRule]) -> dict[str, tuple[str, ...]]:
    """For each base rate those before it on its path: it counts only where none of them does."""
    by_path: dict[str, list[str]] = {}
    earlier: dict[str, tuple[str, ...]] = {}
    for name, item in stratified.items():
        if item.kind in KINDS and KINDS[item.kind].first_counts:
            rates = by_path.setdefault(item.load_path, [])
            earlier[name] = tuple(rates)
            rates.append(name)
    return earlier


def _wanted(item: StratifiedRule, can_be_late: bool) -> set[LeafKey | str]:
    """What runs must show of one rule: one without tests stays quiet only if it can be late."""
    leaves = {leaf for branch in written(item) for leaf in branch}
    shown: set[LeafKey | str] = {"fires"}
    if leaves or can_be_late:
        shown.add("quiet")
    for leaf in leaves:
        shown |= {("carries", leaf), ("stops", leaf)}
    return shown
