"""The tables of belief: what answers show of a condition, and conditions of a load path.

For one load path with states "bears" (B) and "does not" (N), the answers that tell of a
condition weigh ``10 log10( sum_g P(g|B) prod_i P(a_i|g) / sum_g P(g|N) prod_i P(a_i|g) )``
decibans, g running over the condition's states.  An answer's table is mixed toward what
anybody would say anyway, by how unreliable such reports are; a small share of the
condition's own table likewise, for the case that the whole condition was misread.  Weights
of evidence: Good 1985; the tree of conditions keeps answers that tell one thing from
counting twice.  How looks that took in only a part of the wall's top mix these is told in
``kernel``.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import NamedTuple

from walltriage.knowledge.base import KnowledgeBase, LoadPath
from walltriage.knowledge.schema import Clue, Given
from walltriage.knowledge.schema_guards import Reliability

TEN_LOG = 10.0


def decibans(numerator: float, denominator: float) -> float:
    """Ten times the base-10 logarithm of a ratio."""
    return TEN_LOG * (math.log10(numerator) - math.log10(denominator))


def logit_db(probability: float) -> float:
    """The odds of a probability in decibans."""
    return decibans(probability, 1 - probability)


def from_db(odds_db: float) -> float:
    """The probability with these odds in decibans."""
    return 1 / (1 + 10 ** (-odds_db / TEN_LOG))


class Reported(NamedTuple):
    """One answer as evidence: the clue that read it, the value, and how far to trust it."""

    clue: str
    condition: str
    value: str
    reliability: float


@dataclass(frozen=True, slots=True)
class Sides:
    """P(state | bears) and P(state | does not) for each state of a condition in order."""

    bearing: tuple[float, ...]
    not_bearing: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class ConditionTable:
    """One condition on one path: P(state | bears), P(state | not), and its clues' rows.

    ``rows[clue][value]`` is P(value | state) for each state in order; ``anyway[clue][value]``
    is its mean over the states.  ``where``: the sides that stand in
    place of these where a fact (name, value) of the situation holds, the first counting.
    ``in_part``: for each state, with what chances a look at a part of the wall's top shows it
    as each state.  ``ordered``: whether the states are a scale, from against to for.
    """

    bearing: tuple[float, ...]
    not_bearing: tuple[float, ...]
    rows: Mapping[str, Mapping[str, tuple[float, ...]]]
    anyway: Mapping[str, Mapping[str, float]]
    where: tuple[tuple[str, str, Sides], ...] = ()
    in_part: tuple[tuple[float, ...], ...] | None = None
    ordered: bool = True

    def every_sides(self) -> list[Sides]:
        """How often each state is met, in every situation: its own sides first."""
        return [Sides(self.bearing, self.not_bearing), *(sides for _, _, sides in self.where)]

    def likelihood(self, reported: Reported) -> tuple[float, ...]:
        """P(answer | state) for each state, reporter included."""
        keep = reported.reliability
        base = (1 - keep) * self.anyway[reported.clue][reported.value]
        return tuple([keep * cell + base for cell in self.rows[reported.clue][reported.value]])

    def weight(self, answers: Iterable[Reported]) -> float:
        """The condition's weight of evidence in decibans, from looks at the whole wall."""
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


def condition_table(path: LoadPath, name: str, reliability: Reliability) -> ConditionTable:
    """Work out one condition's probabilities from its natural frequencies."""
    condition, given = path.conditions[name]
    states = list(condition.states)
    sides = _sides(given, states, reliability.condition_misread)
    # what another path's file borrows, it counts for itself alone
    variants = condition.given_where if given is condition.given else ()
    usual = reliability.condition_misread
    where = tuple(
        (
            v.fact,
            v.value,
            _sides(v.given or given, states, usual if v.misread is None else v.misread),
        )
        for v in variants
    )
    rows = {clue.id: _rows(clue) for clue in path.clues[name]}
    anyway = {
        clue: {value: sum(row) / len(row) for value, row in by_value.items()}
        for clue, by_value in rows.items()
    }
    in_part = None
    if condition.seen_in_part:
        unseen = condition.seen_in_part
        in_part = tuple(_seen_as(state, states, unseen.get(state, {})) for state in states)
    return ConditionTable(
        sides.bearing, sides.not_bearing, rows, anyway, where, in_part, condition.ordered
    )


def _sides(given: Given, states: list[str], misread: float) -> Sides:
    bearing = [given.bearing[state] / 100 for state in states]
    not_bearing = [given.not_bearing[state] / 100 for state in states]
    common = [(b + n) / 2 for b, n in zip(bearing, not_bearing, strict=True)]
    return Sides(
        tuple((1 - misread) * b + misread * c for b, c in zip(bearing, common, strict=True)),
        tuple((1 - misread) * n + misread * c for n, c in zip(not_bearing, common, strict=True)),
    )


def _seen_as(state: str, states: list[str], unseen: Mapping[str, float]) -> tuple[float, ...]:
    """Chances that a look at a part of the top shows this state as each of the states."""
    missed = sum(unseen.values()) / 100
    return tuple(
        (1 - missed if other == state else 0.0) + unseen.get(other, 0.0) / 100 for other in states
    )


def _rows(clue: Clue) -> dict[str, tuple[float, ...]]:
    by_state = list(clue.shows.values())
    return {value: tuple(row[value] / 100 for row in by_state) for value in by_state[0]}


class Belief:
    """The tables of every load path, worked out once from the knowledge base."""

    def __init__(self, base: KnowledgeBase) -> None:
        self.tables: dict[str, dict[str, ConditionTable]] = {
            path.id: {
                name: condition_table(path, name, base.guards.reliability)
                for name in path.conditions
            }
            for path in base.paths.values()
        }
