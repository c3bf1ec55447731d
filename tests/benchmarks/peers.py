"""The same rules on the same walls by other means, to measure bulk evaluation against.

One engine case by case; and a C Rete engine given the compiled rules, which calls the
belief arithmetic when its turn comes.  The arithmetic is the plain Python one: for a
single wall it is quicker than the same in numpy.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest

from tests.inference.clips_oracle import COMPARE
from tests.inference.naive import belief_data
from walltriage.case.model import Answer
from walltriage.inference.engine.compile import PlainFact, answer_data, stage
from walltriage.inference.engine.evaluate import Evaluator
from walltriage.inference.engine.strata import BELIEF, StratifiedRule, conclusions, stratify
from walltriage.knowledge.terms import ANY, NO_ANSWER, Branch, Leaf

_FEEDS = ("fact", "clue", "base_rate", "sign")


class ClipsPeer:
    """The compiled rules in CLIPS, belief included: a whole verdict for one wall at a time.

    In the form that suits it best: a template for each datum, so that a fact meets only the
    patterns that read it; facts asserted as values and not as text; one call into Python a wall,
    for the belief step.
    """

    def __init__(self, evaluator: Evaluator) -> None:
        clips = pytest.importorskip("clips")
        self._symbol, self._evaluator = clips.Symbol, evaluator
        self._env = env = clips.Environment()
        self._thresholds = evaluator.base.guards.thresholds
        stratified = stratify(evaluator.base)
        self._feeding = {item.id: item for item in stratified if item.kind in _FEEDS}
        leaves = {leaf for item in stratified for branch in item.branches for leaf in branch}
        heads = {head for item in stratified for head in item.heads}
        read = {(_family(leaf.family), leaf.name) for leaf in leaves}
        self._any = {family for family, name in read if name == ANY}
        for family, name in sorted(read | heads | {("stage", ANY)}):
            env.build(f"(deftemplate {family}--{name} (slot value) (slot number))")
        env.build("(deftemplate fed (slot id))")
        self._templates = {
            (family, name): env.find_template(f"{family}--{name}")
            for family, name in read | heads | {("stage", ANY)}
        }
        self._answers: Mapping[str, Answer] = {}
        env.define_function(self._believe, name="believe")
        for position, item in enumerate(stratified):
            for index, branch in enumerate(item.branches):
                env.build(self._rule(item, branch, 10_000 - position, index))

    def verdict(self, answers: Mapping[str, Answer]) -> str:
        """The verdict of one wall."""
        self._answers = answers
        self._env.reset()
        self._assert(stage())
        self._templates["stage", ANY].assert_fact()
        for known in answer_data(answers):
            self._assert(known)
        self._env.run()
        for rule in self._evaluator.base.guards.verdicts:
            if any(True for _ in self._templates["verdict", rule.concludes].facts()):
                return rule.concludes
        return "cannot_tell"

    def _believe(self) -> None:
        """The belief step, called by the engine: what it finds is asserted as facts."""
        fed = {str(fact["id"]) for fact in self._env.find_template("fed").facts()}
        fired = [item for name, item in self._feeding.items() if name in fed]
        for known in belief_data(self._evaluator, self._evaluator.believe(self._answers, fired)):
            self._assert(known)

    def _assert(self, known: PlainFact) -> None:
        template = self._templates.get((known.family, known.name))
        if template is not None:
            given: dict[str, Any] = {"value": self._symbol(known.value or "none")}
            if known.number is not None:
                given["number"] = float(known.number)
            template.assert_fact(**given)
        if known.family in self._any:
            self._templates[known.family, ANY].assert_fact()

    def _rule(self, item: StratifiedRule, branch: Branch, salience: int, index: int) -> str:
        patterns = [self._pattern(leaf, f"{number}") for number, leaf in enumerate(branch)]
        if all(leaf.negated for leaf in branch):
            patterns.insert(0, f"(stage--{ANY})")
        actions = [f"(assert (fed (id {item.id})))"] if item.kind in _FEEDS else []
        actions += ["(believe)"] if item.kind == BELIEF else []
        for family, name, value in conclusions(item):
            actions.append(f"(assert ({family}--{name} (value {value or 'none'})))")
            if family in self._any:
                actions.append(f"(assert ({family}--{ANY}))")
        return (
            f"(defrule {item.id}--{index} (declare (salience {salience})) "
            f"{' '.join(patterns)} => {' '.join(actions)})"
        )

    def _pattern(self, leaf: Leaf, variable: str) -> str:
        slots = ""
        if leaf.comparison is not None:
            limit = leaf.limit
            if isinstance(limit, str):
                limit = self._thresholds[limit]
            test = f"({COMPARE[leaf.comparison]} ?n{variable} {float(limit)!r})"
            slots = f"(number ?n{variable}&:(and (numberp ?n{variable}) {test}))"
        elif leaf.family == "answered":
            slots = "(value " + "&".join(f"~{value}" for value in NO_ANSWER) + ")"
        elif leaf.values:
            slots = "(value " + "|".join(leaf.values) + ")"
        pattern = f"({_family(leaf.family)}--{leaf.name} {slots})"
        return f"(not {pattern})" if leaf.negated else pattern


def _family(family: str) -> str:
    return "answer" if family == "answered" else family
