"""A rule run with only what it depends on does what it does in the whole engine."""

from __future__ import annotations

import pytest

from tests.inference.answer_sets import random_answers
from walltriage.inference.engine.closure import RuleClosures
from walltriage.inference.engine.strata import BELIEF


@pytest.mark.parametrize("rules", ["small", "full"])
def test_a_slice_agrees_with_the_whole(rules, request):
    """For every rule and ten answer sets, fired or not is the same."""
    triager = request.getfixturevalue(rules)
    closures = RuleClosures(triager.evaluator)
    for seed in range(10):
        answers = random_answers(triager.base, seed)
        whole = {f.rule for f in triager.evaluator.evaluate(answers).firings}
        for rule in closures.stratified:
            if BELIEF not in closures.closure(rule):
                run = closures.run(rule, answers)
                assert (rule in run.fired) == (rule in whole), (seed, rule)
                assert run.fired <= whole


def test_a_closure_holds_what_a_rule_reads(small):
    """A fact brings nothing along; a gate on signs brings the signs; a verdict brings all."""
    closures = RuleClosures(small.evaluator)
    assert closures.closure("fact_attic_above") == {"fact_attic_above"}
    assert closures.closure("gate_sign") == {"gate_sign", "sign_joists_end"}
    assert closures.closure("rate_framing") == {"rate_framing", "rate_room_above"}
    assert BELIEF in closures.closure("verdict_non_bearing")
