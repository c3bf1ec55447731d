"""Answers looked at once more: what clashes, what tells of a sign, what was not known, what alone
is in the way of "non-bearing", guesses among it, and what alone "non-bearing" rests on.

An interview asks for the first two before they count and for the last two before its result; a
result lists what was not known among what is to be checked, with how to look.  The second word
replaces the first, whichever way it goes, and counts as told twice where it is the same; whoever
stood at a wrong place stands there again.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from walltriage.case.model import DEGREES, Answer, told_again
from walltriage.inference.alone import STOPS, seen_in_the_way
from walltriage.inference.columns.codes import FIRST_VALUE, UNKNOWN, Batch, Bools
from walltriage.inference.columns.evaluator import VERDICTS, ColumnEvaluator
from walltriage.knowledge.reads import questions_behind, questions_of
from walltriage.lab.where_asked import where_asked

_GUESS = DEGREES.index("guess")
ROUNDS = 2  # what is told at a second look may clash in its turn
Again = Callable[[int], Callable[[str], Answer]]
"""Of a wall's row, who looks once more: what is told of a question by its id."""


class SecondLooks:
    """Which answers ask for a second look, by the rules that fire."""

    def __init__(self, evaluator: ColumnEvaluator) -> None:
        base, columns = evaluator.base, evaluator.coder.column
        behind = questions_behind(base)
        looks = {q.id for q in base.questions.values() if q.entry.kind in base.guards.seen_kinds}
        answered = {q.id for q in base.questions.values() if q.entry.kind != "computed"}
        asked = {rule.id: answered.intersection(rule.questions) for rule in base.contradictions}
        asked |= {sign.id: looks & questions_of(sign.when, behind) for _, sign in base.signs()}
        self._columns = {
            name: np.array([columns[q] for q in sorted(questions)], dtype=np.intp)
            for name, questions in asked.items()
        }
        self._stops = {
            gate.id: np.array(
                [columns[q] for q in sorted(looks & questions_of(gate.when, behind))], dtype=np.intp
            )
            for gate in base.guards.gates
        }
        self._seen_stops = frozenset(seen_in_the_way(base))
        self._mark = base.guards.thresholds["non_bearing_at_most"]
        self._looks = np.array([name in looks for name in evaluator.coder.questions])
        twice = base.guards.twice_before_non_bearing
        self._twice = np.array([name in twice for name in evaluator.coder.questions])
        self._evaluator = evaluator

    def wanted(self, batch: Batch) -> Bools:
        """The answers to look at once more, of ``n`` walls: (n, questions)."""
        result = self._evaluator.evaluate(batch)
        wanted = np.zeros(batch.codes.shape, bool)
        for at, (rule, kind) in enumerate(zip(result.rule_ids, result.rule_kinds, strict=True)):
            if kind in ("contradiction", "sign"):
                rows = np.flatnonzero(result.fired[:, at])
                wanted[np.ix_(rows, self._columns[rule])] = True
        stops = [at for at, kind in enumerate(result.rule_kinds) if kind in STOPS]
        alone = result.fired[:, stops].sum(axis=1) == 1
        alone &= result.upper_without_adverse <= self._mark
        for at in stops:
            if (rule := result.rule_ids[at]) in self._stops:
                rows = np.flatnonzero(alone & result.fired[:, at])
                there = np.ix_(rows, self._stops[rule])
                wanted[there] |= rule in self._seen_stops or batch.sure[there] == _GUESS
        not_known: Bools = self._looks & (batch.codes == UNKNOWN)
        again: Bools = not_known | (wanted & (batch.codes >= FIRST_VALUE))
        return again

    def wanted_of_clear(self, batch: Batch) -> Bools:
        """The answers to look at once more before a wall is called non-bearing: as above."""
        clear = self._evaluator.evaluate(batch).verdict == VERDICTS.index("likely_non_bearing")
        again: Bools = clear[:, None] & self._twice & (batch.codes >= FIRST_VALUE)
        return again


def look_again(evaluator: ColumnEvaluator, told: Batch, again: Again) -> Batch:
    """The answers that apply after second looks.

    ``told`` holds every answer, also to what does not apply; it is changed in place.
    """
    looks = SecondLooks(evaluator)
    shown = where_asked(evaluator, told)
    done = np.zeros(told.codes.shape, bool)
    for wants in (*(looks.wanted,) * ROUNDS, looks.wanted_of_clear):
        wanted = wants(shown) & ~done
        for row in np.flatnonzero(wanted.any(axis=1)).tolist():
            _look(evaluator, told, row, wanted[row], again(row))
        done |= wanted
        shown = where_asked(evaluator, told)
    return shown


def _look(
    evaluator: ColumnEvaluator, told: Batch, row: int, wanted: Bools, tell: Callable[[str], Answer]
) -> None:
    """One wall's second looks at the questions ``wanted`` (questions,)."""
    names = evaluator.coder.questions
    for column in np.flatnonzero(wanted).tolist():
        given = tell(names[column])
        if given.is_real:
            first = evaluator.coder.decode(told, row, (names[column],))
            before = first.get(names[column])
            if before is not None and before.value == given.value:
                given = replace(given, sure=told_again(before.sure, given.sure))
            evaluator.coder.put(told, row, names[column], given)
