"""By which questions a condition could still come to hold.

A condition has as many ways as it has alternatives, and a derived fact as many as the rules that
conclude it.  A way is shut once an answer on it came out otherwise, or nobody can give one any
more; what only leads along shut ways need not be asked for its sake.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from walltriage.inference.columns.codes import FIRST_VALUE, NOT_ASKED, Batch, Bools, Coder
from walltriage.inference.columns.rules import COMPARE
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.terms import Branch, Leaf, branches

MOST_DEEP = 4  # facts that rest on facts; further down every way counts as open


class LiveWays:
    """Follows the ways to conditions of one knowledge base through what was told."""

    def __init__(self, base: KnowledgeBase, coder: Coder) -> None:
        self._coder = coder
        self._ways: dict[tuple[str, str], list[Branch]] = {}
        for rule in base.facts:
            for name, value in rule.concludes.items():
                self._ways.setdefault((name, value), []).extend(branches(rule.when))

    def to_fact(self, fact: Leaf, told: Batch, left: Bools) -> Bools:
        """The questions (n, q) of those ``left`` on a way to ``fact`` that is not shut."""
        found = np.zeros(left.shape, bool)
        self._follow(fact, told, left, found, 0)
        return found & left

    def to_any(self, ways: Iterable[Branch], told: Batch, left: Bools) -> Bools:
        """The questions (n, q) of those ``left`` on one of these ways that is not shut."""
        found = np.zeros(left.shape, bool)
        for way in ways:
            self._along(way, told, left, found, 0)
        return found & left

    def may_hold(self, ways: Iterable[Branch], told: Batch) -> Bools:
        """Where a condition with these ways holds (n,), or could, whoever answered the rest."""
        left = np.ones(told.codes.shape, bool)
        still = [self._along(way, told, left, np.zeros_like(left), 0) for way in ways]
        found: Bools = np.logical_or.reduce(still)
        return found

    def _follow(self, fact: Leaf, told: Batch, left: Bools, found: Bools, depth: int) -> Bools:
        """Note in ``found`` (n, q) what leads to ``fact``; where any way is open (n,)."""
        some = np.zeros(len(left), bool)
        for (name, value), ways in self._ways.items():
            if name == fact.name and (not fact.values or value in fact.values):
                for way in ways:
                    some |= self._along(way, told, left, found, depth)
        return some

    def _along(self, way: Branch, told: Batch, left: Bools, found: Bools, depth: int) -> Bools:
        """Where one way is open (n,); what is asked along it is noted in ``found`` there."""
        still, here = np.ones(len(left), bool), np.zeros(left.shape, bool)
        for leaf in way:
            if leaf.family in ("answer", "answered"):
                column = self._coder.column[leaf.name]
                here[:, column] = True
                still &= self._may_hold(leaf, column, told, left[:, column])
            elif leaf.family == "fact" and not leaf.negated and depth < MOST_DEEP:
                still &= self._follow(leaf, told, left, here, depth + 1)
        found |= here & still[:, None]
        return still

    def _may_hold(self, leaf: Leaf, column: int, told: Batch, left: Bools) -> Bools:
        """Where a test of an answer holds (n,), or could once the answer is given."""
        codes = told.codes[:, column]
        if leaf.comparison is not None:
            number = told.numbers[:, self._coder.number_column[leaf.name]]
            met = COMPARE[leaf.comparison](number, float(leaf.limit or 0))
        elif leaf.family == "answered":
            met = codes >= FIRST_VALUE
        elif leaf.values:
            met = np.isin(codes, [self._coder.code_of(leaf.name, v) for v in leaf.values])
        else:
            met = codes != NOT_ASKED
        if leaf.negated:
            kept: Bools = (codes == NOT_ASKED) | ~met
            return kept
        held: Bools = np.where(codes == NOT_ASKED, left, met)
        return held


def facts_to_hold(when: Iterable[Branch]) -> list[Leaf]:
    """The facts that would have to come to hold for a condition to let go."""
    return list(dict.fromkeys(x for branch in when for x in branch
                              if x.family == "fact" and x.negated))  # fmt: skip
