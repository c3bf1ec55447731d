"""What the questions could settle at best: paths that nothing can rule out or establish."""

from __future__ import annotations

from collections.abc import Iterator

from walltriage.errors import Problem
from walltriage.inference.belief.extremes import path_least, path_most, posterior
from walltriage.inference.belief.tree import Belief
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.lints.model import at, lint


def _left_open(base: KnowledgeBase) -> Iterator[tuple[str, list[tuple[str, float]], int]]:
    """(path, base rates with what is left at best where too much is, how many rates)."""
    belief, mark = Belief(base), base.guards.thresholds["path_ruled_out_at_most"]
    kinds = {question.entry.kind for question in base.questions.values()}
    for path in base.paths.values():
        weight = path_least(base, belief, path.id, kinds)
        rates = [rate for rate in path.entry.base_rates if rate.status != "retired"]
        left = [(rate.id, posterior(rate, weight)[1]) for rate in rates]
        yield path.id, [(name, high) for name, high in left if high > mark], len(left)


@lint("error", "add a condition or clue that speaks against it, or fix the base rate")
def cannot_rule_out(base: KnowledgeBase) -> Iterator[Problem]:
    """Paths that stay open in every situation though every answer speaks against them."""
    for path, open_rates, count in _left_open(base):
        if len(open_rates) == count:
            best = min(high for _, high in open_rates)
            yield at(base, f"no answers rule out '{path}': at best {best:.2%} is left", path)


@lint(
    "warning", "leave it so where such walls should never be called non-bearing, else fix the rate"
)
def stays_open_from(base: KnowledgeBase) -> Iterator[Problem]:
    """Situations in which a path cannot be ruled out, though in others it can."""
    for path, open_rates, count in _left_open(base):
        if len(open_rates) < count:
            for name, high in open_rates:
                what = f"from '{name}' no answers rule out '{path}': at best {high:.2%} is left"
                yield at(base, what, name, "in_100")


@lint("error", "add a decisive sign, or clues that speak for it")
def cannot_establish(base: KnowledgeBase) -> Iterator[Problem]:
    """Paths without a sign that stay open though every answer speaks for them."""
    belief, mark = Belief(base), base.guards.thresholds["path_established_at_least"]
    for path in base.paths.values():
        if any(sign.status != "retired" for sign in path.entry.signs):
            continue
        weight = path_most(base, belief, path.id)
        rates = [rate for rate in path.entry.base_rates if rate.status != "retired"]
        reached = max(posterior(rate, weight)[0] for rate in rates)
        if reached < mark:
            what = f"no answers establish '{path.id}': at best {reached:.0%}, under {mark:.0%}"
            yield at(base, what, path.id)
