"""The belief tables of one condition as look-ups by combined answer codes.

Every answer to a clue's question, with its sureness, is one code (0: no evidence).  The
codes of several clues combine into one number, as digits do; a table gives for that
number P(answers | state), or at once the likelihood ratio of a load path.  Conditions
with too many clues for one table are split into groups whose tables are multiplied.
Probabilities of single answers come from ``inference.belief``, so they are the same.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from walltriage.case.model import SURENESS
from walltriage.inference.belief import ConditionTable, Reported
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.schema import Clue
from walltriage.study.codes import FIRST_VALUE, Batch, Floats

MOST_CELLS = 16_384  # of one table: 128 kB for each state stays in a core's second cache
Index = np.ndarray  # (n,) int32


def evidence_code(value: int, sure: int) -> int:
    """Code of one answer as evidence: ``value`` counts from 0, ``sure`` indexes SURENESS."""
    return 1 + value * len(SURENESS) + sure


def evidence(batch: Batch, column: int) -> Index:
    """Evidence codes of a question's column (n,): 0 where nothing was seen or known."""
    codes = batch.codes[:, column].astype(np.int32)
    code = (codes - FIRST_VALUE) * len(SURENESS) + (batch.sure[:, column] + np.int32(1))
    return np.where(codes >= FIRST_VALUE, code, np.int32(0))


@dataclass(frozen=True, slots=True)
class Digit:
    """Where a clue's code stands: which group of the condition, and times what."""

    clue: str
    question: str
    group: int
    stride: int


class ConditionColumns:
    """One condition: its clues' digits, and tables over them for each path that has it.

    ``tables`` are the condition's reference tables by load path.
    """

    def __init__(
        self, base: KnowledgeBase, clues: Sequence[Clue], tables: Mapping[str, ConditionTable]
    ) -> None:
        self.digits: list[Digit] = []
        self._given = {
            path: (np.array(table.bearing), np.array(table.not_bearing))
            for path, table in tables.items()
        }
        any_table = next(iter(tables.values()))  # what answers show does not depend on the path
        groups: list[Floats] = []
        for clue in clues:
            rows = _likelihoods(base, clue, any_table)
            if not groups or len(groups[-1]) * len(rows) > MOST_CELLS:
                groups.append(np.ones((1, len(any_table.bearing))))
            before = groups[-1]
            self.digits.append(Digit(clue.id, clue.question, len(groups) - 1, len(before)))
            groups[-1] = (rows[:, None, :] * before[None, :, :]).reshape(-1, before.shape[1])
        self._joints = [np.asfortranarray(group) for group in groups]
        self._ratios: dict[str, Floats] = {}
        if len(groups) == 1:
            self._ratios = {path: self._ratio(path, list(groups[0].T)) for path in tables}

    def codes(self, digits: Sequence[Index]) -> list[Index]:
        """One combined code (n,) a group from the codes of each clue, in order of ``digits``."""
        found: list[Index] = []
        for digit, code in zip(self.digits, digits, strict=True):
            if digit.group == len(found):
                found.append(code.astype(np.int32))  # a copy: the sum below is in place
            else:
                found[digit.group] += code * np.int32(digit.stride)
        return found

    def joint(self, codes: Sequence[Index]) -> list[Floats]:
        """P(answers | state), one column (n,) a state."""
        states = self._joints[0].shape[1]
        columns = []
        for state in range(states):
            column = self._joints[0][:, state][codes[0]]
            for group, code in zip(self._joints[1:], codes[1:], strict=True):
                column *= group[:, state][code]
            columns.append(column)
        return columns

    def ratio(self, path: str, codes: Sequence[Index]) -> Floats:
        """P(answers | bears) / P(answers | does not) on a path (n,)."""
        table = self._ratios.get(path)
        return table[codes[0]] if table is not None else self._ratio(path, self.joint(codes))

    def sides(self, path: str, joint: Sequence[Floats]) -> tuple[Floats, Floats]:
        """P(answers | bears) and P(answers | does not) (n,) from :meth:`joint`."""
        bearing, not_bearing = self._given[path]
        return (
            sum(p * column for p, column in zip(bearing, joint, strict=True)),
            sum(p * column for p, column in zip(not_bearing, joint, strict=True)),
        )

    def _ratio(self, path: str, joint: Sequence[Floats]) -> Floats:
        bears, not_bears = self.sides(path, joint)
        return bears / not_bears


def _likelihoods(base: KnowledgeBase, clue: Clue, table: ConditionTable) -> Floats:
    """P(answer | state) by evidence code (codes, states); all ones for code 0."""
    question = base.questions[clue.question]
    reliability = base.guards.reliability
    rows = [(1.0,) * len(table.bearing)]
    for value in question.values:
        for sure in SURENESS:
            trust = reliability.kinds[question.entry.kind] * reliability.sureness[sure]
            rows.append(table.likelihood(Reported(clue.id, clue.condition, value, trust)))
    return np.array(rows)


def speaks_against(base: KnowledgeBase, clue: Clue, table: ConditionTable) -> np.ndarray:
    """By evidence code (codes,): whether that answer alone weighs against bearing."""
    question = base.questions[clue.question]
    reliability = base.guards.reliability
    found = [False]
    for value in question.values:
        for sure in SURENESS:
            trust = reliability.kinds[question.entry.kind] * reliability.sureness[sure]
            found.append(table.weight([Reported(clue.id, clue.condition, value, trust)]) < 0)
    return np.array(found)
