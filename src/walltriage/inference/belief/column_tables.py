"""The belief tables of one condition as look-ups by answer code.

Every answer to a clue's question, with its sureness, is one code (0: no evidence).  A
condition's answers count as the product, over its clues, of P(answer | state) relative
to the first state; a load path weighs those products with its own P(state | bears) and
P(state | does not).  Probabilities of single answers come from ``inference.belief``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from walltriage.case.model import SURENESS
from walltriage.inference.belief.tree import ConditionTable, Reported
from walltriage.inference.columns.codes import FIRST_VALUE, NO_BAND, Batch, Floats
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.schema import Clue

Index = np.ndarray  # (n,) intp: numpy gathers with these three times as fast as with others
Columns = list[Floats]  # one column (n,) for each state but the first

_EVIDENCE = np.array(
    [1 + (code - FIRST_VALUE) * len(SURENESS) + sure if FIRST_VALUE <= code < NO_BAND else 0
     for code in range(256) for sure in range(len(SURENESS))],
    np.intp,
)  # fmt: skip


def evidence_code(value: int, sure: int) -> int:
    """Code of one answer as evidence: ``value`` counts from 0, ``sure`` indexes SURENESS."""
    return int(_EVIDENCE[(FIRST_VALUE + value) * len(SURENESS) + sure])


def evidence(batch: Batch, column: int) -> Index:
    """Evidence codes of a question's column (n,): 0 where nothing was seen or known."""
    code = batch.codes[:, column] * np.intp(len(SURENESS))
    code += batch.sure[:, column]
    return _EVIDENCE.take(code, mode="clip")


@dataclass(frozen=True, slots=True)
class ClueColumns:
    """One clue: P(answer | state) / P(answer | first state) by evidence code.

    ``shown`` holds one table (codes,) for each state but the first.
    ``first`` (codes,) is P(answer | first state).
    """

    id: str
    question: str
    first: Floats
    shown: tuple[Floats, ...]


class ConditionColumns:
    """One condition: its clues' tables, and the state tables of each path that has it.

    ``tables`` are the condition's reference tables by load path.
    """

    def __init__(
        self, base: KnowledgeBase, clues: Sequence[Clue], tables: Mapping[str, ConditionTable]
    ) -> None:
        any_table = next(iter(tables.values()))  # what answers show does not depend on the path
        self.clues = [clue_columns(base, clue, any_table) for clue in clues]
        self.given = {path: (t.bearing, t.not_bearing) for path, t in tables.items()}

    def joint(self, digits: Iterable[tuple[ClueColumns, Index]]) -> Columns | None:
        """P(answers | state) relative to the first state; None without any answers."""
        columns: Columns | None = None
        for clue, code in digits:
            if columns is None:
                columns = [table.take(code, mode="clip") for table in clue.shown]
            else:
                for column, table in zip(columns, clue.shown, strict=True):
                    column *= table.take(code, mode="clip")
        return columns

    def ratio(self, path: str, joint: Columns) -> Floats:
        """P(answers | bears) / P(answers | does not) on a path (n,)."""
        bears, not_bears = self.sides(path, joint)
        bears /= not_bears
        return bears

    def sides(self, path: str, joint: Columns) -> tuple[Floats, Floats]:
        """P(answers | bears) and P(answers | does not) (n,), relative to the first state."""
        bearing, not_bearing = self.given[path]
        return weighed(bearing, joint), weighed(not_bearing, joint)


def weighed(shares: tuple[float, ...], joint: Columns) -> Floats:
    """P(answers) relative to the first state, the states having these shares."""
    total = joint[0] * shares[1]
    total += shares[0]
    for column, share in zip(joint[1:], shares[2:], strict=True):
        total += column * share
    return total


def _trusts(base: KnowledgeBase, clue: Clue) -> list[tuple[str, float]]:
    """(value, reliability) by evidence code from 1 on."""
    question, reliability = base.questions[clue.question], base.guards.reliability
    kind = reliability.kinds[question.entry.kind]
    return [(v, kind * reliability.sureness[sure]) for v in question.values for sure in SURENESS]


def clue_columns(base: KnowledgeBase, clue: Clue, table: ConditionTable) -> ClueColumns:
    """The tables of one clue in the condition whose reference table is given."""
    rows = [(1.0,) * len(table.bearing)]
    for value, trust in _trusts(base, clue):
        rows.append(table.likelihood(Reported(clue.id, clue.condition, value, trust)))
    likelihood = np.array(rows)
    first, rest = likelihood[:, 0].copy(), likelihood[:, 1:].T
    shown = tuple(np.ascontiguousarray(column / first) for column in rest)
    return ClueColumns(clue.id, clue.question, first, shown)


def speaks_against(base: KnowledgeBase, clue: Clue, table: ConditionTable) -> np.ndarray:
    """By evidence code (codes,): whether that answer alone weighs against bearing."""
    weights = [
        table.weight([Reported(clue.id, clue.condition, value, trust)])
        for value, trust in _trusts(base, clue)
    ]
    return np.array([False] + [weight < 0 for weight in weights])
