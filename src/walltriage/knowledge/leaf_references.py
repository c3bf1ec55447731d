"""Checks one test of a condition: what it names exists and can have the values it asks for."""

from __future__ import annotations

from typing import Any

from walltriage.knowledge.base import AskedQuestion, KnowledgeBase
from walltriage.knowledge.rule_kinds import KIND_ASKED
from walltriage.knowledge.terms import ANY, LESS_THAN_CERTAIN, NO_ANSWER, Leaf
from walltriage.knowledge.unknown import unknown

PATH_STATES = ("established", "ruled_out", "open")
MEASURES = ("lower", "upper", "middle", "upper_without_adverse")
VERDICTS = ("likely_bearing", "likely_non_bearing")


def leaf_problem(base: KnowledgeBase, leaf: Leaf) -> tuple[str, str] | None:
    """What is wrong with one test, as (what, expected), or None."""
    if leaf.family in ("answer", "answered"):
        return unknown("question", leaf.name, base.questions) or _answer_problem(
            base.questions[leaf.name], leaf
        )
    if leaf.family in LESS_THAN_CERTAIN:
        return unknown("question", leaf.name, base.questions)
    if leaf.family in ("path", "seen_against"):
        return unknown("load path", leaf.name, base.paths) or _values_problem(leaf, PATH_STATES)
    if leaf.family == "fact":
        return _fact_problem(base, leaf)
    if leaf.family == "measure":
        limit = str(leaf.limit)
        return unknown("measure", leaf.name, MEASURES) or unknown(
            "threshold", limit, base.guards.thresholds
        )
    if leaf.family == "verdict":
        return unknown("verdict", leaf.name, VERDICTS)
    asked = KIND_ASKED[leaf.family]
    known = [rule.id for kind, rule in base.rules() if kind == asked]
    return unknown(leaf.family, leaf.name, [ANY, *known])


def _fact_problem(base: KnowledgeBase, leaf: Leaf) -> tuple[str, str] | None:
    known: dict[str, set[str]] = {}
    for rule in base.facts:
        for name, value in rule.concludes.items():
            known.setdefault(name, set()).add(value)
    return unknown("fact", leaf.name, known) or _values_problem(leaf, sorted(known[leaf.name]))


def _values_problem(leaf: Leaf, known: Any) -> tuple[str, str] | None:
    for value in leaf.values:
        message = unknown(f"value for {leaf.name}", value, known)
        if message:
            return message
    return None


def _answer_problem(question: AskedQuestion, leaf: Leaf) -> tuple[str, str] | None:
    if leaf.comparison is not None:
        if question.entry.answer in ("length", "number"):
            return None
        return f"'{leaf.name}' is not measured", "expected is: or in: with its options"
    return _values_problem(leaf, (*question.values, *NO_ANSWER))
