"""Which questions a condition reads, directly or through derived facts."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.terms import ASKED_OF, branches


def questions_of(term: Any, behind: Mapping[str, set[str]]) -> set[str]:
    """The questions a condition reads; ``behind`` is what :func:`questions_behind` gives."""
    found: set[str] = set()
    for leaf in {leaf for branch in branches(term) for leaf in branch}:
        if leaf.family in ASKED_OF:
            found.add(leaf.name)
        elif leaf.family == "fact":
            found |= behind.get(leaf.name, set())
    return found


def questions_behind(base: KnowledgeBase) -> dict[str, set[str]]:
    """The questions behind each derived fact; circles among facts come to rest."""
    behind: dict[str, set[str]] = {name: set() for rule in base.facts for name in rule.concludes}
    for _ in range(len(base.facts) + 1):
        before = {name: set(found) for name, found in behind.items()}
        for rule in base.facts:
            for name in rule.concludes:
                behind[name] |= questions_of(rule.when, behind)
        if before == behind:
            break
    return behind


def belief_facts(base: KnowledgeBase) -> set[str]:
    """The facts of the situation that the belief reads."""
    partial = base.guards.partial_look
    given = (c for path in base.paths.values() for c in path.entry.conditions)
    found = {variant.fact for condition in given for variant in condition.given_where}
    return found | ({partial.fact} if partial else set())
