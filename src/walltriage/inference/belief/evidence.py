"""Answers as evidence: a code for an answer and how surely it was told, and what clues show by it.

Code 0 is no evidence: not asked, not known, not reached.
"""

from __future__ import annotations

import numpy as np

from walltriage.case.model import DEGREES
from walltriage.inference.belief.tree import ConditionTable
from walltriage.inference.columns.codes import FIRST_VALUE, NO_BAND, Batch, Floats
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.schema import Clue

Index = np.ndarray  # (n,) intp: numpy gathers with these three times as fast as with others

_EVIDENCE = np.array(
    [1 + (code - FIRST_VALUE) * len(DEGREES) + sure if FIRST_VALUE <= code < NO_BAND else 0
     for code in range(256) for sure in range(len(DEGREES))],
    np.intp,
)  # fmt: skip


def evidence_code(value: int, sure: int) -> int:
    """Code of one answer as evidence: ``value`` counts from 0, ``sure`` indexes DEGREES."""
    return int(_EVIDENCE[(FIRST_VALUE + value) * len(DEGREES) + sure])


def told_as(table: Floats, sure: int) -> Floats:
    """Of what a clue shows by state and evidence code, each of its answers, told so surely (states,
    answers)."""
    return table[:, evidence_code(0, sure) :: len(DEGREES)]


def evidence(batch: Batch, column: int) -> Index:
    """Evidence codes of a question's column (n,): 0 where nothing was seen or known."""
    code = batch.codes[:, column] * np.intp(len(DEGREES))
    code += batch.sure[:, column]
    return _EVIDENCE.take(code, mode="clip")


def likelihoods(base: KnowledgeBase, clue: Clue, table: ConditionTable) -> Floats:
    """P(answer | state) of one clue, (states, codes); code 0, no evidence, is 1 throughout.

    As :meth:`ConditionTable.likelihood` has it for each answer, all of a clue at once.
    """
    question, trust = base.questions[clue.question], base.guards.reliability.trust
    keep = np.array([trust(question.entry.kind, sure) for sure in DEGREES])
    rows, anyway = table.rows[clue.id], table.anyway[clue.id]
    shown = np.array([rows[value] for value in question.values]).T  # (states, values)
    others = (1 - keep) * np.array([anyway[value] for value in question.values])[:, None]
    told = keep * shown[:, :, None] + others  # (states, values, degrees)
    states = len(table.bearing)
    return np.concatenate((np.ones((states, 1)), told.reshape(states, -1)), axis=1)
