"""The compiled experta rules fire what a naive evaluator and a C Rete engine fire."""

from __future__ import annotations

import os
import random
import subprocess
import sys

import pytest
from hypothesis import HealthCheck, given, settings

from tests.conftest import SMALL_RULES
from tests.inference.answer_sets import SEEDS, random_answers
from tests.inference.clips_oracle import ClipsOracle
from tests.inference.naive import belief_data, fired_rules
from tests.inference.rete import difference, rete_network, with_rete
from walltriage.inference.engine.compile import Engine, PlainFact, answer_data
from walltriage.inference.engine.matcher import CountingEngine
from walltriage.inference.engine.strata import StratifiedRule
from walltriage.inference.triage import Triager
from walltriage.knowledge.terms import Branch, Leaf

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


@pytest.mark.parametrize("rules", ["small", "full"])
def test_fires_what_rete_fires(rules, request):
    """Counting matches what experta's own network matches: each rule, its data, the order."""
    ours = request.getfixturevalue(rules)
    rete = with_rete(ours.base)
    for seed in range(100):
        answers = random_answers(ours.base, seed)
        one, other = ours.evaluator.evaluate(answers), rete.evaluator.evaluate(answers)
        assert not difference(one, other), seed


ABOUT = {"answer": ("a", "b", "c"), "fact": ("x", "y", "v0", "v1"), "block": ("any", "p")}


def invented_branch(draw: random.Random, families: list[str]) -> Branch:
    """A test or more, no two of one family: experta leaves it open which of two facts met which
    of two tests."""
    leaves = []
    for family in draw.sample(families, draw.randint(1, len(families))):
        values = () if family == "block" else draw.choice(((), ("1",), ("1", "2")))
        negated = draw.random() < 0.3
        leaves.append(Leaf(family, draw.choice(ABOUT[family]), values, negated=negated))
    return tuple(leaves)


def invented(draw: random.Random) -> list[StratifiedRule]:
    """Rules in three layers, whose conclusions meet in name and differ in value."""
    stratified = []
    for layer in range(3):
        families = ["answer", "fact", "block"] if layer else ["answer"]
        for number in range(6):
            terms = tuple(invented_branch(draw, families) for _ in range(draw.choice((1, 1, 2))))
            name = draw.choice(("x", "y", f"v{layer}"))
            head = ("fact", name) if number % 2 else ("block", draw.choice("pq"))
            stratified.append(
                StratifiedRule(f"r{layer}{number}", "any", terms, (head,), layer=layer)
            )
    return stratified


def conclude(item: StratifiedRule, matched: tuple[PlainFact, ...]) -> list[PlainFact]:
    """The heads, each with a value of the rule's own."""
    return [PlainFact(family, name, item.id[-1]) for family, name in item.heads]


def test_fires_what_rete_fires_on_data_told_twice():
    """Where several facts meet a test, both fire first on the latest set of them."""
    for seed in range(300):
        draw = random.Random(seed)
        stratified = invented(draw)
        engines = [Engine(stratified, {}, conclude, net) for net in (CountingEngine, rete_network)]
        for _ in range(5):
            data = [PlainFact("answer", name, draw.choice("123")) for name in "aabbc"]
            ours, theirs = (engine.run(data) for engine in engines)
            assert ours == theirs, seed


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
from walltriage.knowledge.terms import Branch, Leaf
from walltriage.knowledge.load import load_knowledge
from tests.inference.answer_sets import random_answers
triager = Triager(load_knowledge(Path(sys.argv[1])))
for seed in range(60):
    result = triager.evaluator.evaluate(random_answers(triager.base, seed, 0.8))
    print([firing.rule for firing in result.firings])
"""


def test_same_order_in_twenty_processes():
    """Firing order does not depend on the process it runs in: sixty answer sets, other hashes."""
    command = [sys.executable, "-c", ORDER_SCRIPT, str(SMALL_RULES)]
    seen = {
        subprocess.check_output(
            command, text=True, cwd=SMALL_RULES.parents[1],
            env=os.environ | {"PYTHONHASHSEED": hashes},
        )
        for hashes in (*map(str, range(10)), *["random"] * 10)
    }  # fmt: skip
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
