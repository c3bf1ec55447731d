"""Conditions in short words, for messages and for people who look a rule up."""

from __future__ import annotations

from typing import Any

from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.terms import Branch, Leaf, branches
from walltriage.units import format_length


def term_words(base: KnowledgeBase, term: Any) -> str:
    """A whole condition: its alternatives joined by "or"."""
    alternatives = branches(term)
    if len(alternatives) == 1:
        return branch_words(base, alternatives[0])
    return " or ".join(f"({branch_words(base, branch)})" for branch in alternatives)


def branch_words(base: KnowledgeBase, branch: Branch) -> str:
    """Tests that must all hold, joined by "and"; "always" when there are none."""
    return " and ".join(leaf_words(base, leaf) for leaf in branch) or "always"


def leaf_words(base: KnowledgeBase, leaf: Leaf) -> str:
    """One test, such as ``not attic_seen in yes, partly`` or ``wall_length above 10 ft``."""
    test = leaf.name if leaf.family == "answer" else f"{leaf.family} {leaf.name}"
    if leaf.comparison is not None:
        test += f" {leaf.comparison.replace('_', ' ')} {_limit(base, leaf)}"
    elif len(leaf.values) == 1:
        test += f" is {leaf.values[0]}"
    elif leaf.values:
        test += f" in {', '.join(leaf.values)}"
    return f"not {test}" if leaf.negated else test


def _limit(base: KnowledgeBase, leaf: Leaf) -> str:
    if isinstance(leaf.limit, str):
        return leaf.limit
    number = float(leaf.limit or 0)
    if leaf.family == "answer" and base.questions[leaf.name].entry.answer == "length":
        return format_length(number)
    return f"{number:g}"
