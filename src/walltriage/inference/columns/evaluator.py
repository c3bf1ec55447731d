"""The knowledge base compiled to columns: many walls evaluated at once.

Gives what ``inference.evaluate`` gives, wall for wall: the rules that fire, belief,
verdict, contradictions, cautions, referral.  experta stays the reference for what
fires, and the explainer; the belief between is the same code for both.  Walls are
worked on in chunks small enough for a core's caches, so that cost stays proportional to
their number.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields
from typing import Any

import numpy as np

from walltriage.case.model import Answer, Case
from walltriage.inference.belief.columns import ColumnBelief
from walltriage.inference.belief.step import Beliefs, BeliefStep
from walltriage.inference.columns.cases import answers_of_walls
from walltriage.inference.columns.codes import Batch, Bools, Coder, Codes, Floats
from walltriage.inference.columns.computed import fill_computed
from walltriage.inference.columns.rules import PATH_STATES, Chunk, ColumnRules
from walltriage.inference.engine.strata import BELIEF, StratifiedRule, stratify
from walltriage.inference.finding import LEVELS, Verdict
from walltriage.inference.relations.plan_answers import check_relations
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.schema_guards import VerdictRule

VERDICTS: tuple[Verdict, ...] = ("cannot_tell", "likely_bearing", "likely_non_bearing")
CHUNK = 16_384  # walls; one column of numbers is then 128 kB
_ALLOWED = 31 << 20
STRONG = LEVELS.index("strong")


@dataclass(frozen=True, slots=True)
class BatchResult:
    """What came out for ``n`` walls, ``p`` load paths and ``r`` rules.

    ``verdict`` (n,): index into ``VERDICTS``.  ``decided_by`` (n,): index into
    ``rule_ids``, -1 when no verdict rule fired.  ``lower``, ``upper``,
    ``middle``, ``upper_without_adverse`` (n,): bounds of the chance that the wall bears, one
    chance between, and the upper one without answers for bearing that might hide others.
    ``path_low``, ``path_high`` (n, p): posterior bounds.  ``path_status`` (n, p): index
    into ``PATH_STATES``.  ``seen_against`` (n, p).  ``fired`` (n, r): in order of firing,
    with the belief step and the questions that apply under their own ids.
    ``referral`` (n,): index into ``LEVELS``.
    """

    rule_ids: tuple[str, ...]
    rule_kinds: tuple[str, ...]
    path_ids: tuple[str, ...]
    verdict: Codes
    decided_by: np.ndarray
    lower: Floats
    upper: Floats
    middle: Floats
    upper_without_adverse: Floats
    path_low: Floats
    path_high: Floats
    path_status: np.ndarray
    seen_against: Bools
    fired: Bools
    referral: Codes

    def __len__(self) -> int:
        return len(self.verdict)

    def rows(self, which: slice) -> BatchResult:
        """Some of the walls."""
        shared = (self.rule_ids, self.rule_kinds, self.path_ids)
        parts = (getattr(self, field.name)[which] for field in fields(self)[len(shared) :])
        return BatchResult(*shared, *parts)

    def fired_rules(self, row: int, kind: str | None = None) -> list[str]:
        """Ids of the rules (of one kind) that fired for a wall, in order of firing."""
        return [
            self.rule_ids[index]
            for index in np.flatnonzero(self.fired[row])
            if kind is None or self.rule_kinds[index] == kind
        ]


class ColumnEvaluator:
    """A knowledge base ready to evaluate many walls; build once, use for many.

    ``stratified`` and ``step`` are its rules in order and its belief, where they are made already.
    Raises :class:`InputError` for a knowledge base that columns cannot do exactly.
    """

    def __init__(
        self,
        base: KnowledgeBase,
        stratified: list[StratifiedRule] | None = None,
        step: BeliefStep | None = None,
    ) -> None:
        check_relations(base)
        _keep_memory()
        self.base = base
        self.coder = Coder(base)
        self.stratified = stratified or stratify(base)
        self.rule_ids = tuple(item.id for item in self.stratified)
        self.belief = ColumnBelief(step or BeliefStep(base), self.stratified, self.coder)
        columns = {path: index for index, path in enumerate(base.paths)}
        thresholds = dict(base.guards.thresholds)
        self._rules = ColumnRules(self.stratified, self.coder, thresholds, columns)
        self._kinds = tuple(item.kind for item in self.stratified)
        position = {name: index for index, name in enumerate(self.rule_ids)}
        # (position, code) in order of firing: the first that fires decides
        self.verdict_rules = tuple(
            (index, VERDICTS.index(item.rule.concludes))
            for index, item in enumerate(self.stratified)
            if isinstance(item.rule, VerdictRule)
        )
        self._referrals = [
            (position[rule.id], LEVELS.index(rule.level))
            for rule in base.cautions.referrals
            if rule.id in position
        ] + [(position[rule.id], STRONG) for rule in base.scope if rule.id in position]

    def encode(self, answers: Iterable[Mapping[str, Answer]]) -> Batch:
        """One row for each answer set; computed answers are added as for a single wall."""
        batch = self.coder.encode(answers)
        fill_computed(self.coder, batch)
        return batch

    def encode_cases(self, cases: Iterable[Case]) -> Batch:
        """One row for each wall of each case, in order."""
        return self.encode(self.answers(cases))

    def answers(self, cases: Iterable[Case]) -> list[dict[str, Answer]]:
        """The answers that count for each wall of each case, in order."""
        return answers_of_walls(self.base, cases, self._verdicts)

    def _verdicts(self, answers: Sequence[Mapping[str, Answer]]) -> list[Verdict]:
        return [VERDICTS[code] for code in self.evaluate(self.encode(answers)).verdict]

    def evaluate(self, batch: Batch) -> BatchResult:
        """All rules on all walls of a batch."""
        result = self._empty(len(batch))
        for rows in _chunks(len(batch)):
            self._evaluate_chunk(batch.rows(rows), result, rows)
        return result

    def steps(self, batch: Batch) -> Iterable[tuple[slice, Chunk, Beliefs]]:
        """Evaluate chunk by chunk, handing out the working results of each (for planning)."""
        for rows in _chunks(len(batch)):
            part = batch.rows(rows)
            chunk = Chunk(part, np.empty((len(part), len(self.stratified)), bool, order="F"))
            yield rows, chunk, self._run(chunk)

    def _empty(self, walls: int) -> BatchResult:
        def matrix(columns: int, kind: Any) -> np.ndarray:
            return np.empty((walls, columns), kind, order="F")

        paths = len(self.base.paths)
        return BatchResult(
            self.rule_ids,
            self._kinds,
            tuple(self.base.paths),
            verdict=np.zeros(walls, np.uint8),
            decided_by=np.full(walls, -1, np.int16),
            lower=np.empty(walls),
            upper=np.empty(walls),
            middle=np.empty(walls),
            upper_without_adverse=np.empty(walls),
            path_low=matrix(paths, float),
            path_high=matrix(paths, float),
            path_status=matrix(paths, np.int8),
            seen_against=matrix(paths, bool),
            fired=matrix(len(self.stratified), bool),
            referral=np.full(walls, STRONG, np.uint8),
        )

    def _evaluate_chunk(self, part: Batch, result: BatchResult, rows: slice) -> None:
        chunk = Chunk(part, result.fired[rows])
        beliefs = self._run(chunk)
        result.path_low[rows], result.path_high[rows] = beliefs.low, beliefs.high
        result.path_status[rows] = beliefs.status
        result.seen_against[rows] = beliefs.seen_against
        for name, values in beliefs.measures.items():
            getattr(result, name)[rows] = values
        verdict, decided_by = result.verdict[rows], result.decided_by[rows]
        for index, code in reversed(self.verdict_rules):  # the first to fire decides
            met = chunk.fired[:, index]
            verdict[met], decided_by[met] = code, index
        level = np.full(len(chunk), -1, np.int8)
        for index, code in self._referrals:
            np.maximum(
                level, np.where(chunk.fired[:, index], np.int8(code), np.int8(-1)), out=level
            )
        result.referral[rows] = np.where(level >= 0, level, STRONG)

    def _run(self, chunk: Chunk) -> Beliefs:
        """Fire every rule of a chunk, layer by layer."""
        beliefs: Beliefs | None = None
        for position, item in enumerate(self.stratified):
            if item.id == BELIEF:
                beliefs = self.belief.step(chunk)
                chunk.path_status, chunk.seen_against = beliefs.status, beliefs.seen_against
                chunk.measures = beliefs.measures
                chunk.fired[:, position] = True
            else:
                chunk.fired[:, position] = self._rules.holds(chunk, position)
        assert beliefs is not None  # the plan always holds the belief step
        return beliefs


def _chunks(walls: int) -> Iterator[slice]:
    """Stretches of walls, as few as may be and about as long as each other: each costs some
    milliseconds however short it is."""
    count = -(-walls // CHUNK)
    for index in range(count):
        yield slice(walls * index // count, walls * (index + 1) // count)


def _keep_memory() -> None:
    """Have the C library keep the memory of columns between chunks.

    Of glibc, the largest block given back so far says how much it hands to the system at once; it
    begins with so little that a chunk may fault in all its columns anew, half the time of judging.
    Elsewhere this does nothing; the block is never touched.
    """
    np.empty(_ALLOWED, np.uint8)


__all__ = ["CHUNK", "PATH_STATES", "VERDICTS", "BatchResult", "ColumnEvaluator"]
