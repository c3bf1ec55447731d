"""The belief step for whole columns: posteriors, path status and measures of many walls.

Works in odds instead of decibans, which needs no logarithm: the odds of a path are those
of its base rate times one looked-up ratio a condition.  Where a result comes so close to
a threshold that rounding could decide, the reference arithmetic decides instead.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from walltriage.case.model import SURENESS
from walltriage.inference.belief.column_rates import rates_of
from walltriage.inference.belief.column_tables import (
    Columns,
    ConditionColumns,
    Index,
    evidence,
    speaks_against,
)
from walltriage.inference.belief.signs import LOOKS_THAT_AGREE, SURE, SignLook, sign_looks
from walltriage.inference.belief.tree import LEAST, Belief
from walltriage.inference.columns.codes import FIRST_VALUE, Bools, Coder, Floats
from walltriage.inference.columns.rules import PATH_STATES, Chunk, measure_limit
from walltriage.inference.engine.evaluate import Evaluation
from walltriage.inference.engine.strata import Planned
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.schema import Clue

TOO_CLOSE = 1e-12  # rounding is some 1e-15; this far from a threshold it decides nothing
OPEN, ESTABLISHED, RULED_OUT = range(len(PATH_STATES))

Reference = Callable[[Chunk, int], Evaluation]


@dataclass(slots=True)
class Beliefs:
    """What the belief step found for ``n`` walls and ``p`` load paths.

    ``low``, ``high`` (n, p): posterior bounds; ``odds`` (n, p): the highest odds before
    decisive signs; ``signed`` (n, p): whether any fired.  ``digits``: evidence codes (n,)
    by clue, for clues that read any answer.  ``met`` (n,) and ``joints``: by condition,
    whether it has an answer, and what the answers show.  ``ratios``: by (path, condition).
    """

    low: Floats
    high: Floats
    odds: Floats
    status: np.ndarray
    seen_against: Bools
    signed: Bools
    measures: dict[str, Floats] = field(default_factory=dict)
    digits: dict[str, Index] = field(default_factory=dict)
    met: dict[str, Bools] = field(default_factory=dict)
    joints: dict[str, Columns] = field(default_factory=dict)
    ratios: dict[tuple[str, str], Floats] = field(default_factory=dict)


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
        self._rates = [rates_of(base, path, position) for path in self.paths]
        self._signs: list[list[int]] = [[] for _ in self.paths]
        for path, sign in base.signs():
            if sign.id in position:
                self._signs[self.paths.index(path)].append(position[sign.id])
        self._looks = [
            (position[look.id], self.paths.index(look.load_path), look)
            for look in sign_looks(base, planned).values()
        ]
        self._against = self._seen_tables(active)
        self._marks = self._threshold_marks(planned)

    def _seen_tables(self, active: list[Clue]) -> list[list[tuple[str, np.ndarray]]]:
        """For each path: clues that somebody sees, with the codes that speak against it."""
        found: list[list[tuple[str, np.ndarray]]] = [[] for _ in self.paths]
        for column, path in enumerate(self.paths):
            for clue in active:
                kind = self.base.questions[clue.question].entry.kind
                direct = clue.direct and kind in self.base.guards.seen_kinds
                if direct and clue.condition in self.tables[path]:
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
            np.empty(shape, order="F"),
            np.zeros(shape, np.int8, order="F"),
            np.zeros(shape, bool, order="F"),
            np.zeros(shape, bool, order="F"),
        )
        self._read_clues(chunk, found)
        close, inexact = np.zeros(len(chunk), bool), np.zeros(len(chunk), bool)
        settled = self._settled(chunk)
        for column in range(len(self.paths)):
            touched = self._posterior(chunk, found, column)
            signs = self._any_fired(chunk, self._signs[column])
            if signs is not None:
                found.signed[:, column] = signs
            close |= self._settle(found, column, signs, settled[:, column]) & touched
            inexact |= touched
            for clue, against in self._against[column]:
                if clue in found.digits:
                    found.seen_against[:, column] |= against.take(found.digits[clue], mode="clip")
        self._measure(found)
        for name, limits in self._marks.items():
            for limit in limits:
                near = np.abs(found.measures[name] - limit) < TOO_CLOSE
                # the largest of exact numbers is exact
                close |= near & inexact if name == "lower" else near
        for row in np.flatnonzero(close):
            self._copy_reference(found, int(row), reference(chunk, int(row)))
        return found

    def _read_clues(self, chunk: Chunk, found: Beliefs) -> None:
        """Codes of every clue that fired, and what they show of each condition."""
        asked: dict[str, Index] = {}
        for name, condition in self.conditions.items():
            digits = []
            for clue in condition.clues:
                code = asked.get(clue.question)
                if code is None:
                    code = evidence(chunk.batch, self.coder.column[clue.question])
                    asked[clue.question] = code
                if clue.id not in self._always:
                    code = code * chunk.fired[:, self.clue_positions[clue.id]]
                met = code != 0
                if met.any():
                    found.digits[clue.id] = code
                    found.met[name] = found.met[name] | met if name in found.met else met
                    digits.append((clue, code))
            joint = condition.joint(digits)
            if joint is not None:
                found.joints[name] = joint

    def _posterior(self, chunk: Chunk, found: Beliefs, column: int) -> Bools:
        """Set the bounds of one path before signs; whether any clue counts (n,)."""
        path, rates = self.paths[column], self._rates[column]
        which = np.full(len(chunk), len(rates.positions) - 1)
        for index in range(len(rates.positions) - 2, -1, -1):
            which[chunk.fired[:, rates.positions[index]]] = index
        ratio, touched = np.ones(len(chunk)), np.zeros(len(chunk), bool)
        for name in self.of_path[path]:
            joint = found.joints.get(name)
            if joint is not None:
                found.ratios[path, name] = part = self.conditions[name].ratio(path, joint)
                touched |= found.met[name]
                ratio *= part
        untouched = ~touched
        for side, bound in enumerate((found.low, found.high)):
            now = rates.odds[side].take(which, mode="clip")
            now *= ratio
            np.divide(now, 1 + now, out=bound[:, column])
            exact = rates.exact[side].take(which[untouched], mode="clip")
            bound[untouched, column] = exact
        found.odds[:, column] = now
        return touched

    def _settled(self, chunk: Chunk) -> Bools:
        """Where signs settle a path (n, p), as ``signs.settled_paths`` says of one wall."""
        found = np.zeros((len(chunk), len(self.paths)), bool)
        told = [(look, column, fired) for at, column, look in self._looks
                if (fired := chunk.fired[:, at]).any()]  # fmt: skip
        if not told:
            return found
        by_look: dict[int, Bools] = {}
        for look, _, fired in told:
            by_look[look.look] = by_look[look.look] | fired if look.look in by_look else fired
        twice = np.sum(list(by_look.values()), axis=0) >= LOOKS_THAT_AGREE
        for look, column, fired in told:
            found[:, column] |= fired & (twice | self._seen_opened(chunk, look))
        return found

    def _seen_opened(self, chunk: Chunk, look: SignLook) -> Bools:
        """Where all answers that a sign reads are certain, if it is seen in an opening (n,)."""
        sure = np.full(len(chunk), look.opened)
        for name in look.questions if look.opened else ():
            column = self.coder.column[name]
            real = chunk.batch.codes[:, column] >= FIRST_VALUE
            sure &= ~real | (chunk.batch.sure[:, column] == SURENESS.index(SURE))
        return sure

    def _settle(self, found: Beliefs, column: int, signs: Bools | None, settled: Bools) -> Bools:
        """Apply decisive signs and set the status of one path; where rounding could matter."""
        marks = self.base.guards.thresholds
        established = marks["path_established_at_least"]
        ruled_out = marks["path_ruled_out_at_most"]
        low, high = found.low[:, column], found.high[:, column]
        if signs is not None and not self._bears[column]:
            settled = signs  # of bracing: it settles its path, and is no sign of weight
        if settled.any():
            for bound in (low, high):
                bound[settled] = np.maximum(bound[settled], marks["decisive_sign_at_least"])
        status = found.status[:, column]
        status[high <= ruled_out] = RULED_OUT
        if signs is not None:
            status[signs] = OPEN
        status[low >= established] = ESTABLISHED
        if not self._bears[column]:
            status[settled] = ESTABLISHED
        return (np.abs(low - established) < TOO_CLOSE) | (np.abs(high - ruled_out) < TOO_CLOSE)

    def _any_fired(self, chunk: Chunk, positions: list[int]) -> Bools | None:
        """Where any of these rules fired (n,); None when none did anywhere."""
        if not positions:
            return None
        met = np.logical_or.reduce([chunk.fired[:, position] for position in positions])
        return met if met.any() else None

    def _measure(self, found: Beliefs) -> None:
        """Bounds for "some path bears", and one chance between them."""
        bearing = [column for column, bears in enumerate(self._bears) if bears]
        walls = len(found.low)
        lower, total, none = np.zeros(walls), np.zeros(walls), np.ones(walls)
        for column in bearing:
            low, high = found.low[:, column], found.high[:, column]
            np.maximum(lower, low, out=lower)
            total += high
            none /= 1.0 + np.sqrt(_odds(low) * _odds(high))
        found.measures = {
            "lower": lower,
            "upper": np.minimum(total, 1.0),
            "middle": 1.0 - none,
        }

    def _copy_reference(self, found: Beliefs, row: int, result: Evaluation) -> None:
        for column, path in enumerate(self.paths):
            state = result.paths[path]
            found.low[row, column], found.high[row, column] = state.low, state.high
            found.status[row, column] = PATH_STATES.index(state.status)
            found.seen_against[row, column] = state.seen_against
        for name, number in result.measures.items():
            found.measures[name][row] = number


def _odds(chance: Floats) -> Floats:
    kept = np.clip(chance, LEAST, 1.0 - LEAST)
    return kept / (1.0 - kept)
