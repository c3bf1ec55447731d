"""The compiled experta rules fire what a naive evaluator and a C Rete engine fire."""

from __future__ import annotations

import subprocess
import sys

import pytest
from hypothesis import HealthCheck, given, settings

from tests.conftest import SMALL_RULES
from tests.inference.answer_sets import SEEDS, random_answers
from tests.inference.clips_oracle import ClipsOracle
from tests.inference.naive import belief_data, fired_rules
from walltriage.inference.engine.compile import answer_data
from walltriage.inference.triage import Triager

SETTINGS = settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


@pytest.fixture(params=["small", "full"])
def triager(request) -> Triager:
    """Each knowledge base in turn."""
    return request.getfixturevalue(request.param)


@SETTINGS
@given(seed=SEEDS)
def test_fires_what_the_naive_evaluator_fires(triager, seed):
    """The same rules fire, in the same order, on any answer set."""
    answers = random_answers(triager.base, seed)
    result = triager.evaluator.evaluate(answers)
    data = answer_data(answers) + belief_data(triager.evaluator, result)
    assert [f.rule for f in result.firings] == fired_rules(triager.evaluator, data)


@pytest.mark.extras
def test_fires_what_clips_fires(triager):
    """A C Rete engine given the same rules fires the same set on 150 answer sets."""
    oracle = ClipsOracle(triager.evaluator)
    for seed in range(150):
        answers = random_answers(triager.base, seed)
        result = triager.evaluator.evaluate(answers)
        data = answer_data(answers) + belief_data(triager.evaluator, result)
        assert {f.rule for f in result.firings} == oracle.fired_rules(data), seed


ORDER_SCRIPT = """
import sys
from pathlib import Path
from walltriage.inference.triage import Triager
from walltriage.knowledge.load import load_knowledge
from tests.inference.answer_sets import random_answers
triager = Triager(load_knowledge(Path(sys.argv[1])))
for seed in range(5):
    result = triager.evaluator.evaluate(random_answers(triager.base, seed, 0.8))
    print([firing.rule for firing in result.firings])
"""


def test_same_order_in_twenty_processes():
    """Firing order does not depend on the process it runs in."""
    command = [sys.executable, "-c", ORDER_SCRIPT, str(SMALL_RULES)]
    seen = set()
    for _ in range(10):
        pair = [
            subprocess.Popen(command, stdout=subprocess.PIPE, text=True, cwd=SMALL_RULES.parents[1])
            for _ in range(2)
        ]
        seen |= {process.communicate()[0] for process in pair}
    assert len(seen) == 1
    assert "verdict" in seen.pop()


def test_engine_is_reusable(small):
    """A hundred other cases in between leave a result as it was."""
    answers = random_answers(small.base, 7, 0.9)
    first = small.evaluator.evaluate(answers)
    for seed in range(100):
        small.evaluator.evaluate(random_answers(small.base, seed))
    again = small.evaluator.evaluate(answers)
    assert first.firings == again.firings
    assert first.measures == again.measures
