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

CODES = 256  # of answers, a byte each
MOST_DEEP = 4  # facts that rest on facts; further down every way counts as open


class LiveWays:
    """Follows the ways to conditions of one knowledge base through what was told."""

    def __init__(self, base: KnowledgeBase, coder: Coder) -> None:
        self._coder = coder
        self._ways: dict[tuple[str, str], list[Branch]] = {}
        for rule in base.facts:
            for name, value in rule.concludes.items():
                self._ways.setdefault((name, value), []).extend(branches(rule.when))
        # what is looked up for each wall anew, worked out when it is first needed
        self._leading: dict[Leaf, list[Branch]] = {}
        self._held: dict[Leaf, Bools] = {}

    def to_fact(self, fact: Leaf, told: Batch, left: Bools) -> Bools:
        """The questions (n, q) of those ``left`` on a way to ``fact`` that is not shut."""
        return self.to_any(self._ways_to(fact), told, left)

    def to_any(self, ways: Iterable[Branch], told: Batch, left: Bools) -> Bools:
        """The questions (n, q) of those ``left`` on one of these ways that is not shut."""
        found = np.zeros(left.shape, bool)
        for way in ways:
            self._along(way, told, left, found, 0)
        return found & left

    def may_hold(self, ways: Iterable[Branch], told: Batch) -> Bools:
        """Where a condition with these ways holds (n,), or could, whoever answered the rest."""
        left, asked = np.ones(told.codes.shape, bool), np.zeros(told.codes.shape, bool)
        still = [self._along(way, told, left, asked, 0) for way in ways]
        found: Bools = np.logical_or.reduce(still)
        return found

    def _ways_to(self, fact: Leaf) -> list[Branch]:
        """The ways of all rules that conclude what a test of a fact asks for."""
        found = self._leading.get(fact)
        if found is None:
            found = self._leading[fact] = [
                way
                for (name, value), ways in self._ways.items()
                if name == fact.name and (not fact.values or value in fact.values)
                for way in ways
            ]
        return found

    def _along(self, way: Branch, told: Batch, left: Bools, found: Bools, depth: int) -> Bools:
        """Where one way is open (n,); what is asked along it is noted in ``found`` there."""
        still, here = np.ones(len(left), bool), np.zeros(left.shape, bool)
        for leaf in way:
            if leaf.family in ("answer", "answered"):
                column = self._coder.column[leaf.name]
                here[:, column] = True
                still &= self._may_hold(leaf, column, told, left[:, column])
            elif leaf.family == "fact" and not leaf.negated and depth < MOST_DEEP:
                some = np.zeros(len(left), bool)
                for inner in self._ways_to(leaf):
                    some |= self._along(inner, told, left, here, depth + 1)
                still &= some
        found |= here & still[:, None]
        return still

    def _may_hold(self, leaf: Leaf, column: int, told: Batch, left: Bools) -> Bools:
        """Where a test of an answer holds (n,), or could once the answer is given."""
        codes = told.codes[:, column]
        not_asked = codes == NOT_ASKED
        if leaf.comparison is not None:
            number = told.numbers[:, self._coder.number_column[leaf.name]]
            met = COMPARE[leaf.comparison](number, float(leaf.limit or 0))
        else:
            met = self._met(leaf).take(codes)
        held: Bools = not_asked | ~met if leaf.negated else np.where(not_asked, left, met)
        return held

    def _met(self, leaf: Leaf) -> Bools:
        """Whether a test is met, its "not" aside, by code of the answer (codes,)."""
        found = self._held.get(leaf)
        if found is None:
            codes = np.arange(CODES)
            if leaf.family == "answered":
                found = codes >= FIRST_VALUE
            elif leaf.values:
                found = np.isin(codes, [self._coder.code_of(leaf.name, v) for v in leaf.values])
            else:
                found = codes != NOT_ASKED
            self._held[leaf] = found
        return found


def facts_to_hold(when: Iterable[Branch]) -> list[Leaf]:
    """The facts that would have to come to hold for a condition to let go."""
    return list(dict.fromkeys(x for branch in when for x in branch
                              if x.family == "fact" and x.negated))  # fmt: skip
