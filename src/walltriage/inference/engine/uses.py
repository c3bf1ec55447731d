"""Which rules read which question, followed through derived facts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from walltriage.inference.numbers.computed import SPAN_HELD, SPAN_INPUTS
from walltriage.inference.numbers.measured_span import HELD, LUMBER, SIDES
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.reads import questions_behind, questions_of
from walltriage.knowledge.schema_guards import CautionRule, Gate, ReferralRule
from walltriage.knowledge.schema_scope import ContradictionRule
from walltriage.knowledge.terms import Leaf, branches


@dataclass(slots=True)
class Uses:
    """What one question feeds: load paths by the kind of rule, scope guards, and more.

    ``feeds`` names computed questions that a measurement helps to work out.
    """

    clue_paths: set[str] = field(default_factory=set)
    sign_paths: set[str] = field(default_factory=set)
    rate_paths: set[str] = field(default_factory=set)
    scope: set[str] = field(default_factory=set)
    feeds: set[str] = field(default_factory=set)
    other: set[str] = field(default_factory=set)

    @property
    def paths(self) -> set[str]:
        return self.clue_paths | self.sign_paths | self.rate_paths

    @property
    def anything(self) -> bool:
        return bool(self.paths or self.scope or self.other)


def question_uses(base: KnowledgeBase) -> dict[str, Uses]:
    """The uses of every question."""
    behind = questions_behind(base)
    uses = {name: Uses() for name in base.questions}

    def read(term: Any) -> Iterable[str]:
        return questions_of(term, behind)

    for path in base.paths.values():
        for clues in path.clues.values():
            for clue in clues:
                for name in (clue.question, *read(clue.when)):
                    uses[name].clue_paths.add(path.id)
    for load_path, sign in base.signs():
        for name in read(sign.when):
            uses[name].sign_paths.add(load_path)
    for load_path, rate in base.base_rates():
        for name in read(rate.when):
            uses[name].rate_paths.add(load_path)
    for guard in base.scope:
        for name in read(guard.when):
            uses[name].scope.add(guard.id)
    other_rules: tuple[ContradictionRule | Gate | CautionRule | ReferralRule, ...] = (
        *base.contradictions,
        *base.guards.gates,
        *base.cautions.cautions,
        *base.cautions.referrals,
    )
    for rule in other_rules:
        for name in read(rule.when):
            uses[name].other.add(rule.id)
    for question in base.questions.values():
        for name in read(question.entry.applies):
            uses[name].other.add(question.id)
    _add_measures(base, uses)
    return uses


def _add_measures(base: KnowledgeBase, uses: dict[str, Uses]) -> None:
    """A measurement feeds what is worked out from it, and the numbers of a report."""
    measures = base.measures
    from_spans = {
        measures.span_need: SPAN_INPUTS + SPAN_HELD, measures.span_ratio: SIDES + HELD + LUMBER
    }  # fmt: skip
    for name, readings in measures.inputs.items():
        for reading in readings:
            uses[reading.question].other.add("numbers")
            asked = reading.question in measures.asked_for_numbers
            for computed, names in from_spans.items():
                if computed is not None and (asked or name in names):
                    uses[reading.question].feeds.add(computed)


def lifting(base: KnowledgeBase, uses: Mapping[str, Uses], gate: Gate) -> frozenset[str]:
    """The questions an answer to which could make the gate let go."""
    direct = {name for name, use in uses.items() if gate.id in use.other}
    leaves = [leaf for branch in branches(gate.when) for leaf in branch]
    return frozenset(direct.union(*(_moving(base, uses, leaf) for leaf in leaves)))


def _moving(base: KnowledgeBase, uses: Mapping[str, Uses], leaf: Leaf) -> set[str]:
    """The questions that move what this test reads of the belief."""
    if leaf.family == "path":
        return {name for name, use in uses.items() if leaf.name in use.paths}
    if leaf.family == "measure":
        return {name for name, use in uses.items() if use.clue_paths}
    if leaf.family == "seen_against":
        seen = base.guards.seen_kinds
        return {
            name
            for name, use in uses.items()
            if leaf.name in use.clue_paths and base.questions[name].entry.kind in seen
        }
    return set()
