"""What answers would be worth, for many walls at once.

The formulas of ``inference.worth``, one step ahead, on whole columns: for every wall and
question the expected fall in the cost of deciding now.  Tests hold the two equal.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from walltriage.case.model import SURENESS
from walltriage.inference.belief.column_tables import (
    ClueColumns,
    Columns,
    clue_columns,
    evidence_code,
    weighed,
)
from walltriage.inference.belief.columns import Beliefs
from walltriage.inference.belief.tree import logit_db
from walltriage.inference.columns.codes import Bools, Floats
from walltriage.inference.columns.evaluator import ColumnEvaluator
from walltriage.inference.columns.rules import Chunk
from walltriage.inference.engine.uses import Uses, question_uses
from walltriage.inference.looks.worth import (
    CLOSING,
    FEED_SHARE,
    INFORMATION,
    RATE_SHARE,
    SETTLING,
    SHARED_BY,
    SIGN_CHANCE,
    TEMPERATURE,
)
from walltriage.knowledge.schema import Costs

CERTAIN = SURENESS.index("certain")


@dataclass(frozen=True, slots=True)
class _Touch:
    """One path that a question's clue touches."""

    path: str
    column: int
    condition: str
    clue: ClueColumns


@dataclass(frozen=True, slots=True)
class _Standing:
    """Where ``k`` walls stand: ``high`` is (k, p), all else (k,).

    ``rows`` are their places in the chunk.  ``going``: 0 where "non-bearing" is out of reach
    today, and the way there worth nothing; else 1.
    """

    rows: np.ndarray
    high: Floats
    now: Floats
    risk: Floats
    going: Floats

    def part(self, which: np.ndarray) -> _Standing:
        """Some of these walls."""
        parts = (self.rows, self.high, self.now, self.risk, self.going)
        return _Standing(*(part[which] for part in parts))


class ColumnWorth:
    """Prices questions for many walls."""

    def __init__(self, evaluator: ColumnEvaluator) -> None:
        self.evaluator = evaluator
        base = evaluator.base
        self.uses: dict[str, Uses] = question_uses(base)
        self._costs = base.guards.costs
        self._columns = {path: index for index, path in enumerate(base.paths)}
        marks = base.guards.thresholds
        self._cut = logit_db(marks["non_bearing_at_most"] / SHARED_BY)
        self._established = logit_db(marks["path_established_at_least"])
        self._bears = np.array([path.entry.bears for path in base.paths.values()])
        self._bearing = {name for name, path in base.paths.items() if path.entry.bears}
        self._touches: dict[str, list[_Touch]] = {}
        self._clues: dict[str, list[int]] = {}
        position = evaluator.belief.clue_positions
        tables = evaluator.belief.tables
        for path in base.paths.values():
            for name, clues in path.clues.items():
                for clue in clues:
                    columns = clue_columns(base, clue, tables[path.id][name])
                    touch = _Touch(path.id, self._columns[path.id], name, columns)
                    self._touches.setdefault(clue.question, []).append(touch)
                    if clue.id in position:
                        self._clues.setdefault(clue.question, []).append(position[clue.id])

    def values(
        self, chunk: Chunk, beliefs: Beliefs, wanted: Bools, shut: Bools | None = None
    ) -> Floats:
        """Expected fall in risk (n, q) from each answer, before effort; 0 where not wanted.

        ``wanted`` (n, q) picks the walls and questions to price; ``shut`` (n,) says where
        "non-bearing" is out of reach.
        """
        found = np.zeros(wanted.shape, order="F")
        now = 1.0 - np.prod(1.0 - beliefs.high[:, self._bears], axis=1)
        going = np.ones(len(now)) if shut is None else np.where(shut, 0.0, 1.0)
        whole = _Standing(np.arange(len(now)), beliefs.high, now, risk(self._costs, now), going)
        way = self._way_left(beliefs)
        for column, question in enumerate(self.evaluator.coder.questions):
            rows = np.flatnonzero(wanted[:, column])
            uses = self.uses[question]
            if len(rows) and (uses.paths or uses.feeds):
                part = whole if len(rows) == len(now) else whole.part(rows)
                found[rows, column] = self._value(question, chunk, beliefs, part, way)
        return found

    def _value(
        self, question: str, chunk: Chunk, beliefs: Beliefs, at: _Standing, way: _Way
    ) -> Floats:
        uses = self.uses[question]
        value = np.zeros(len(at.rows))
        if uses.sign_paths & self._bearing:
            columns = [self._columns[path] for path in uses.sign_paths & self._bearing]
            chance = at.high[:, columns].max(axis=1)
            sure = risk(self._costs, np.ones(1))
            value += SIGN_CHANCE * chance * np.maximum(at.risk - sure, 0.0)
        if uses.rate_paths & self._bearing:
            columns = [self._columns[path] for path in sorted(uses.rate_paths & self._bearing)]
            swing = at.high[:, columns].sum(axis=1)
            value += RATE_SHARE * np.minimum(swing, at.now) * self._costs.cannot_tell
        if question in self._touches:
            value += self._clue_value(question, beliefs, at, way)
        for computed in uses.feeds:
            known = np.zeros(len(at.rows), bool)
            for rule in self._clues.get(computed, ()):
                known |= chunk.fired[at.rows, rule]
            open_rows = np.flatnonzero(~known)
            part = at.part(open_rows)
            value[open_rows] += FEED_SHARE * self._value(computed, chunk, beliefs, part, way)
        return value

    def _clue_value(self, question: str, beliefs: Beliefs, at: _Standing, way: _Way) -> Floats:
        """Expected gain, information, and way covered, from what clues would make of answers."""
        touches = self._touches[question]
        before = [self._before(touch, beliefs, at) for touch in touches]
        values = len(self.evaluator.base.questions[question].values)
        touched = list(dict.fromkeys(touch.column for touch in touches))
        clear = 1.0 - at.high
        others = [c for c in range(at.high.shape[1]) if c not in touched and self._bears[c]]
        apart = np.prod(clear[:, others], axis=1)
        gain, information = at.risk.copy(), np.zeros(len(at.rows))
        doubt = {column: entropy(at.high[:, column]) for column in touched}
        covered = {column: np.zeros(len(at.rows)) for column in touched}
        raised = {column: np.zeros(len(at.rows)) for column in touched}
        for value in range(values):
            code = evidence_code(value, CERTAIN)
            chance, after = np.zeros(len(at.rows)), {}
            for touch, known in zip(touches, before, strict=True):
                part, *rest = self._after(touch, known, code, at)
                chance += part / len(touches)
                after[touch.column] = rest
            then = apart
            for column, (high, if_clear, fall, if_bears, rise) in after.items():
                covered[column] += if_clear * fall
                if not self._bears[column]:
                    continue
                then = then * (1.0 - high)
                information += chance * (doubt[column] - entropy(high))
                raised[column] += if_bears * rise
            gain -= chance * risk(self._costs, 1.0 - then)
        worth = np.maximum(gain, 0.0) + INFORMATION * np.maximum(information, 0.0)
        share = np.zeros(len(at.rows))
        for column, fallen in covered.items():
            share += np.clip(fallen, 0.0, way.left[at.rows, column])
        worth += at.going * CLOSING * way.scale[at.rows] * share
        best = np.zeros(len(at.rows))
        for column, risen in raised.items():
            up = way.up[at.rows, column]
            part = np.clip(risen, 0.0, up) / np.where(up > 0, up, 1.0)
            np.maximum(best, way.low[at.rows, column] * part, out=best)
        return worth + SETTLING * best

    def _way_left(self, beliefs: Beliefs) -> _Way:
        """How far each path is from its mark, and what covering all of that is worth."""
        left = np.maximum(_logit(beliefs.high) - self._cut, 0.0)
        left[beliefs.signed] = 0.0
        total = left.sum(axis=1)
        going = (total > 0) & ~beliefs.signed.any(axis=1)
        scale = np.where(going, 1.0 - beliefs.measures["lower"], 0.0)
        low = np.clip(beliefs.low, 1e-9, 1 - 1e-9)
        up = np.maximum(self._established - _logit(low), 0.0)
        up[:, ~self._bears] = 0.0
        return _Way(left, scale / np.where(going, total, 1.0), low, up)

    def _before(
        self, touch: _Touch, beliefs: Beliefs, at: _Standing
    ) -> tuple[Columns | None, Floats, Floats]:
        """The other answers' joint and its two sides; None where there are none at all."""
        joint = beliefs.joints.get(touch.condition)
        condition = self.evaluator.belief.conditions.get(touch.condition)
        if joint is None or condition is None:
            ones = np.ones(1)
            return None, ones, ones
        joint = [column[at.rows] for column in joint]
        own = beliefs.digits.get(touch.clue.id)
        if own is not None:
            code = own[at.rows]  # what this clue's own answer gave is taken away again
            joint = [
                column / table.take(code, mode="clip")
                for column, table in zip(joint, touch.clue.shown, strict=True)
            ]
        return joint, *condition.sides(touch.path, joint)

    def _after(
        self, touch: _Touch, known: tuple[Columns | None, Floats, Floats], code: int, at: _Standing
    ) -> tuple[Floats, Floats, Floats, Floats, Floats, Floats]:
        """Of an answer on a path: its chance, the high posterior after it, its chance where
        the path is clear, and the decibans by which it lowers the path; its chance where the
        path bears, and the decibans by which it raises it; (k,) or one for all.
        """
        joint, bears_before, not_before = known
        shown, first = touch.clue.shown, touch.clue.first[code]
        table = self.evaluator.belief.tables[touch.path][touch.condition]
        if joint is None:
            after = [np.array([table[code]]) for table in shown]
        else:
            after = [column * table[code] for column, table in zip(joint, shown, strict=True)]
        bears = weighed(table.bearing, after) * first / bears_before
        not_bears = weighed(table.not_bearing, after) * first / not_before
        high = at.high[:, touch.column]
        chance = high * bears + (1 - high) * not_bears
        clamped = np.clip(high, 1e-9, 1 - 1e-9)
        ratio = bears / not_bears
        odds = clamped / (1 - clamped) * ratio
        rise = 10 * np.log10(ratio)
        fall = _logit(high) - _logit(clamped) - rise
        return chance, odds / (1 + odds), not_bears, fall, bears, rise


@dataclass(frozen=True, slots=True)
class _Way:
    """The ways to the verdicts.

    To "non-bearing": decibans ``left`` (n, p), and worth ``scale`` (n,) of each of them.  To
    "bearing": the ``low`` posterior and the decibans left ``up`` (n, p), 0 where there are none.
    """

    left: Floats
    scale: Floats
    low: Floats
    up: Floats


def _logit(chance: Floats) -> Floats:
    """Odds in decibans."""
    return 10 * (np.log10(chance) - np.log10(1 - chance))


def risk(costs: Costs, chance: Floats) -> Floats:
    """The soft minimum of the three costs of deciding at these chances of bearing."""
    scale = TEMPERATURE * costs.cannot_tell
    missed, false = costs.missed_bearing * chance, costs.false_bearing * (1 - chance)
    least = np.minimum(np.minimum(missed, false), costs.cannot_tell)
    spread = np.exp((least - missed) / scale) + np.exp((least - false) / scale)
    spread += np.exp((least - costs.cannot_tell) / scale)
    return least - scale * np.log(spread)


def entropy(chance: Floats) -> Floats:
    """Bits of doubt about a yes-or-no of these chances; 0 where there is none."""
    inside = np.clip(chance, 1e-300, 1 - 1e-16)
    return -inside * np.log2(inside) - (1 - inside) * np.log2(1 - inside)
