"""Which questions a condition reads, directly or through derived facts."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.terms import ASKED_OF, branches


def questions_of(term: Any, behind: Mapping[str, set[str]]) -> set[str]:
    """The questions a condition reads; ``behind`` is what :func:`questions_behind` gives."""
    asked, facts = _named(term)
    return asked.union(*(behind.get(name, set()) for name in facts))


def questions_behind(base: KnowledgeBase) -> dict[str, set[str]]:
    """The questions behind each derived fact; circles among facts come to rest."""
    reads = [(rule.concludes, *_named(rule.when)) for rule in base.facts]
    behind: dict[str, set[str]] = {name: set() for concludes, *_ in reads for name in concludes}
    for _ in range(len(reads) + 1):
        before = {name: len(found) for name, found in behind.items()}
        for concludes, asked, facts in reads:
            found = asked.union(*(behind.get(name, set()) for name in facts))
            for name in concludes:
                behind[name] |= found
        if all(before[name] == len(found) for name, found in behind.items()):
            break
    return behind


def _named(term: Any) -> tuple[set[str], set[str]]:
    """The questions and the facts that a condition names."""
    leaves = [leaf for branch in branches(term) for leaf in branch]
    asked = {leaf.name for leaf in leaves if leaf.family in ASKED_OF}
    return asked, {leaf.name for leaf in leaves if leaf.family == "fact"}


def belief_facts(base: KnowledgeBase) -> set[str]:
    """The facts of the situation that the belief reads."""
    partial = base.guards.partial_look
    given = (c for path in base.paths.values() for c in path.entry.conditions)
    found = {variant.fact for condition in given for variant in condition.given_where}
    return found | ({partial.fact} if partial else set())
