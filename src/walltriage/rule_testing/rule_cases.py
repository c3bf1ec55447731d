"""Run the cases that every rule carries: it must fire on some answers and stay quiet on others."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from walltriage.case.answers import AnswerError, make_answer
from walltriage.case.model import SURENESS_IN_FILES, Answer
from walltriage.errors import Problem
from walltriage.inference.engine.closure import ClosureRun, RuleClosures
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.schema import Rule


@dataclass(frozen=True, slots=True)
class CaseRun:
    """One case of a rule and what came out: ``wanted`` is ``fires`` or ``quiet``."""

    wanted: str
    index: int
    given: Mapping[str, Any]
    answers: Mapping[str, Answer]
    run: ClosureRun


def case_runs(closures: RuleClosures, rule: Rule) -> Iterator[CaseRun]:
    """ClosureRun each case of a rule.

    Raises :class:`AnswerError` for a case whose answers do not fit their questions.
    """
    for kind, sets in (("fires", rule.cases.fires), ("quiet", rule.cases.quiet)):
        for index, given in enumerate(sets):
            answers = case_answers(closures.evaluator.base, given)
            yield CaseRun(kind, index, given, answers, closures.run(rule.id, answers))


def run_cases(
    closures: RuleClosures, on_rule: Callable[[], object] = lambda: None
) -> list[Problem]:
    """A problem for each case that goes the wrong way; ``on_rule`` is called after each rule."""
    base = closures.evaluator.base
    problems: list[Problem] = []
    for _, rule in base.rules():
        if rule.status != "retired":
            problems += _wrong_cases(closures, rule)
        on_rule()
    return problems


def _wrong_cases(closures: RuleClosures, rule: Rule) -> Iterator[Problem]:
    base = closures.evaluator.base
    try:
        for case in case_runs(closures, rule):
            if (rule.id in case.run.fired) == (case.wanted == "fires"):
                continue
            words = "fire" if case.wanted == "fires" else "stay quiet"
            place = base.place(rule.id, "cases", case.wanted, case.index)
            what = f"'{rule.id}' does not {words} on {dict(case.given)}"
            yield Problem(*place, what, "fix the rule or its case")
    except AnswerError as error:
        place = base.place(rule.id, "cases")
        yield Problem(*place, f"case of '{rule.id}': {error.what}", error.expected)


def case_answers(base: KnowledgeBase, given: Mapping[str, Any]) -> dict[str, Answer]:
    """Answers of one rule case, checked like any others; computed questions are allowed."""
    return {name: _case_answer(base, name, value) for name, value in given.items()}


def _case_answer(base: KnowledgeBase, name: str, given: Any) -> Answer:
    if isinstance(given, dict):
        sure = given.get("sure", "certain")
        if sure not in SURENESS_IN_FILES:
            raise AnswerError(
                f"'{sure}' is no sureness", f"expected {', '.join(SURENESS_IN_FILES)}"
            )
        return make_answer(name, base.questions[name], given.get("value"), sure=sure)
    return make_answer(name, base.questions[name], given)
