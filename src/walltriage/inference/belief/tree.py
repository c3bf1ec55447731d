"""Belief per load path: exact inference in a tree of conditions, findings and answers.

For one load path with states "bears" (B) and "does not" (N), each condition adds
``10 log10( sum_g P(g|B) prod_i P(a_i|g) / sum_g P(g|N) prod_i P(a_i|g) )`` decibans,
g running over its states.  An answer's table is mixed toward what anybody would say
anyway, by how unreliable such reports are; a small share of the condition's own table
likewise, for the case that the whole condition was misread.  Weights of evidence: Good
1985; the tree of conditions keeps answers that tell one thing from counting twice.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from walltriage.knowledge.base import KnowledgeBase, LoadPath
from walltriage.knowledge.schema import Clue

TEN_LOG = 10.0
LEAST = 1e-9  # no chance is taken to be nearer to 0 or 1


def decibans(numerator: float, denominator: float) -> float:
    """Ten times the base-10 logarithm of a ratio."""
    return TEN_LOG * (math.log10(numerator) - math.log10(denominator))


def logit_db(probability: float) -> float:
    """The odds of a probability in decibans."""
    return decibans(probability, 1 - probability)


def from_db(odds_db: float) -> float:
    """The probability with these odds in decibans."""
    return 1 / (1 + 10 ** (-odds_db / TEN_LOG))


@dataclass(frozen=True, slots=True)
class Reported:
    """One answer as evidence: the clue that read it, the value, and how far to trust it."""

    clue: str
    condition: str
    value: str
    reliability: float


@dataclass(frozen=True, slots=True)
class ConditionTable:
    """One condition on one path: P(state | bears), P(state | not), and its clues' rows.

    ``rows[clue][value]`` is P(value | state) for each state in order;
    ``anyway[clue][value]`` is its mean over the states.
    """

    bearing: tuple[float, ...]
    not_bearing: tuple[float, ...]
    rows: Mapping[str, Mapping[str, tuple[float, ...]]]
    anyway: Mapping[str, Mapping[str, float]]

    def likelihood(self, reported: Reported) -> tuple[float, ...]:
        """P(answer | state) for each state, reporter included."""
        keep = reported.reliability
        base = (1 - keep) * self.anyway[reported.clue][reported.value]
        return tuple(keep * cell + base for cell in self.rows[reported.clue][reported.value])

    def weight(self, answers: Iterable[Reported]) -> float:
        """The condition's weight of evidence in decibans."""
        joint = self.joint(answers)
        return decibans(
            sum(p * j for p, j in zip(self.bearing, joint, strict=True)),
            sum(p * j for p, j in zip(self.not_bearing, joint, strict=True)),
        )

    def joint(self, answers: Iterable[Reported]) -> tuple[float, ...]:
        """P(all answers | state) for each state."""
        joint = (1.0,) * len(self.bearing)
        for reported in answers:
            likelihood = self.likelihood(reported)
            joint = tuple(a * b for a, b in zip(joint, likelihood, strict=True))
        return joint


def condition_table(path: LoadPath, name: str, misread: float) -> ConditionTable:
    """Work out one condition's probabilities from its natural frequencies."""
    condition, given = path.conditions[name]
    bearing = [given.bearing[state] / 100 for state in condition.states]
    not_bearing = [given.not_bearing[state] / 100 for state in condition.states]
    common = [(b + n) / 2 for b, n in zip(bearing, not_bearing, strict=True)]
    clues = path.clues[name]
    rows = {clue.id: _rows(clue) for clue in clues}
    return ConditionTable(
        tuple((1 - misread) * b + misread * c for b, c in zip(bearing, common, strict=True)),
        tuple((1 - misread) * n + misread * c for n, c in zip(not_bearing, common, strict=True)),
        rows,
        {c: {v: sum(r) / len(r) for v, r in by_value.items()} for c, by_value in rows.items()},
    )


def _rows(clue: Clue) -> dict[str, tuple[float, ...]]:
    by_state = list(clue.shows.values())
    return {value: tuple(row[value] / 100 for row in by_state) for value in by_state[0]}


class Belief:
    """The tables of every load path, worked out once from the knowledge base."""

    def __init__(self, base: KnowledgeBase) -> None:
        misread = base.guards.reliability.condition_misread
        self.tables: dict[str, dict[str, ConditionTable]] = {
            path.id: {name: condition_table(path, name, misread) for name in path.conditions}
            for path in base.paths.values()
        }

    def weights(self, path: str, answers: Iterable[Reported]) -> dict[str, float]:
        """Decibans by condition, for the conditions that have an answer."""
        grouped: dict[str, list[Reported]] = {}
        for reported in answers:
            if reported.condition in self.tables[path]:
                grouped.setdefault(reported.condition, []).append(reported)
        tables = self.tables[path]
        return {name: tables[name].weight(given) for name, given in grouped.items()}

    def shares(
        self, path: str, condition: str, answers: list[Reported]
    ) -> list[tuple[Reported, float]]:
        """Split a condition's weight over its answers; the parts add up to the whole.

        The strongest answer counts in full; each further one adds what it changes.
        """
        table = self.tables[path][condition]
        ranked = sorted(answers, key=lambda r: (-abs(table.weight([r])), r.clue))
        parts, before = [], 0.0
        for index, reported in enumerate(ranked):
            now = table.weight(ranked[: index + 1])
            parts.append((reported, now - before))
            before = now
        return parts


def interval(lows: Iterable[float], highs: Iterable[float]) -> tuple[float, float]:
    """Bounds for "at least one path bears" that assume nothing about dependence (Frechet)."""
    return max(lows, default=0.0), min(1.0, sum(highs))


def middle(bounds: Iterable[tuple[float, float]]) -> float:
    """One chance for "at least one path bears": each path at the geometric middle of its odds.

    Paths count as independent; a figure to lean by, calibrated in ``docs/method.md``, never
    one to say "non-bearing" by.
    """
    none = 1.0
    for low, high in bounds:
        odds = math.sqrt(_odds(low) * _odds(high))
        none *= 1.0 / (1.0 + odds)
    return 1.0 - none


def _odds(chance: float) -> float:
    kept = min(max(chance, LEAST), 1.0 - LEAST)
    return kept / (1.0 - kept)
