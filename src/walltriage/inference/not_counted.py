"""Answers that changed nothing, each with the reason: no answer is passed over unsaid."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from walltriage.case.model import LESS_SURE, Answer
from walltriage.inference.engine.evaluate import Evaluation, Evaluator
from walltriage.inference.finding import NotCounted
from walltriage.inference.numbers.computed import has_distances
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.condition_text import term_words
from walltriage.knowledge.terms import ASKED_OF, Branch, Leaf

_ASKED_ONLY = "it is asked only where {where}"
_COUNTS_ONLY = "it counts only where {where}"
_NOTHING_TURNS = "no rule that holds here turns on this answer"


def not_counted(
    evaluator: Evaluator, result: Evaluation, answers: Mapping[str, Answer]
) -> tuple[NotCounted, ...]:
    """Every real answer that no fired rule used and no measurement needed, in order.

    "I don't know" and what the program worked out itself are left out: they say nothing.
    """
    base = evaluator.base
    used = _used(evaluator, result, answers)
    applicable = evaluator.applicable(result)
    found = []
    for name, answer in answers.items():
        if not answer.is_real or base.questions[name].entry.kind == "computed" or name in used:
            continue
        because = _because(base, name, name in applicable)
        found.append(NotCounted(name, answer.given or answer.value, because))
    return tuple(found)


def _used(
    evaluator: Evaluator, result: Evaluation, answers: Mapping[str, Answer]
) -> frozenset[str]:
    """Questions whose answers a fired rule rests on, followed through facts."""
    base, ways = evaluator.base, evaluator.ways
    used = set(_measured(base) if has_distances(base, answers) else ())
    for firing in result.firings:
        if firing.kind == "question":
            continue  # an answer that only steers what is asked counts for nothing itself
        for known in firing.matched:
            if known.family in ASKED_OF:
                used.add(known.name)
    for firing in result.firings:
        if firing.kind != "question" and firing.rule in ways:
            used |= _asked_not_to_hold(ways[firing.rule], evaluator.behind)
    fired = {firing.rule for firing in result.firings}
    for name, branches in ways.items():
        if name not in fired:
            used |= _keeping_quiet(branches, answers)
    return frozenset(used)


def _keeping_quiet(branches: Iterable[Branch], answers: Mapping[str, Answer]) -> set[str]:
    """Questions whose answers keep a rule quiet that asks for them not to be, where the answers it
    asks for are given."""
    found: set[str] = set()
    for branch in branches:
        if all(_met(leaf, answers) for leaf in branch if not leaf.negated):
            held = (leaf for leaf in branch if leaf.negated and leaf.name in answers)
            found |= {leaf.name for leaf in held if _met(leaf, answers)}
    return found


def _met(leaf: Leaf, answers: Mapping[str, Answer]) -> bool:
    """Whether the answers meet a test, its "not" aside; what reads no answer is taken as met."""
    if leaf.family not in ASKED_OF:
        return True
    answer = answers.get(leaf.name)
    if answer is None:
        return False
    if leaf.family in LESS_SURE:
        return answer.is_real and answer.sure in LESS_SURE[leaf.family]
    return leaf.holds_for(answer.value, answer.number)


def _asked_not_to_hold(branches: Iterable[Branch], behind: Mapping[str, set[str]]) -> set[str]:
    """Questions under a "not": they match no data, and are no less used for it."""
    found: set[str] = set()
    for leaf in (leaf for branch in branches for leaf in branch if leaf.negated):
        if leaf.family in ASKED_OF:
            found.add(leaf.name)
        elif leaf.family == "fact":
            found |= behind[leaf.name]
    return found


def _measured(base: KnowledgeBase) -> Iterator[str]:
    for readings in base.measures.inputs.values():
        for reading in readings:
            yield reading.question
            yield from reading.only_with


def _because(base: KnowledgeBase, name: str, applies: bool) -> str:
    entry = base.questions[name].entry
    if not applies:
        return _ASKED_ONLY.format(where=term_words(base, entry.applies))
    conditions = [clue.when for clue in base.clues() if clue.question == name and clue.when]
    if conditions:
        return _COUNTS_ONLY.format(where=" or ".join(term_words(base, w) for w in conditions))
    return _NOTHING_TURNS
