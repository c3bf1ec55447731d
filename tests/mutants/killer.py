"""Which check notices a fault: the cheapest first.

Rules' cases and whole-wall scenarios run through the column evaluator, all of them at once,
which takes less time than finding out which of them a fault could touch.
"""

from __future__ import annotations

import re
import time
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from tests.mutants.mutant import Mutant
from tests.rules.leanings import leanings, rates_worded_otherwise
from walltriage.case.model import Case
from walltriage.errors import InputError
from walltriage.inference.columns.codes import Batch
from walltriage.inference.columns.evaluator import (
    PATH_STATES,
    VERDICTS,
    BatchResult,
    ColumnEvaluator,
)
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.lints.model import Lint
from walltriage.knowledge.load import knowledge_of, parsed_files
from walltriage.rule_testing.lints import ALL_LINTS
from walltriage.rule_testing.rule_cases import case_answers
from walltriage.rule_testing.scenario_files import read_scenarios
from walltriage.rule_testing.scenarios import Scenario, ScenarioOutcome, failures_by

STAGES = ("load", "cases", "scenarios", "lints", "leanings", "proofs")
SAME = "same"  # shown to do the same as the rules it was made from: no check could notice


@dataclass(frozen=True, slots=True)
class _RuleCases:
    """The rules' own cases as rows of one batch: where each rule must fire and where not."""

    batch: Batch
    rows: Mapping[str, tuple[range, range]]


class Killer:
    """Runs mutants of one rules folder through the checks; nothing is written."""

    def __init__(self, folder: Path, scenarios: Path | None = None) -> None:
        self.folder, self.files = folder, parsed_files(folder)
        base = knowledge_of(folder, self.files)
        columns = ColumnEvaluator(base)
        self._cases = _rule_cases(columns)
        self._scenarios = [] if scenarios is None else read_scenarios(scenarios, base)
        self._walls = [
            case for s in self._scenarios for case in (s.case, *(m.case for m in s.near_misses))
        ]
        self._wall_rows = columns.encode_cases(self._walls)
        self._named = _named(self._scenarios)
        self._lints = _timed(base)
        self._leanings, self._rates = leanings(base), rates_worded_otherwise(base)
        self.base = base

    def fate(self, mutant: Mutant) -> str | None:
        """Like :meth:`stage`, with :data:`SAME` for a survivor that cannot be told apart."""
        stage = self.stage(mutant)
        if stage is None:
            from tests.mutants.same import same  # z3, wanted for survivors only

            return SAME if same(self.base, self.knowledge(mutant)) else None
        return stage

    def knowledge(self, mutant: Mutant) -> KnowledgeBase:
        """The rules with the fault put in; :class:`InputError` when they no longer load."""
        return knowledge_of(self.folder, mutant.of(self.files))

    def stage(self, mutant: Mutant) -> str | None:
        """The first check that objects to a mutant; None when all let it pass."""
        try:
            base = self.knowledge(mutant)
            columns = ColumnEvaluator(base)
        except InputError:
            return "load"
        if self._fails_cases(columns):
            return "cases"
        if not self._named <= set(columns.rule_ids) or self.failed_scenarios(columns):
            return "scenarios"
        if self.doubted(base):
            return "lints"
        if leanings(base) != self._leanings or rates_worded_otherwise(base) != self._rates:
            return "leanings"
        return None if _proved(base) else "proofs"

    def _fails_cases(self, columns: ColumnEvaluator) -> bool:
        fired = columns.evaluate(self._cases.batch).fired
        for column, rule in enumerate(columns.rule_ids):
            if rule in self._cases.rows:
                met, quiet = self._cases.rows[rule]
                if not fired[met, column].all() or fired[quiet, column].any():
                    return True
        return False

    def doubted(self, base: KnowledgeBase) -> str | None:
        """The first lint that says something of a changed knowledge base and did not before."""
        return next((n.id for n, before in self._lints if _doubts(n, base) - before), None)

    def failed_scenarios(self, columns: ColumnEvaluator) -> list[str]:
        """Names of the scenarios that a changed knowledge base no longer meets."""
        if not self._scenarios:
            return []
        result = columns.evaluate(self._wall_rows)
        rows = {id(case): row for row, case in enumerate(self._walls)}

        def come_out(case: Case) -> ScenarioOutcome:
            return _outcome(result, rows[id(case)])

        return [s.name for s in self._scenarios if failures_by(come_out, s)]


def _rule_cases(columns: ColumnEvaluator) -> _RuleCases:
    answers, rows = [], {}
    for _, rule in columns.base.rules():
        if rule.status == "retired":
            continue
        start, turn = len(answers), len(answers) + len(rule.cases.fires)
        given = (*rule.cases.fires, *rule.cases.quiet)
        answers += [case_answers(columns.base, case) for case in given]
        rows[rule.id] = (range(start, turn), range(turn, len(answers)))
    return _RuleCases(columns.coder.encode(answers), rows)


def _outcome(result: BatchResult, row: int) -> ScenarioOutcome:
    statuses = [PATH_STATES[code] for code in result.path_status[row]]
    paths = dict(zip(result.path_ids, statuses, strict=True))
    return ScenarioOutcome(VERDICTS[result.verdict[row]], paths, frozenset(result.fired_rules(row)))


def _named(scenarios: list[Scenario]) -> frozenset[str]:
    """Every rule that a scenario speaks of."""
    expected = [e for s in scenarios for e in (s.expect, *(m.expect for m in s.near_misses))]
    return frozenset(rule for e in expected for rule in (*e.fires, *e.not_fires))


def _proved(base: KnowledgeBase) -> bool:
    from walltriage.prove.prover import Prover, run  # z3, wanted for survivors only
    from walltriage.prove.safety import SAFETY

    return all(proof.holds for proof in run(Prover(base), SAFETY))


def _timed(base: KnowledgeBase) -> list[tuple[Lint, frozenset[str]]]:
    """The lints with what they say of the rules as they are, the quickest first."""
    taken = []
    for lint in ALL_LINTS:
        start = time.perf_counter()
        doubts = _doubts(lint, base)
        taken.append((time.perf_counter() - start, lint.id, (lint, doubts)))
    return [row for *_, row in sorted(taken, key=lambda found: found[:2])]


def _doubts(lint: Lint, base: KnowledgeBase) -> frozenset[str]:
    """What a lint says of a base, figures left out: another figure is no new finding."""
    return frozenset(re.sub(r"[\d.]+", "#", problem.what) for problem in lint.run(base))
