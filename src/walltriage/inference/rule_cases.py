"""Run the cases that every rule carries: it must fire on some answers and stay quiet on others."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from walltriage.case.answers import AnswerError, make_answer
from walltriage.case.model import Answer
from walltriage.errors import Problem
from walltriage.inference.evaluate import Evaluator


def run_cases(evaluator: Evaluator, on_rule: Callable[[], object] = lambda: None) -> list[Problem]:
    """A problem for each case that goes the wrong way; ``on_rule`` is called after each rule."""
    base, problems = evaluator.base, []
    seen: dict[tuple[tuple[str, str], ...], frozenset[str]] = {}
    for _, rule in base.rules():
        place = base.places.get(rule.id, ("rules", 0, 0))
        if rule.status != "retired":
            for kind, sets in (("fires", rule.cases.fires), ("quiet", rule.cases.quiet)):
                for given in sets:
                    try:
                        fired = _fired(evaluator, given, seen)
                    except AnswerError as error:
                        problems.append(
                            Problem(*place, f"case of '{rule.id}': {error.what}", error.expected)
                        )
                        continue
                    if (rule.id in fired) != (kind == "fires"):
                        wanted = "fire" if kind == "fires" else "stay quiet"
                        problems.append(
                            Problem(
                                *place,
                                f"'{rule.id}' does not {wanted} on {given}",
                                "mend the rule or its case",
                            )
                        )
        on_rule()
    return problems


def case_answers(evaluator: Evaluator, given: Mapping[str, Any]) -> dict[str, Answer]:
    """Answers of one rule case, checked like any others; computed questions are allowed."""
    questions = evaluator.base.questions
    return {name: make_answer(name, questions[name], value) for name, value in given.items()}


def _fired(
    evaluator: Evaluator,
    given: Mapping[str, Any],
    seen: dict[tuple[tuple[str, str], ...], frozenset[str]],
) -> frozenset[str]:
    key = tuple(sorted((name, str(value)) for name, value in given.items()))
    if key not in seen:
        result = evaluator.evaluate(case_answers(evaluator, given))
        seen[key] = frozenset(firing.rule for firing in result.firings)
    return seen[key]
