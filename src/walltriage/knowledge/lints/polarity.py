"""Not knowing may never speak for "non-bearing".

The rules that concede it are the verdict itself, base rates lower than a later one, and
what those read.  Each is followed down to answers; at every step it is known whether a
test helps to concede or hinders it.
"""

from __future__ import annotations

from collections.abc import Iterator

from walltriage.errors import Problem
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.lints.model import at, lint
from walltriage.knowledge.rule_kinds import concluding
from walltriage.knowledge.schema import Rule
from walltriage.knowledge.terms import NO_ANSWER, Leaf, placed_leaves


class _Follower:
    """Follows rules from what concedes down to answers, each once for each direction."""

    def __init__(self, base: KnowledgeBase) -> None:
        self._base = base
        self._met: set[tuple[str, bool]] = set()
        self._rules = [(kind, r) for kind, r in base.rules() if r.status != "retired"]

    def follow(self, rule: Rule, concedes: bool, lenient: bool = False) -> Iterator[Problem]:
        """Findings in one rule; ``concedes``: its firing helps, else its staying quiet does.

        ``lenient`` passes over tests that hold for want of an answer: a clue needs an
        answer of its own besides.
        """
        if (rule.id, concedes) in self._met:
            return
        self._met.add((rule.id, concedes))
        for where, leaf in placed_leaves(getattr(rule, "when", None)):
            helps = concedes != leaf.negated
            knowable = leaf.family in ("answer", "answered", "fact")
            if leaf.family in ("answer", "answered") and helps and _takes_no_answer(leaf):
                what = f"'{rule.id}' lets not knowing '{leaf.name}' speak for non-bearing"
                yield at(self._base, what, rule.id, "when", *where)
            elif knowable and leaf.negated and concedes and not lenient:
                what = f"'{rule.id}' concedes as long as nobody knows '{leaf.name}'"
                yield at(self._base, what, rule.id, "when", *where)
            for below in concluding(self._rules, leaf):
                yield from self.follow(below, helps, lenient)


def _takes_no_answer(leaf: Leaf) -> bool:
    if leaf.comparison is not None:
        return False
    return any(leaf.holds_for(word, None) for word in NO_ANSWER)


@lint("error", "ask for a definite answer here: not knowing may weigh nothing or toward bearing")
def dont_know_concedes(base: KnowledgeBase) -> Iterator[Problem]:
    """Tests by which "don't know" or "can't get there" would lead to non-bearing."""
    follower = _Follower(base)
    for verdict in base.guards.verdicts:
        if verdict.concludes == "likely_non_bearing" and verdict.status != "retired":
            yield from follower.follow(verdict, concedes=True)
    for path in base.paths.values():
        rates = [rate for rate in path.entry.base_rates if rate.status != "retired"]
        for index, rate in enumerate(rates):
            if any(later.in_100[1] > rate.in_100[1] for later in rates[index + 1 :]):
                yield from follower.follow(rate, concedes=True)
    for clue in base.clues():
        if clue.status != "retired":
            yield from follower.follow(clue, concedes=True, lenient=True)


@lint("error", "name real answers only, or not knowing alone")
def dont_know_speaks(base: KnowledgeBase) -> Iterator[Problem]:
    """Tests for which not knowing counts like some real answer to the same question."""
    for _, rule in base.rules():
        for where, leaf in placed_leaves(getattr(rule, "when", None)):
            named = set(leaf.values)
            if leaf.family == "answer" and named & set(NO_ANSWER) and named - set(NO_ANSWER):
                what = f"'{rule.id}' takes not knowing '{leaf.name}' for a real answer"
                yield at(base, what, rule.id, "when", *where)


@lint("error", "let the rate for an unknown situation reach as high as any other")
def unknown_is_lower(base: KnowledgeBase) -> Iterator[Problem]:
    """Paths whose rate for an unknown situation reaches less high than that for a known one."""
    for path in base.paths.values():
        rates = [rate for rate in path.entry.base_rates if rate.status != "retired"]
        *known, unknown = rates
        for rate in known:
            if rate.in_100[1] > unknown.in_100[1]:
                what = f"'{unknown.id}' ends under '{rate.id}', though nothing is known"
                yield at(base, what, unknown.id, "in_100")
