"""What clues show by evidence code."""

from __future__ import annotations

import numpy as np

from walltriage.case.model import DEGREES
from walltriage.inference.belief.evidence import evidence_code, likelihoods, told_as
from walltriage.inference.belief.tree import Reported


def test_what_a_clue_shows_is_what_its_condition_says_of_each_answer(full):
    """All answers of a clue at once, to the last bit as the table of its condition has each."""
    base, degrees = full.base, tuple(enumerate(DEGREES))
    for path, conditions in full.evaluator.step.belief.tables.items():
        for name, table in conditions.items():
            for clue in base.paths[path].clues[name]:
                shown, question = likelihoods(base, clue, table), base.questions[clue.question]
                assert (shown[:, 0] == 1).all()  # no evidence
                for number, value in enumerate(question.values):
                    for sure, degree in degrees:
                        trust = base.guards.reliability.trust(question.entry.kind, degree)
                        told = Reported(clue.id, clue.condition, value, trust)
                        code = evidence_code(number, sure)
                        assert tuple(shown[:, code]) == table.likelihood(told)


def test_answers_told_so_surely_are_a_slice(full):
    """:func:`told_as` takes out each answer of one degree, in the order of the answers."""
    base, sure = full.base, len(DEGREES) - 1
    clue = next(iter(base.clues()))
    table = full.evaluator.step.kernel.clues[clue.id].table
    codes = [evidence_code(n, sure) for n in range(len(base.questions[clue.question].values))]
    assert np.array_equal(told_as(table, sure), table[:, codes])
