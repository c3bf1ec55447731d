"""Exercise a knowledge base: every rule's own cases, scenarios and transcripts, counted."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from walltriage.case.answers import AnswerError
from walltriage.case.model import Case
from walltriage.inference.engine.closure import RuleClosures
from walltriage.inference.triage import Triager
from walltriage.rule_testing.coverage import Coverage
from walltriage.rule_testing.rule_cases import case_runs
from walltriage.rule_testing.scenarios import Scenario


def exercise(
    triager: Triager,
    scenarios: Iterable[Scenario],
    transcripts: Iterable[Case],
    on_step: Callable[[], object] = lambda: None,
) -> Coverage:
    """Run everything; ``on_step`` is called after each rule, scenario and transcript.

    A rule case that does not fit its questions counts for nothing here; ``rules check``
    tells it.
    """
    closures = RuleClosures(triager.evaluator)
    coverage = Coverage(triager.base, closures.stratified)
    for _, rule in triager.base.rules():
        if rule.status != "retired":
            try:
                for tried in case_runs(closures, rule):
                    coverage.add(tried.run, tried.answers)
            except AnswerError:
                pass
        on_step()
    for scenario in scenarios:
        for case in (scenario.case, *(miss.case for miss in scenario.near_misses)):
            _add_walls(triager, closures, coverage, case)
        on_step()
    for case in transcripts:
        _add_walls(triager, closures, coverage, case)
        on_step()
    return coverage


def _add_walls(triager: Triager, closures: RuleClosures, coverage: Coverage, case: Case) -> None:
    for wall in case.walls:
        answers = triager.answers(case, wall.id)
        coverage.add(closures.of(triager.evaluator.evaluate(answers), answers), answers)
