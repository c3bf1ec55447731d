"""Orders and counts of the tables as they are written."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from walltriage.errors import Problem
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.lints.model import at, lint
from walltriage.knowledge.schema import Clue

TOLERANCE = 1e-9
LEAST_DECIBANS = 0.5  # a clue all of whose answers weigh less tells nothing
MOST_RATIO = 90  # between states; an answer that tells more is a decisive sign or overrated

Rows = Sequence[Sequence[float]]


def falling_minor(rows: Rows) -> tuple[int, int] | None:
    """(row, column) of the first adjacent 2x2 minor below 0, or None.

    With every cell positive, all adjacent minors at least 0 make all minors so
    (Karlin 1968): the table is totally positive of order 2.
    """
    for i, (upper, lower) in enumerate(pairwise(rows)):
        for j in range(len(upper) - 1):
            if upper[j] * lower[j + 1] - upper[j + 1] * lower[j] < -TOLERANCE:
                return i, j
    return None


def by_ratio(rows: Rows, names: Sequence[str]) -> list[str]:
    """The columns in the order of how much the last row favours them over the first."""
    ratio = {name: rows[-1][i] / rows[0][i] for i, name in enumerate(names)}
    return sorted(names, key=lambda name: ratio[name])


def clue_rows(clue: Clue) -> tuple[list[str], list[str], list[list[float]]]:
    """States, answers and counts of a clue."""
    states = list(clue.shows)
    answers = list(clue.shows[states[0]])
    return states, answers, [[clue.shows[s][a] for a in answers] for s in states]


def _on_a_scale(base: KnowledgeBase) -> Iterator[Clue]:
    """The clues of conditions whose states are a scale."""
    for path in base.paths.values():
        scales = {condition.id for condition in path.entry.conditions if condition.ordered}
        yield from (clue for clue in path.entry.clues if clue.condition in scales)


def _givens(base: KnowledgeBase) -> Iterator[tuple[str, str, list[str], list[list[float]]]]:
    """(path, condition, states, rows not-bearing and bearing) wherever a condition is given."""
    for path in base.paths.values():
        for name, (condition, given) in path.conditions.items():
            states = list(condition.states)
            sides: tuple[Mapping[str, float], ...] = (given.not_bearing, given.bearing)
            yield path.id, name, states, [[side[s] for s in states] for side in sides]


@lint("error", "write them from against bearing to for bearing, or fix the counts")
def scale_order(base: KnowledgeBase) -> Iterator[Problem]:
    """States and answers that do not stand from "against" to "for", bands that jump about."""
    for path, name, states, rows in _givens(base):
        wanted = by_ratio(rows, states)
        if falling_minor(rows):
            what = f"by these counts the states of '{name}' on '{path}' stand out of order"
            yield at(base, f"{what}: they would be {', '.join(wanted)}", name, "given")
    for clue in _on_a_scale(base):
        _, answers, rows = clue_rows(clue)
        scale = list(base.questions[clue.question].values)
        if base.questions[clue.question].entry.bands and answers not in (scale, scale[::-1]):
            what = f"the bands of '{clue.question}' jump about in '{clue.id}'"
            yield at(base, f"{what}: {', '.join(answers)}", clue.id, "shows")
        wanted = by_ratio(rows, answers)
        columns = [[row[answers.index(a)] for a in wanted] for row in rows]
        if falling_minor(rows) and not falling_minor(columns):
            what = f"by these counts the answers of '{clue.id}' stand out of order"
            yield at(base, f"{what}: they would be {', '.join(wanted)}", clue.id, "shows")


@lint(
    "error", "for row 1 before row 2 and answer a before b: row1[a] * row2[b] >= row1[b] * row2[a]"
)
def non_monotone(base: KnowledgeBase) -> Iterator[Problem]:
    """Clue tables that no order of the answers makes monotone."""
    for clue in _on_a_scale(base):
        states, answers, rows = clue_rows(clue)
        wanted = by_ratio(rows, answers)
        columns = [[row[answers.index(a)] for a in wanted] for row in rows]
        found = falling_minor(rows)
        if found and falling_minor(columns):
            i, j = found
            what = (
                f"in '{clue.id}' state '{states[i + 1]}' favors '{answers[j]}' over "
                f"'{answers[j + 1]}' more than state '{states[i]}' does"
            )
            yield at(base, what, clue.id, "shows", states[i + 1])


@lint("warning", "take the clue out, or fix its counts")
def says_nothing(base: KnowledgeBase) -> Iterator[Problem]:
    """Clues whose answers are about as common in every state."""
    for clue in base.clues():
        *_, rows = clue_rows(clue)
        spread = max(
            10 * math.log10(max(column) / min(column)) for column in zip(*rows, strict=True)
        )
        if spread < LEAST_DECIBANS:
            yield at(base, f"no answer of '{clue.id}' tells the states apart", clue.id, "shows")


@lint("error", "nobody has counted that often: soften the counts, or write a decisive sign")
def too_certain(base: KnowledgeBase) -> Iterator[Problem]:
    """Clues of which one answer is far more common in one state than in another."""
    for clue in base.clues():
        _, answers, rows = clue_rows(clue)
        for answer, column in zip(answers, zip(*rows, strict=True), strict=True):
            if max(column) > MOST_RATIO * min(column):
                what = f"'{answer}' of '{clue.id}' is over {MOST_RATIO} times likelier in one state"
                yield at(base, what, clue.id, "shows")
