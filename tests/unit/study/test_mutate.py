"""Faults put into the rules are what they say, and the checks notice them."""

from __future__ import annotations

import copy

import pytest

from tests.conftest import RULES, SMALL_RULES
from walltriage.study.mutate import OPERATORS, STAGES, Killer, mutants, read_documents, sample

pytest.importorskip("z3")


@pytest.fixture(scope="module")
def documents():
    return read_documents(RULES)


def test_every_operator_finds_something_in_the_rules(documents):
    """More than twelve operators, more than a thousand mutants."""
    every = list(mutants(documents))
    assert len(OPERATORS) >= 12
    assert {mutant.operator for mutant in every} == set(OPERATORS)
    assert len(every) >= 1_000


def test_mutants_change_one_file_and_leave_the_rules_alone(documents):
    """Each differs from its own file, and making them changes nothing."""
    before = copy.deepcopy(documents)
    for mutant in mutants(documents):
        assert mutant.document != documents[mutant.path]
    assert documents == before


def test_samples_are_the_same_for_a_seed_and_spread(documents):
    """Every operator has its share."""
    one, two = sample(documents, 69, 4), sample(documents, 69, 4)
    assert [(m.operator, m.where) for m in one] == [(m.operator, m.where) for m in two]
    assert {m.operator for m in one} == set(OPERATORS)
    assert len(sample(documents, 10**6, 1)) == len(list(mutants(documents)))


@pytest.fixture(scope="module")
def fates():
    """What became of a sample of mutants of the small rules, scenarios left out."""
    killer = Killer(SMALL_RULES)
    return [(m, killer.stage(m)) for m in sample(read_documents(SMALL_RULES), 60, 2)]


def test_small_rules_notice_most(fates):
    """Every stage in its turn; what lives on is told as None."""
    by_operator: dict[str, set[str | None]] = {}
    for mutant, stage in fates:
        assert stage in (*STAGES, None)
        by_operator.setdefault(mutant.operator, set()).add(stage)
    assert by_operator["negate a condition"] <= {"cases", "load"}
    assert by_operator["take any answer"] <= {"cases", "lints"}
    assert None not in by_operator["flip the states of a clue"]
    assert sum(stage is not None for _, stage in fates) / len(fates) > 0.5


def test_scenarios_kill_what_nothing_else_notices(fates):
    """Some of what lived on is noticed by a whole-wall scenario."""
    alive = [mutant for mutant, stage in fates if stage is None]
    killer = Killer(SMALL_RULES, SMALL_RULES.parent / "small_scenarios")
    assert "scenarios" in {killer.stage(mutant) for mutant in alive}
