"""The belief step for whole columns: posteriors, path status and measures of many walls.

Works in odds instead of decibans, which needs no logarithm: the odds of a path are those
of its base rate times one looked-up ratio a condition.  Where a result comes so close to
a threshold that rounding could decide, the reference arithmetic decides instead.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from walltriage.errors import InputError, Problem
from walltriage.inference.belief import Belief, logit_db
from walltriage.inference.evaluate import Evaluation, posterior
from walltriage.inference.strata import Planned
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.schema import Clue
from walltriage.study.codes import Bools, Coder, Floats
from walltriage.study.column_rules import PATH_STATES, Chunk, measure_limit
from walltriage.study.column_tables import ConditionColumns, Index, evidence, speaks_against

TOO_CLOSE = 1e-12  # rounding is some 1e-15; this far from a threshold it decides nothing
OPEN, ESTABLISHED, RULED_OUT = range(len(PATH_STATES))

Reference = Callable[[Chunk, int], Evaluation]


@dataclass(slots=True)
class Beliefs:
    """What the belief step found for ``n`` walls and ``p`` load paths.

    ``low``, ``high`` (n, p): posterior bounds.  ``codes`` holds each condition's combined
    codes, ``evidence`` and ``digits`` the codes they were made of, for later use.
    """

    low: Floats
    high: Floats
    status: np.ndarray
    seen_against: Bools
    measures: dict[str, Floats] = field(default_factory=dict)
    codes: dict[str, list[Index]] = field(default_factory=dict)
    digits: dict[str, Index] = field(default_factory=dict)
    ratios: dict[tuple[str, str], Floats] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class _Rates:
    """Base rates of a path in load order: positions of their rules, and exact priors."""

    positions: list[int]
    odds: Floats  # (rates, 2): lowest, highest
    exact: Floats  # (rates, 2): the posterior without any evidence, as the reference has it


class ColumnBelief:
    """Belief tables of a knowledge base in column form.

    Raises :class:`InputError` for a load path none of whose base rates is sure to hold.
    """

    def __init__(self, base: KnowledgeBase, planned: list[Planned], coder: Coder) -> None:
        self.base, self.coder = base, coder
        self.tables = Belief(base).tables
        position = {item.id: index for index, item in enumerate(planned)}
        self.paths = tuple(base.paths)
        self._bears = [base.paths[path].entry.bears for path in self.paths]
        clues = {clue.id: clue for clue in base.clues()}
        active = [clues[item.id] for item in planned if item.kind == "clue"]
        self.clue_positions = {clue.id: position[clue.id] for clue in active}
        self._always = {item.id for item in planned if item.kind == "clue"} & {
            clue.id for clue in active if clue.when is None
        }
        self.conditions: dict[str, ConditionColumns] = {}
        self.of_path: dict[str, list[str]] = {path: [] for path in self.paths}
        for path in self.paths:
            for name in base.paths[path].conditions:
                read = [clue for clue in active if clue.condition == name]
                if read:
                    self.of_path[path].append(name)
                    if name not in self.conditions:
                        having = {p: t[name] for p, t in self.tables.items() if name in t}
                        self.conditions[name] = ConditionColumns(base, read, having)
        self._read_by_clues = tuple(dict.fromkeys(clue.question for clue in active))
        self._rates = [self._rates_of(path, position) for path in self.paths]
        self._signs: list[list[int]] = [[] for _ in self.paths]
        for path, sign in base.signs():
            if sign.id in position:
                self._signs[self.paths.index(path)].append(position[sign.id])
        self._against = self._seen_tables(active)
        self._marks = self._threshold_marks(planned)

    def _rates_of(self, path: str, position: dict[str, int]) -> _Rates:
        rates = [rate for rate in self.base.paths[path].entry.base_rates if rate.id in position]
        if not any(rate.when is None for rate in rates):
            place = self.base.places.get(path, ("rules", 0, 0))
            what = f"no base rate of '{path}' holds for every wall"
            raise InputError(Problem(*place, what, "expected one without 'when', not retired"))
        exact = np.array([posterior(rate, 0.0) for rate in rates])
        odds = [
            [10 ** (logit_db(min(max(share / 100, 1e-6), 1 - 1e-6)) / 10) for share in rate.in_100]
            for rate in rates
        ]
        return _Rates([position[rate.id] for rate in rates], np.array(odds), exact)

    def _seen_tables(self, active: list[Clue]) -> list[list[tuple[str, np.ndarray]]]:
        """For each path: clues that somebody sees, with the codes that speak against it."""
        found: list[list[tuple[str, np.ndarray]]] = [[] for _ in self.paths]
        for column, path in enumerate(self.paths):
            for clue in active:
                kind = self.base.questions[clue.question].entry.kind
                if clue.condition in self.tables[path] and kind in self.base.guards.seen_kinds:
                    table = self.tables[path][clue.condition]
                    against = speaks_against(self.base, clue, table)
                    if against.any():
                        found[column].append((clue.id, against))
        return found

    def _threshold_marks(self, planned: list[Planned]) -> dict[str, set[float]]:
        """The numbers that rules compare each measure with."""
        marks: dict[str, set[float]] = {}
        leaves = {leaf for item in planned for branch in item.branches for leaf in branch}
        for leaf in leaves:
            if leaf.family == "measure" and leaf.comparison is not None:
                limit = measure_limit(leaf, self.base.guards.thresholds)
                marks.setdefault(leaf.name, set()).add(limit)
        return marks

    def step(self, chunk: Chunk, reference: Reference) -> Beliefs:
        """Work out belief for a chunk whose clues, rates and signs have fired.

        ``reference(chunk, row)`` gives the reference result of one wall, for those that
        lie too close to a threshold.
        """
        shape = (len(chunk), len(self.paths))
        found = Beliefs(
            np.empty(shape, order="F"),
            np.empty(shape, order="F"),
            np.empty(shape, np.int8, order="F"),
            np.zeros(shape, bool, order="F"),
        )
        self._read_clues(chunk, found)
        odds, inexact = np.empty(shape, order="F"), np.zeros(len(chunk), bool)
        close = np.zeros(len(chunk), bool)
        marks = self.base.guards.thresholds
        established, ruled_out = (
            marks["path_established_at_least"],
            marks["path_ruled_out_at_most"],
        )
        for column, path in enumerate(self.paths):
            low, high, any_evidence = self._posterior(chunk, found, odds, column, path)
            inexact |= any_evidence
            signs = self._any_fired(chunk, self._signs[column])
            if signs is not None:
                least = marks["decisive_sign_at_least"]
                low = np.where(signs, np.maximum(low, least), low)
                high = np.where(signs, np.maximum(high, least), high)
            status = np.where(high <= ruled_out, RULED_OUT, OPEN)
            reached = low >= established
            status[reached if signs is None else reached | signs] = ESTABLISHED
            near = (np.abs(low - established) < TOO_CLOSE) | (np.abs(high - ruled_out) < TOO_CLOSE)
            close |= near & any_evidence
            found.low[:, column], found.high[:, column] = low, high
            found.status[:, column] = status
            for clue, against in self._against[column]:
                found.seen_against[:, column] |= against[found.digits[clue]]
        self._measure(found, odds)
        for name, limits in self._marks.items():
            for limit in limits:
                near = np.abs(found.measures[name] - limit) < TOO_CLOSE
                # the largest of exact numbers is exact
                close |= near & inexact if name == "lower" else near
        for row in np.flatnonzero(close):
            self._copy_reference(found, int(row), reference(chunk, int(row)))
        return found

    def _read_clues(self, chunk: Chunk, found: Beliefs) -> None:
        """Codes of every clue that fired, combined by condition; conditions met only."""
        asked: dict[str, Index] = {}
        for name, condition in self.conditions.items():
            digits = []
            for digit in condition.digits:
                code = asked.get(digit.question)
                if code is None:
                    code = evidence(chunk.batch, self.coder.column[digit.question])
                    asked[digit.question] = code
                if digit.clue not in self._always:
                    code = code * chunk.fired[:, self.clue_positions[digit.clue]]
                found.digits[digit.clue] = code
                digits.append(code)
            codes = condition.codes(digits)
            if any(code.any() for code in codes):
                found.codes[name] = codes

    def _posterior(
        self, chunk: Chunk, found: Beliefs, odds: Floats, column: int, path: str
    ) -> tuple[Floats, Floats, Bools]:
        """Lowest and highest posterior (n,) before signs, and whether any clue counts."""
        rates = self._rates[column]
        which = np.full(len(chunk), len(rates.positions) - 1)
        for index in range(len(rates.positions) - 2, -1, -1):
            which[chunk.fired[:, rates.positions[index]]] = index
        ratio, touched = np.ones(len(chunk)), np.zeros(len(chunk), bool)
        for name in self.of_path[path]:
            codes = found.codes.get(name)
            if codes is not None:
                part = self.conditions[name].ratio(path, codes)
                found.ratios[path, name] = part
                # code 0 stands for no answer; its ratio is 1 but for rounding
                for code in codes:
                    touched |= code != 0
                ratio *= part
        bounds = []
        for side in (0, 1):
            now = rates.odds[:, side][which] * ratio
            bounds.append(np.where(touched, now / (1 + now), rates.exact[:, side][which]))
        odds[:, column] = now
        return bounds[0], bounds[1], touched

    def _any_fired(self, chunk: Chunk, positions: list[int]) -> Bools | None:
        """Where any of these rules fired (n,); None when none did anywhere."""
        if not positions:
            return None
        met = np.logical_or.reduce([chunk.fired[:, position] for position in positions])
        return met if met.any() else None

    def _measure(self, found: Beliefs, odds: Floats) -> None:
        """Bounds for "some path bears", and the upper one with any one answer dropped."""
        bearing = [column for column, bears in enumerate(self._bears) if bears]
        walls = len(found.low)
        lower, total = np.zeros(walls), np.zeros(walls)
        for column in bearing:
            lower = np.maximum(lower, found.low[:, column])
            total = total + found.high[:, column]
        upper = np.minimum(total, 1.0)
        worst = upper.copy()
        for question in dict.fromkeys(
            d.question for c in self.conditions.values() for d in c.digits
        ):
            without = self._without(question, bearing, found, odds, total)
            if without is not None:
                np.maximum(worst, np.minimum(without, 1.0), out=worst)
        found.measures = {"lower": lower, "upper": upper, "upper_without_one_answer": worst}

    def _without(
        self, question: str, bearing: list[int], found: Beliefs, odds: Floats, total: Floats
    ) -> Floats | None:
        """Sum of highest posteriors (n,) as if ``question`` had not been answered."""
        result = None
        for column in bearing:
            changed, ratio = None, 1.0
            for name in self.of_path[self.paths[column]]:
                if name not in found.codes:
                    continue
                condition = self.conditions[name]
                dropped = [digit for digit in condition.digits if digit.question == question]
                if not any(found.digits[digit.clue].any() for digit in dropped):
                    continue
                codes = list(found.codes[name])
                for digit in dropped:
                    code = found.digits[digit.clue]
                    changed = code != 0 if changed is None else changed | (code != 0)
                    codes[digit.group] = codes[digit.group] - code * np.int32(digit.stride)
                path = self.paths[column]
                ratio = ratio * (condition.ratio(path, codes) / found.ratios[path, name])
            if changed is not None:
                now = odds[:, column] * ratio
                gained = now / (1 + now) - found.high[:, column]
                result = (total if result is None else result) + np.where(changed, gained, 0.0)
        return result

    def _copy_reference(self, found: Beliefs, row: int, result: Evaluation) -> None:
        for column, path in enumerate(self.paths):
            state = result.paths[path]
            found.low[row, column], found.high[row, column] = state.low, state.high
            found.status[row, column] = PATH_STATES.index(state.status)
            found.seen_against[row, column] = state.seen_against
        for name, number in result.measures.items():
            found.measures[name][row] = number
