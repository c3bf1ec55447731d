"""What alone keeps a wall from "likely non-bearing", and the answers it rests on.

Such a wall hangs on a word or two: a slip there, or a guess, costs a visit, so it is worth a second
look.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from walltriage.case.model import Answer
from walltriage.inference.engine.compile import Firing
from walltriage.inference.engine.evaluate import Evaluation
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.reads import questions_behind, questions_of
from walltriage.knowledge.terms import ASKED_OF

STOPS = ("gate", "guessed_sign")  # kinds of rules that withhold "non-bearing"


def seen_in_the_way(base: KnowledgeBase) -> Sequence[str]:
    """The stops that something seen puts there; none where the rules tell of no leaning."""
    return () if base.leaning is None else base.leaning.barred_by


def alone_in_the_way(base: KnowledgeBase, result: Evaluation) -> Firing | None:
    """The one stop before a wall whose chance to bear is under the mark; None for any other."""
    mark = base.guards.thresholds["non_bearing_at_most"]
    if result.verdict != "cannot_tell" or result.measures["upper_without_adverse"] > mark:
        return None
    stops = [firing for kind in STOPS for firing in result.fired(kind)]
    return stops[0] if len(stops) == 1 else None


def looks_behind(
    base: KnowledgeBase,
    stop: Firing,
    firings: Sequence[Firing],
    answers: Mapping[str, Answer],
) -> set[str]:
    """The questions, answered by looking, whose answers a second look at a stop asks for anew.

    Where something seen puts the stop there, what made it fire, through facts too; and always a
    guess that its condition reads, since what lifts a stop may not be guessed.  None where no more
    than a look is still wanted.
    """
    found = _told_behind(base, stop, firings) if stop.rule in seen_in_the_way(base) else set()
    found |= {q for q in _read_by(base, stop.rule) if q in answers and answers[q].sure == "guess"}
    return {q for q in found if base.questions[q].entry.kind in base.guards.seen_kinds}


def _told_behind(base: KnowledgeBase, stop: Firing, firings: Sequence[Firing]) -> set[str]:
    makers: dict[str, list[Firing]] = {}
    concludes = {rule.id: rule.concludes for rule in base.facts}
    for other in firings:
        for fact in concludes.get(other.rule, ()):
            makers.setdefault(fact, []).append(other)
    found: set[str] = set()
    left, seen = [stop], {stop.rule}
    while left:
        for known in left.pop().matched:
            if known.family in ASKED_OF:
                found.add(known.name)
            for maker in makers.get(known.name, ()) if known.family == "fact" else ():
                if maker.rule not in seen:
                    seen.add(maker.rule)
                    left.append(maker)
    return found


def _read_by(base: KnowledgeBase, stop: str) -> set[str]:
    """The questions that the condition of a gate reads; none of any other stop."""
    gate = next((gate for gate in base.guards.gates if gate.id == stop), None)
    return set() if gate is None else questions_of(gate.when, questions_behind(base))
