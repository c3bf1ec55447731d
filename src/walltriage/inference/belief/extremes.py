"""The least and the most that a condition can weigh, over all answers to its clues.

An answer's likelihood over the states is a mixture of the table's row and a constant, by
its reliability.  With the other answers held, the condition's ratio moves one way as the
reliability grows, so the extremes lie at no answer or at the most reliable one.  Where
every effective table is totally positive of order 2, the first answer of a clue weighs
least and the last most whatever the others say (Karlin 1968: sums over states keep the
order), so that the extremes of the whole condition are reached by the first, or the
last, answer of every clue at once.  Of conditions whose states are no scale the answers
that weigh least alone are taken: a near thing, and no bound.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from itertools import product

from walltriage.case.model import DEGREES
from walltriage.inference.belief.step import rate_odds
from walltriage.inference.belief.tree import Belief, ConditionTable, Reported, from_db
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.schema import BaseRate, Clue


def reliabilities(base: KnowledgeBase, question: str) -> list[float]:
    """Every reliability an answer to this question can have, lowest first."""
    kind = base.questions[question].entry.kind
    return sorted({base.guards.reliability.trust(kind, sure) for sure in DEGREES})


def live_clues(base: KnowledgeBase, path: str, condition: str) -> list[Clue]:
    """The clues of a condition that are in use."""
    return [c for c in base.paths[path].clues[condition] if c.status != "retired"]


def answers_of(base: KnowledgeBase, clue: Clue) -> list[Reported]:
    """Each answer to a clue, as reliable as it can be, from against to for."""
    trust = reliabilities(base, clue.question)[-1]
    values = next(iter(clue.shows.values()))
    return [Reported(clue.id, clue.condition, value, trust) for value in values]


def least(base: KnowledgeBase, table: ConditionTable, clues: Iterable[Clue]) -> float:
    """The condition's weight in decibans when every clue speaks against as much as it can."""
    return table.weight([_by_weight(base, table, clue)[0] for clue in clues])


def most(base: KnowledgeBase, table: ConditionTable, clues: Iterable[Clue]) -> float:
    """The condition's weight in decibans when every clue speaks for as much as it can."""
    return table.weight([_by_weight(base, table, clue)[-1] for clue in clues])


def _by_weight(base: KnowledgeBase, table: ConditionTable, clue: Clue) -> list[Reported]:
    """A clue's answers from the one that weighs least; on a scale that is their own order."""
    answers = answers_of(base, clue)
    return answers if table.ordered else sorted(answers, key=lambda a: table.weight([a]))


def posterior(rate: BaseRate, weight_db: float) -> tuple[float, float]:
    """Lowest and highest posterior from a base rate's interval and a weight of evidence."""
    low, high = (10 * math.log10(odds) for odds in rate_odds(rate))
    return from_db(low + weight_db), from_db(high + weight_db)


def path_least(base: KnowledgeBase, belief: Belief, path: str, kinds: Iterable[str]) -> float:
    """The lowest weight of a whole path by answers to questions of these kinds only."""
    wanted = set(kinds)
    total = 0.0
    for name, table in belief.tables[path].items():
        clues = [c for c in live_clues(base, path, name) if _kind(base, c) in wanted]
        total += least(base, table, clues)
    return total


def path_most(base: KnowledgeBase, belief: Belief, path: str) -> float:
    """The highest weight of a whole path."""
    return sum(
        most(base, table, live_clues(base, path, name))
        for name, table in belief.tables[path].items()
    )


def _kind(base: KnowledgeBase, clue: Clue) -> str:
    return base.questions[clue.question].entry.kind


def combinations(base: KnowledgeBase, clues: list[Clue]) -> Iterator[tuple[Reported | None, ...]]:
    """Every way to answer the clues, each left open (None) or answered."""
    yield from product(*([None, *answers_of(base, clue)] for clue in clues))


def effective_rows(table: ConditionTable, clue: Clue, reliability: float) -> list[list[float]]:
    """P(answer | state) with the reporter mixed in: one row a state."""
    values = next(iter(clue.shows.values()))
    columns = [
        table.likelihood(Reported(clue.id, clue.condition, value, reliability)) for value in values
    ]
    return [list(row) for row in zip(*columns, strict=True)]
