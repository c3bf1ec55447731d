"""One rule with all that it depends on, as an engine of its own.

What a rule does depends only on the rules it reads, directly or through others; the order
of firing guarantees that.  Running those few instead of the whole base makes it cheap to
try every rule on its cases.  Rules that read the outcome of the belief step go through
the whole engine.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from walltriage.case.model import Answer
from walltriage.inference.engine.compile import Engine, PlainFact, answer_data
from walltriage.inference.engine.evaluate import Evaluation, Evaluator
from walltriage.inference.engine.strata import (
    BELIEF,
    StratifiedRule,
    conclusions,
    dependencies,
    stratify,
)


@dataclass(frozen=True, slots=True)
class ClosureRun:
    """What one run knew: the rules that fired, and all data, given and concluded.

    ``considered`` are the ids of the rules that had a chance to fire.
    """

    fired: frozenset[str]
    known: frozenset[PlainFact]
    considered: frozenset[str]


class RuleClosures:
    """Runs single rules of one knowledge base, and whole walls."""

    def __init__(self, evaluator: Evaluator) -> None:
        self.evaluator = evaluator
        self.stratified: dict[str, StratifiedRule] = {
            item.id: item for item in stratify(evaluator.base)
        }
        self._needs = dependencies(self.stratified.values())
        self._engines: dict[frozenset[str], Engine] = {}
        self._whole: dict[tuple[tuple[str, Answer], ...], ClosureRun] = {}

    def run(self, rule: str, answers: Mapping[str, Answer]) -> ClosureRun:
        """The rule on these answers."""
        ids = self.closure(rule)
        if BELIEF in ids:
            return self.whole(answers)
        if ids not in self._engines:
            stratified = [item for name, item in self.stratified.items() if name in ids]
            thresholds = dict(self.evaluator.base.guards.thresholds)
            self._engines[ids] = Engine(stratified, thresholds, _conclude)
        data = answer_data(answers)
        fired = [firing.rule for firing in self._engines[ids].run(data)]
        return self._told(fired, data, ids)

    def closure(self, rule: str) -> frozenset[str]:
        """The rule and all it depends on; a base rate also on those before it on its path."""
        found: set[str] = set()
        waiting = {rule}
        while waiting:
            name = waiting.pop()
            found.add(name)
            waiting |= self._needs[name] - found
        return frozenset(found)

    def whole(self, answers: Mapping[str, Answer]) -> ClosureRun:
        """All rules on these answers."""
        key = tuple(sorted(answers.items(), key=lambda pair: pair[0]))
        if key not in self._whole:
            self._whole[key] = self.of(self.evaluator.evaluate(answers), answers)
        return self._whole[key]

    def of(self, result: Evaluation, answers: Mapping[str, Answer]) -> ClosureRun:
        """A finished evaluation as a run."""
        data = [*answer_data(answers), *_believed(result)]
        fired = [firing.rule for firing in result.firings]
        return self._told(fired, data, frozenset(self.stratified))

    def _told(self, fired: list[str], data: Iterable[PlainFact], ids: frozenset[str]) -> ClosureRun:
        known = {*data}
        for name in fired:
            known |= {PlainFact(*fact) for fact in conclusions(self.stratified[name])}
        return ClosureRun(frozenset(fired), frozenset(known), ids)


def _conclude(item: StratifiedRule, matched: tuple[PlainFact, ...]) -> Iterable[PlainFact]:
    return tuple(PlainFact(*fact) for fact in conclusions(item))


def _believed(result: Evaluation) -> Iterable[PlainFact]:
    for name, state in result.paths.items():
        yield PlainFact("path", name, state.status)
        if state.seen_against:
            yield PlainFact("seen_against", name)
    for name, number in result.measures.items():
        yield PlainFact("measure", name, "", number)
