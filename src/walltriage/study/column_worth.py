"""What answers would be worth, for many walls at once.

The formulas of ``inference.worth``, one step ahead, on whole columns: for every wall and
question the expected fall in the cost of deciding now.  Tests hold the two equal.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from walltriage.case.model import SURENESS
from walltriage.inference.uses import Uses, question_uses
from walltriage.inference.worth import (
    INFORMATION,
    RATE_SHARE,
    SIGN_CHANCE,
    TEMPERATURE,
)
from walltriage.knowledge.schema import Costs
from walltriage.study.codes import Bools, Floats
from walltriage.study.column_belief import Beliefs
from walltriage.study.column_tables import (
    ClueColumns,
    Columns,
    clue_columns,
    evidence_code,
    weighed,
)
from walltriage.study.columns import ColumnEvaluator

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

    ``rows`` are their places in the chunk.
    """

    rows: np.ndarray
    high: Floats
    total: Floats
    now: Floats
    risk: Floats
    entropy: Floats


class ColumnWorth:
    """Prices questions for many walls."""

    def __init__(self, evaluator: ColumnEvaluator) -> None:
        self.evaluator = evaluator
        base = evaluator.base
        self.uses: dict[str, Uses] = question_uses(base)
        self._costs = base.guards.costs
        self._columns = {path: index for index, path in enumerate(base.paths)}
        self._touches: dict[str, list[_Touch]] = {}
        tables = evaluator.belief.tables
        for path in base.paths.values():
            for name, clues in path.clues.items():
                for clue in clues:
                    columns = clue_columns(base, clue, tables[path.id][name])
                    touch = _Touch(path.id, self._columns[path.id], name, columns)
                    self._touches.setdefault(clue.question, []).append(touch)

    def values(self, beliefs: Beliefs, wanted: Bools) -> Floats:
        """Expected fall in risk (n, q) from each answer, before effort; 0 where not wanted.

        ``wanted`` (n, q) picks the walls and questions to price.
        """
        found = np.zeros(wanted.shape, order="F")
        total = beliefs.high.sum(axis=1)
        now = np.minimum(total, 1.0)
        whole = _Standing(
            np.arange(len(now)), beliefs.high, total, now, risk(self._costs, now), entropy(now)
        )
        for column, question in enumerate(self.evaluator.coder.questions):
            rows = np.flatnonzero(wanted[:, column])
            if len(rows) and self.uses[question].paths:
                part = whole if len(rows) == len(now) else _part(whole, rows)
                found[rows, column] = self._value(question, beliefs, part)
        return found

    def _value(self, question: str, beliefs: Beliefs, at: _Standing) -> Floats:
        uses = self.uses[question]
        value = np.zeros(len(at.rows))
        if uses.sign_paths:
            columns = [self._columns[path] for path in uses.sign_paths]
            chance = at.high[:, columns].max(axis=1)
            sure = risk(self._costs, np.ones(1))
            value += SIGN_CHANCE * chance * np.maximum(at.risk - sure, 0.0)
        if uses.rate_paths:
            columns = [self._columns[path] for path in sorted(uses.rate_paths)]
            swing = at.high[:, columns].sum(axis=1)
            value += RATE_SHARE * np.minimum(swing, at.now) * self._costs.cannot_tell
        if question in self._touches:
            value += self._clue_value(question, beliefs, at)
        return value

    def _clue_value(self, question: str, beliefs: Beliefs, at: _Standing) -> Floats:
        """Expected gain and information from what clues would make of each answer."""
        touches = self._touches[question]
        before = [self._before(touch, beliefs, at) for touch in touches]
        values = len(self.evaluator.base.questions[question].values)
        expected, information = np.zeros(len(at.rows)), np.zeros(len(at.rows))
        for value in range(values):
            code = evidence_code(value, CERTAIN)
            chance, gained = np.zeros(len(at.rows)), {}
            for touch, known in zip(touches, before, strict=True):
                part, high = self._after(touch, known, code, at)
                chance += part / len(touches)
                gained[touch.column] = high - at.high[:, touch.column]
            then = np.minimum(at.total + sum(gained.values()), 1.0)
            expected += chance * risk(self._costs, then)
            information += chance * (at.entropy - entropy(then))
        gain = np.maximum(at.risk - expected, 0.0)
        return gain + INFORMATION * np.maximum(information, 0.0)

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
            joint = condition.without(joint, [(touch.clue, own[at.rows])])
        return joint, *condition.sides(touch.path, joint)

    def _after(
        self, touch: _Touch, known: tuple[Columns | None, Floats, Floats], code: int, at: _Standing
    ) -> tuple[Floats, Floats]:
        """Chance of an answer on a path, and the path's high posterior after it, (k,) each."""
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
        odds = clamped / (1 - clamped) * (bears / not_bears)
        return chance, odds / (1 + odds)


def _part(whole: _Standing, rows: np.ndarray) -> _Standing:
    return _Standing(
        rows, whole.high[rows], whole.total[rows], whole.now[rows], whole.risk[rows],
        whole.entropy[rows],
    )  # fmt: skip


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
