"""Conditions of rules as operations on whole columns.

A leaf of a condition becomes a column of truth values over the walls.  Leaves that many
rules share are worked out once a chunk.  A form that cannot be done here is refused
when the knowledge base is compiled, never answered differently.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

import numpy as np

from walltriage.case.model import DEGREES, LESS_SURE
from walltriage.errors import InputError, Problem
from walltriage.inference.columns.codes import (
    FIRST_VALUE,
    NOT_ASKED,
    OUT_OF_REACH,
    UNKNOWN,
    Batch,
    Bools,
    Coder,
    Floats,
)
from walltriage.inference.engine.strata import StratifiedRule, conclusions
from walltriage.inference.finding import PathStatus
from walltriage.knowledge.rule_kinds import KIND_ASKED
from walltriage.knowledge.terms import ANY, NO_ANSWER, Leaf, positive

PATH_STATES: tuple[PathStatus, ...] = ("open", "established", "ruled_out")
COMPARE: Mapping[str, Callable[[Floats, float], Bools]] = {
    "at_least": np.greater_equal,
    "at_most": np.less_equal,
    "above": np.greater,
    "below": np.less,
}


@dataclass(slots=True)
class Chunk:
    """A stretch of walls being worked on: ``n`` rows.

    ``fired`` (n, rules) is filled layer by layer; the belief step sets ``path_status``
    and ``seen_against`` (n, paths) and ``measures`` (n each).
    """

    batch: Batch
    fired: Bools
    path_status: np.ndarray | None = None
    seen_against: Bools | None = None
    measures: dict[str, Floats] = field(default_factory=dict)
    met: dict[int, Bools] = field(default_factory=dict)

    def __len__(self) -> int:
        return len(self.batch)


Test = Callable[[Chunk], Bools]


class ColumnRules:
    """The conditions of all stratified rules, compiled; :class:`InputError` if one cannot be."""

    def __init__(
        self,
        stratified: list[StratifiedRule],
        coder: Coder,
        thresholds: Mapping[str, float],
        paths: Mapping[str, int],
    ) -> None:
        self._coder, self._thresholds, self._paths = coder, thresholds, paths
        self._makers = _makers(stratified)
        self._tests: list[Test] = []
        self._known: dict[tuple[Leaf, tuple[int, ...]], int] = {}
        # each branch as (position of the test, negated) pairs
        self._branches = [
            [
                [(self._test(leaf, item, position), leaf.negated) for leaf in branch]
                for branch in item.branches
            ]
            for position, item in enumerate(stratified)
        ]

    def holds(self, chunk: Chunk, position: int) -> Bools:
        """Where the condition of the stratified rule at ``position`` holds."""
        branches = iter(self._branches[position])
        first = next(branches, None)
        if first is None:
            return np.zeros(len(chunk), bool)
        result = self._branch(chunk, first)
        for branch in branches:
            result |= self._branch(chunk, branch)
        return result

    def _branch(self, chunk: Chunk, branch: list[tuple[int, bool]]) -> Bools:
        result: Bools | None = None
        for test, negated in branch:
            met = chunk.met.get(test)
            if met is None:
                met = chunk.met[test] = self._tests[test](chunk)
            if result is None:
                result = ~met if negated else met.copy()
            elif negated:  # for truth values "a > b" is "a and not b", in one pass
                np.greater(result, met, out=result)
            else:
                result &= met
        return np.ones(len(chunk), bool) if result is None else result

    def _test(self, leaf: Leaf, item: StratifiedRule, position: int) -> int:
        """Position of the test for a leaf as the rule at ``position`` reads it."""
        plain = positive(leaf)
        key = plain, self._makers_before(plain, position)
        test = self._known.get(key)
        if test is None:
            test = self._known[key] = len(self._tests)
            self._tests.append(self._compile(plain, item, key[1]))
        return test

    def _makers_before(self, leaf: Leaf, position: int) -> tuple[int, ...]:
        """The rules before this one that conclude what the leaf asks for."""
        return tuple(
            maker
            for name, value, maker in self._makers.get(leaf.family, ())
            if maker < position
            and leaf.name in (name, ANY)
            and (not leaf.values or value in leaf.values)
        )

    def _compile(self, leaf: Leaf, item: StratifiedRule, makers: tuple[int, ...]) -> Test:
        if leaf.name == ANY and leaf.family not in KIND_ASKED:
            raise _cannot(self._coder, item, f"'{leaf.family}: any'")
        if leaf.family in ("answer", "answered"):
            return self._answer(leaf, item)
        if leaf.family in LESS_SURE:
            return self._less_sure(leaf)
        if leaf.family == "path":
            return self._path(leaf)
        if leaf.family == "seen_against":
            column = self._paths[leaf.name]
            return _never if leaf.values else lambda chunk: _known(chunk.seen_against)[:, column]
        if leaf.family == "measure":
            return self._measure(leaf)
        if leaf.family in (*KIND_ASKED, "fact", "verdict", "rate"):
            return _concluded(makers)
        raise _cannot(self._coder, item, f"'{leaf.family}'")

    def _answer(self, leaf: Leaf, item: StratifiedRule) -> Test:
        column = self._coder.column[leaf.name]
        if leaf.comparison is not None:
            if leaf.name not in self._coder.number_column:
                raise _cannot(self._coder, item, f"'{leaf.comparison}' of '{leaf.name}'")
            number = self._coder.number_column[leaf.name]
            compare, limit = COMPARE[leaf.comparison], float(leaf.limit or 0)
            return lambda chunk: compare(chunk.batch.numbers[:, number], limit)
        if leaf.family == "answered":
            return lambda chunk: chunk.batch.codes[:, column] >= FIRST_VALUE
        if not leaf.values:
            return lambda chunk: chunk.batch.codes[:, column] != NOT_ASKED
        codes = [self._code(column, value) for value in leaf.values]
        return lambda chunk: _is_one_of(chunk.batch.codes[:, column], codes)

    def _less_sure(self, leaf: Leaf) -> Test:
        column = self._coder.column[leaf.name]
        degrees = [DEGREES.index(sure) for sure in LESS_SURE[leaf.family]]
        return lambda chunk: (
            _is_one_of(chunk.batch.sure[:, column], degrees)
            & (chunk.batch.codes[:, column] >= FIRST_VALUE)
        )

    def _code(self, column: int, value: str) -> int:
        if value in NO_ANSWER:
            return (UNKNOWN, OUT_OF_REACH)[NO_ANSWER.index(value)]
        return FIRST_VALUE + self._coder.values[column].index(value)

    def _path(self, leaf: Leaf) -> Test:
        column = self._paths[leaf.name]
        codes = [PATH_STATES.index(v) for v in leaf.values or PATH_STATES]
        return lambda chunk: _is_one_of(_known(chunk.path_status)[:, column], codes)

    def _measure(self, leaf: Leaf) -> Test:
        if leaf.comparison is None:
            return _never if leaf.values else _always
        limit = measure_limit(leaf, self._thresholds)
        compare = COMPARE[leaf.comparison]
        return lambda chunk: compare(chunk.measures[leaf.name], limit)


def _concluded(makers: tuple[int, ...]) -> Test:
    if not makers:
        return _never
    if len(makers) == 1:
        return lambda chunk: chunk.fired[:, makers[0]]
    return lambda chunk: np.logical_or.reduce([chunk.fired[:, maker] for maker in makers])


def measure_limit(leaf: Leaf, thresholds: Mapping[str, float]) -> float:
    """The number a test of a measure compares with."""
    return thresholds[leaf.limit] if isinstance(leaf.limit, str) else float(leaf.limit or 0)


def _makers(stratified: list[StratifiedRule]) -> dict[str, list[tuple[str, str, int]]]:
    """By family: (name, value, position of the rule) of everything rules conclude."""
    makers: dict[str, list[tuple[str, str, int]]] = {}
    for position, item in enumerate(stratified):
        for family, name, value in conclusions(item):
            makers.setdefault(family, []).append((name, value, position))
    return makers


def _is_one_of(column: np.ndarray, codes: list[int]) -> Bools:
    result: Bools = column == codes[0]
    for code in codes[1:]:
        result |= column == code
    return result


def _known(found: np.ndarray | None) -> np.ndarray:
    assert found is not None  # rules that read beliefs come after the belief step
    return found


def _never(chunk: Chunk) -> Bools:
    return np.zeros(len(chunk), bool)


def _always(chunk: Chunk) -> Bools:
    return np.ones(len(chunk), bool)


def _cannot(coder: Coder, item: StratifiedRule, form: str) -> InputError:
    place = coder.base.places.get(item.id, ("rules", 0, 0))
    what = f"the condition {form} of '{item.id}' cannot be evaluated for many walls at once"
    return InputError(Problem(*place, what, "expected one of the documented forms"))
