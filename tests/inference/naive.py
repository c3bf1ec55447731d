"""A plain evaluator of the rules, the oracle for the engine: no network, no agenda."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache

from walltriage.inference.engine.compile import PlainFact, stage
from walltriage.inference.engine.evaluate import Evaluation, Evaluator
from walltriage.inference.engine.strata import StratifiedRule, stratify
from walltriage.knowledge.schema import DerivedFact
from walltriage.knowledge.terms import ANY, Leaf


def belief_data(evaluator: Evaluator, result: Evaluation) -> list[PlainFact]:
    """What the belief step declared, so that rules above it can be checked on their own."""
    data = [PlainFact("path", name, state.status) for name, state in result.paths.items()]
    data += [PlainFact("seen_against", n) for n, s in result.paths.items() if s.seen_against]
    return data + [
        PlainFact("measure", name, "", number) for name, number in result.measures.items()
    ]


def fired_rules(evaluator: Evaluator, data: Iterable[PlainFact]) -> list[str]:
    """Ids of the rules that hold, layer by layer, given answers and belief data."""
    known: dict[str, set[PlainFact]] = {}
    for one in (stage(), *data):
        known.setdefault(one.family, set()).add(one)
    fired = []
    thresholds = evaluator.base.guards.thresholds
    for item in _layers(evaluator):
        if any(all(_true(leaf, known, thresholds) for leaf in b) for b in item.branches):
            fired.append(item.id)
            for family, name in item.heads:
                value = item.load_path if item.kind == "sign" else ""
                if isinstance(item.rule, DerivedFact):
                    value = item.rule.concludes[name]
                known.setdefault(family, set()).add(PlainFact(family, name, value))
    return fired


@cache
def _layers(evaluator: Evaluator) -> tuple[StratifiedRule, ...]:
    return tuple(stratify(evaluator.base))


def _true(leaf: Leaf, known: Mapping[str, set[PlainFact]], thresholds: Mapping[str, float]) -> bool:
    family = "answer" if leaf.family == "answered" else leaf.family
    limit = thresholds[leaf.limit] if isinstance(leaf.limit, str) else leaf.limit
    test = Leaf(leaf.family, leaf.name, leaf.values, leaf.comparison, limit)
    met = any(
        leaf.name in (k.name, ANY) and test.holds_for(k.value, k.number)
        for k in known.get(family, ())
    )
    return met != leaf.negated
