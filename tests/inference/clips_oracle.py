"""The stratified rules handed to CLIPS, as an independent engine to compare with."""

from __future__ import annotations

from collections.abc import Iterable

import pytest

from walltriage.inference.engine.compile import PlainFact, stage
from walltriage.inference.engine.evaluate import Evaluator
from walltriage.inference.engine.strata import StratifiedRule, stratify
from walltriage.knowledge.schema import DerivedFact
from walltriage.knowledge.terms import ANY, NO_ANSWER, Branch, Leaf

TEMPLATE = "(deftemplate datum (slot family) (slot name) (slot value) (slot number))"
COMPARE = {"at_least": ">=", "at_most": "<=", "above": ">", "below": "<"}


class ClipsOracle:
    """A CLIPS environment with one rule for each branch of each stratified rule."""

    def __init__(self, evaluator: Evaluator) -> None:
        clips = pytest.importorskip("clips")
        self._thresholds = evaluator.base.guards.thresholds
        self._fired: set[str] = set()
        self._env = clips.Environment()
        self._env.define_function(lambda name: self._fired.add(str(name)), name="fired")
        self._env.build(TEMPLATE)
        for position, item in enumerate(stratify(evaluator.base)):
            for index, branch in enumerate(item.branches):
                self._env.build(self._rule(item, branch, 10_000 - position, index))

    def fired_rules(self, data: Iterable[PlainFact]) -> set[str]:
        """Ids of the rules that fire on these data."""
        self._fired.clear()
        self._env.reset()
        for known in {stage(), *data}:
            self._env.assert_string(_fact(known))
        self._env.run()
        return set(self._fired)

    def _rule(self, item: StratifiedRule, branch: Branch, salience: int, index: int) -> str:
        patterns = [self._pattern(leaf, f"{number}") for number, leaf in enumerate(branch)]
        if all(leaf.negated for leaf in branch):
            patterns.insert(0, "(datum (family stage))")
        actions = [f'(fired "{item.id}")']
        for family, name in item.heads:
            value = item.load_path if item.kind == "sign" else ""
            if isinstance(item.rule, DerivedFact):
                value = item.rule.concludes[name]
            actions.append(f"(assert {_fact(PlainFact(family, name, value))})")
        return (
            f"(defrule {item.id}--{index} (declare (salience {salience})) "
            f"{' '.join(patterns)} => {' '.join(actions)})"
        )

    def _pattern(self, leaf: Leaf, variable: str) -> str:
        family = "answer" if leaf.family == "answered" else leaf.family
        slots = [f"(family {family})"]
        if leaf.name != ANY:
            slots.append(f'(name "{leaf.name}")')
        if leaf.comparison is not None:
            limit = leaf.limit
            if isinstance(limit, str):
                limit = self._thresholds[limit]
            test = f"({COMPARE[leaf.comparison]} ?n{variable} {float(limit)!r})"
            slots.append(f"(number ?n{variable}&:(and (numberp ?n{variable}) {test}))")
        elif leaf.family == "answered":
            slots.append("(value " + "&".join(f'~"{value}"' for value in NO_ANSWER) + ")")
        elif leaf.values:
            slots.append("(value " + "|".join(f'"{value}"' for value in leaf.values) + ")")
        pattern = f"(datum {' '.join(slots)})"
        return f"(not {pattern})" if leaf.negated else pattern


def _fact(known: PlainFact) -> str:
    number = "nil" if known.number is None else repr(float(known.number))
    return (
        f'(datum (family {known.family}) (name "{known.name}") (value "{known.value}") '
        f"(number {number}))"
    )
