"""The compiled rules in experta's own Rete network, as the oracle of the matcher; also a command.

``python -m tests.inference.rete --cases 20000`` evaluates that many random answer sets on the
shipped rules both ways, and then the answers of every scenario; it prints every difference;
exit status 1 when there is any.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from tests.conftest import RULES
from tests.inference.answer_sets import random_answers
from walltriage.case.model import Case
from walltriage.inference.engine._experta import KnowledgeEngine, Rule, experta
from walltriage.inference.engine.compile import Engine
from walltriage.inference.engine.evaluate import Evaluation
from walltriage.inference.engine.matcher import STARTED, Datum, RuleBranch, family_of
from walltriage.inference.engine.strata import stratify
from walltriage.inference.triage import Triager
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.load import load_knowledge
from walltriage.knowledge.terms import ANY, Leaf, positive
from walltriage.rule_testing.scenario_files import read_scenarios
from walltriage.rule_testing.scenarios import WALL

SCENARIOS = Path(__file__).resolve().parents[1] / "rules"


class _Network(KnowledgeEngine):
    """Declares all facts before it asks which rules hold: one by one, experta fires stale ones."""

    def get_activations(self) -> tuple[list[Any], list[Any]]:
        if not self.running or not self.facts.added:
            return [], []
        return super().get_activations()


def rete_network(conditions: Sequence[RuleBranch]) -> KnowledgeEngine:
    """experta's engine as it comes, each test a pattern; one test for all rules that ask it."""
    tests: dict[Leaf, Any] = {}
    rules = {}
    for number, condition in enumerate(conditions):
        patterns = [
            _pattern(leaf, f"f{place}", tests) for place, leaf in enumerate(condition.branch)
        ]
        if all(leaf.negated for leaf in condition.branch):
            patterns.insert(0, Datum(STARTED))
        rule = condition.rule
        rules[f"rule_{number}"] = Rule(*patterns, salience=rule.salience)(rule._wrapped)
    return type("CompiledRules", (_Network,), rules)()


def _pattern(leaf: Leaf, bound: str, tests: dict[Leaf, Any]) -> Any:
    leaf_test = positive(leaf)
    if leaf_test not in tests:
        tests[leaf_test] = experta.P(lambda known: leaf_test.holds_for(known.value, known.number))
    named = {} if leaf.name == ANY else {leaf.name: tests[leaf_test]}
    pattern = Datum(family_of(leaf), **named)
    return experta.NOT(pattern) if leaf.negated else (getattr(experta.AS, bound) << pattern)


def with_rete(base: KnowledgeBase) -> Triager:
    """The rules with an engine that matches by Rete."""
    triager = Triager(base)
    evaluator, thresholds = triager.evaluator, dict(base.guards.thresholds)
    evaluator._engine = Engine(stratify(base), thresholds, evaluator._conclude, rete_network)
    return triager


def difference(ours: Evaluation, theirs: Evaluation) -> str:
    """The first rule that does not fire in both, on the same data, in one order; or nothing."""
    pairs = zip([*ours.firings, None], [*theirs.firings, None], strict=False)
    for one, other in pairs:
        if one != other:
            return f"{one}, and by Rete {other}"
    if (ours.measures, ours.verdict) != (theirs.measures, theirs.verdict):
        return "measures or verdict"
    return ""


def scenario_cases(base: KnowledgeBase, folder: Path = SCENARIOS) -> list[Case]:
    """The cases of a folder of scenarios, near misses included."""
    scenarios = read_scenarios(folder, base)
    return [case for s in scenarios for case in (s.case, *(miss.case for miss in s.near_misses))]


def main() -> int:
    """Compare on the shipped rules."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--cases", type=int, default=20_000)
    cases = parser.parse_args().cases
    base = load_knowledge(RULES)
    ours, rete = Triager(base), with_rete(base)
    found = []
    scenarios = scenario_cases(base)
    for case in scenarios:
        told = difference(ours.evaluate(case, WALL), rete.evaluate(case, WALL))
        found += [f"{case.name}: {told}"] if told else []
    for seed in range(cases):
        given = random_answers(base, seed)
        told = difference(ours.evaluator.evaluate(given), rete.evaluator.evaluate(given))
        found += [f"seed {seed}: {told}"] if told else []
    print(*found, sep="\n")
    print(f"{cases} random sets and {len(scenarios)} scenarios, {len(found)} differences")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
