"""What was seen that alone keeps a wall from "likely non-bearing", and the answers it rests on.

Such a wall hangs on a word or two: a slip there costs a visit, so it is worth a second look.
"""

from __future__ import annotations

from collections.abc import Sequence

from walltriage.inference.engine.compile import Firing
from walltriage.inference.engine.evaluate import Evaluation
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.terms import ASKED_OF

STOPS = ("gate", "guessed_sign")  # kinds of rules that withhold "non-bearing"


def seen_in_the_way(base: KnowledgeBase) -> Sequence[str]:
    """The stops that something seen puts there; none where the rules tell of no leaning."""
    return () if base.leaning is None else base.leaning.barred_by


def alone_in_the_way(base: KnowledgeBase, result: Evaluation) -> Firing | None:
    """The one stop before a wall whose chance to bear is under the mark; None for any other, and
    where it is no more than a look that is still wanted."""
    mark = base.guards.thresholds["non_bearing_at_most"]
    if result.verdict != "cannot_tell" or result.measures["upper_without_adverse"] > mark:
        return None
    stops = [firing for kind in STOPS for firing in result.fired(kind)]
    return stops[0] if len(stops) == 1 and stops[0].rule in seen_in_the_way(base) else None


def looks_behind(base: KnowledgeBase, firing: Firing, firings: Sequence[Firing]) -> set[str]:
    """The questions, answered by looking, whose answers made a rule fire, through facts too."""
    makers: dict[str, list[Firing]] = {}
    concludes = {rule.id: rule.concludes for rule in base.facts}
    for other in firings:
        for fact in concludes.get(other.rule, ()):
            makers.setdefault(fact, []).append(other)
    found: set[str] = set()
    left, seen = [firing], {firing.rule}
    while left:
        for known in left.pop().matched:
            if known.family in ASKED_OF:
                found.add(known.name)
            for maker in makers.get(known.name, ()) if known.family == "fact" else ():
                if maker.rule not in seen:
                    seen.add(maker.rule)
                    left.append(maker)
    return {q for q in found if base.questions[q].entry.kind in base.guards.seen_kinds}
