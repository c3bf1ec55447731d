"""How much answering a question is worth: expected cost saved, one step ahead.

The value of an answer is the expected fall in the cost of deciding now; its price is the
effort of getting it.  A sharp minimum over the three costs would make most questions look
worthless (no single answer flips the decision), so the risk is a soft minimum, and a small
share of the expected gain in information counts as well.  For one wall and for many alike:
one wall is one row.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

import numpy as np

from walltriage.inference.belief.step import LEAST_CHANCE, Beliefs, BeliefStep
from walltriage.inference.belief.tree import logit_db
from walltriage.inference.columns.codes import Bools, Floats
from walltriage.inference.engine.uses import Uses, question_uses
from walltriage.inference.looks.conditions import Conditions
from walltriage.inference.looks.policy import EFFORT_COST
from walltriage.inference.looks.risk import entropy, risk
from walltriage.inference.looks.stack import Stack, Touch
from walltriage.inference.looks.what_if import After, WhatIf
from walltriage.knowledge.base import KnowledgeBase

INFORMATION = 0.02  # of the cost of "cannot tell", per bit: keeps the order of far-off looks
SIGN_CHANCE = 0.1  # how likely a look is to show a decisive sign, where the path bears
RATE_SHARE = 0.01  # of the cost of "cannot tell", where an answer picks the base rate
FEED_SHARE = 0.2  # a span is worked out from four or five measurements
CLOSING = 0.3  # of the cost of "cannot tell": what going the whole way to non-bearing is worth
SETTLING = 0.3  # likewise: the whole way to bearing, by the path that comes nearest
MOST_AHEAD = 128  # walls; of more, one question at a time costs less, where it is wanted
BLOCK = 32  # walls of which all questions are worked out together, within the caches
SHARED_BY = 3.0  # paths open at once in common walls: each way's part in the wall's mark


@dataclass(frozen=True, slots=True)
class _Standing:
    """Where ``k`` walls stand: ``rows`` are their places among all; ``high`` (k, p); ``now``
    and ``risk`` (k,).  ``going``: 0 where "non-bearing" is out of reach today, else 1."""

    rows: np.ndarray
    high: Floats
    now: Floats
    risk: Floats
    going: Floats

    def part(self, which: np.ndarray) -> _Standing:
        """Some of these walls."""
        if len(which) == len(self.rows):
            return self
        parts = (self.rows, self.high, self.now, self.risk, self.going)
        return _Standing(*(part[which] for part in parts))


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


class Worth:
    """Prices questions with one knowledge base."""

    def __init__(self, base: KnowledgeBase, step: BeliefStep) -> None:
        self.base, self.step = base, step
        self.uses: dict[str, Uses] = question_uses(base)
        self.questions = tuple(base.questions)
        self._costs = base.guards.costs
        self._columns = {path: index for index, path in enumerate(step.paths)}
        marks = base.guards.thresholds
        self._cut = logit_db(marks["non_bearing_at_most"] / SHARED_BY)
        self._established = logit_db(marks["path_established_at_least"])
        self._bears = np.array(step.bears)
        uses = self.uses.items()
        self._sure = risk(self._costs, np.ones(1))  # once it is certain that the wall bears
        # the bearing paths (columns) whose decisive signs, and base rates, a question may tell
        self._signs = {name: self._bearing_columns(use.sign_paths) for name, use in uses}
        self._rates = {name: self._bearing_columns(use.rate_paths) for name, use in uses}
        self._touches: dict[str, list[Touch]] = {}
        for path in base.paths.values():
            for condition, clues in path.clues.items():
                for clue in clues:
                    touch = Touch(path.id, self._columns[path.id], condition, clue.id)
                    self._touches.setdefault(clue.question, []).append(touch)
        self.conditions = Conditions(step)
        self._stacks: dict[tuple[str, ...], Stack] = {}
        self._priced = {name: bool(uses.paths or uses.feeds) for name, uses in self.uses.items()}
        self._clues: dict[str, set[str]] = {
            question: {touch.clue for touch in touches}
            for question, touches in self._touches.items()
        }

    def _bearing_columns(self, paths: Collection[str]) -> list[int]:
        return sorted(c for p in paths if self._bears[c := self._columns[p]])

    def values(self, beliefs: Beliefs, wanted: Bools, shut: Bools | None = None) -> Floats:
        """Expected fall in risk (n, q) from each answer, before effort; 0 where not wanted.

        ``wanted`` (n, q) picks the walls and questions to price; ``shut`` (n,) says where
        "non-bearing" is out of reach.
        """
        pricing = _Pricing(self, beliefs, shut, np.flatnonzero(wanted.any(axis=1)))
        found = np.zeros(wanted.shape, order="F")
        for column in np.flatnonzero(wanted.any(axis=0)).tolist():
            question = self.questions[column]
            if self._priced[question]:
                rows = wanted[:, column].nonzero()[0]
                found[rows, column] = pricing.value(question, rows)
        return found

    def stack(self, *questions: str) -> Stack:
        """These questions, to be worked out together; made when it is first needed."""
        if questions not in self._stacks:
            touches = {question: self._touches[question] for question in questions}
            self._stacks[questions] = Stack.of(self.conditions, touches)
        return self._stacks[questions]

    def prices(
        self, questions: Collection[str], beliefs: Beliefs, shut: bool = False
    ) -> dict[str, float]:
        """Expected fall in risk from each of these answers about one wall, before effort."""
        wanted = np.array([[name in questions for name in self.questions]])
        values = self.values(beliefs, wanted, np.array([shut]))[0]
        return {
            name: float(value)
            for name, value in zip(self.questions, values, strict=True)
            if name in questions
        }

    def answer_chances(self, beliefs: Beliefs) -> dict[str, Floats]:
        """How likely each answer (values,) is by what one wall's people told, for the questions
        whose answers weigh on some path."""
        if not self._touches:
            return {}
        pricing, stack = _Pricing(self, beliefs, None), self.stack(*self._touches)
        after = pricing.what_if.after(stack, pricing.whole.rows)
        likely = pricing.chances(stack, pricing.whole, after)[:, 0]
        return {
            name: row[: len(self.base.questions[name].values)]
            for name, row in zip(self._touches, likely, strict=True)
        }

    def scores(self, questions: Collection[str], beliefs: Beliefs) -> dict[str, float]:
        """Worth per effort of each question about one wall, wherever one stands."""
        asked = self.base.questions
        return {
            name: value / EFFORT_COST[asked[name].entry.effort]
            for name, value in self.prices(questions, beliefs).items()
        }


class _Pricing:
    """Questions priced at one state of belief of ``n`` walls, or of those at ``rows``."""

    def __init__(
        self, worth: Worth, beliefs: Beliefs, shut: Bools | None, rows: np.ndarray | None = None
    ) -> None:
        self.worth, self.beliefs = worth, beliefs
        self.what_if = WhatIf(worth.conditions, beliefs.told, beliefs.weighed)
        now = 1.0 - np.prod(1.0 - beliefs.high[:, worth._bears], axis=1)
        going = np.ones(len(now)) if shut is None else np.where(shut, 0.0, 1.0)
        risks = risk(worth._costs, now)
        self.whole = _Standing(np.arange(len(now)), beliefs.high, now, risks, going)
        self.way = self._way_left()
        self._ahead: dict[str, Floats] = {}  # what clues add to the worth of each question (n,)
        wanted = self.whole.rows if rows is None else rows
        if worth._touches and len(wanted) <= MOST_AHEAD:
            self._look_ahead(wanted)

    def _look_ahead(self, rows: np.ndarray) -> None:
        """Work out all questions at once, for some walls at a time."""
        stack = self.worth.stack(*self.worth._touches)
        found = np.zeros((len(stack.questions), len(self.whole.rows)))
        for start in range(0, len(rows), BLOCK):
            some = self.whole.part(rows[start : start + BLOCK])
            found[:, some.rows] = self._clue_values(stack, some)
        self._ahead = dict(zip(stack.questions, found, strict=True))

    def value(self, question: str, rows: np.ndarray) -> Floats:
        """The worth of one question to these walls (k,)."""
        return self._value(question, self.whole.part(rows))

    def _value(self, question: str, at: _Standing) -> Floats:
        worth = self.worth
        uses, value = worth.uses[question], np.zeros(len(at.rows))
        if signs := worth._signs[question]:
            chance = at.high[:, signs].max(axis=1)
            value += SIGN_CHANCE * chance * np.maximum(at.risk - worth._sure, 0.0)
        if rates := worth._rates[question]:
            swing = at.high[:, rates].sum(axis=1)
            value += RATE_SHARE * np.minimum(swing, at.now) * worth._costs.cannot_tell
        if question in self._ahead:
            value += self._ahead[question][at.rows]
        elif question in worth._touches:
            value += self._clue_values(worth.stack(question), at)[0]
        for computed in sorted(uses.feeds):
            known = np.zeros(len(at.rows), bool)
            for clue in worth._clues.get(computed, ()):
                code = self.beliefs.told.codes.get(clue)
                if code is not None:
                    known |= code[at.rows] != 0
            open_rows = np.flatnonzero(~known)
            if len(open_rows):
                value[open_rows] += FEED_SHARE * self._value(computed, at.part(open_rows))
        return value

    def _clue_values(self, stack: Stack, at: _Standing) -> Floats:
        """Expected gain, information, and way covered (q, k), from what clues would make of
        the answers."""
        worth, bears = self.worth, self.worth._bears
        after = self.what_if.after(stack, at.rows)
        chance = self.chances(stack, at, after)
        size = chance.shape[:2]
        none_else, information, share, best = np.ones(size), *(np.zeros(size) for _ in range(3))
        place_of = {column: place for place, column in enumerate(stack.columns.tolist())}
        for column in np.flatnonzero(bears).tolist():
            clear = 1.0 - at.high[:, column]
            if column in place_of:
                clear = np.where(stack.touched[place_of[column]][:, None], 1.0, clear)
            none_else *= clear
        then = none_else[:, :, None]
        ratio = after.if_bears / after.if_clear
        kept = np.clip(at.high[:, stack.columns].T, LEAST_CHANCE, 1 - LEAST_CHANCE)
        odds = (kept / (1 - kept))[:, None, :, None] * ratio
        rise = 10 * np.log10(ratio)
        covered = -(after.if_clear * rise).sum(axis=3)
        risen = (after.if_bears * rise).sum(axis=3)
        now = odds / (1 + odds)
        learned = (chance * entropy(now)).sum(axis=3)
        doubt = entropy(at.high)
        for column, place in place_of.items():
            touched = stack.touched[place][:, None]
            share += np.clip(covered[place], 0.0, self.way.left[at.rows, column])
            if not bears[column]:
                continue
            then = then * np.where(touched[:, :, None], 1.0 - now[place], 1.0)
            information += np.where(touched, doubt[:, column] - learned[place], 0.0)
            up = self.way.up[at.rows, column]
            part = np.clip(risen[place], 0.0, up) / np.where(up > 0, up, 1.0)
            np.maximum(best, self.way.low[at.rows, column] * part, out=best)
        gain = at.risk - (chance * risk(worth._costs, 1.0 - then)).sum(axis=2)
        value = np.maximum(gain, 0.0) + INFORMATION * np.maximum(information, 0.0)
        value += at.going * CLOSING * self.way.scale[at.rows] * share
        found: Floats = value + SETTLING * best
        return found

    def chances(self, stack: Stack, at: _Standing, after: After) -> Floats:
        """How likely each answer is (q, k, answers), in the mean of the paths it touches; 0
        beyond a question's own answers."""
        high = at.high[:, stack.columns].T[:, None, :, None]
        likely = high * after.if_bears + (1 - high) * after.if_clear
        total = np.zeros(likely.shape[1:])
        for of_path, touched in zip(likely, stack.touched, strict=True):
            total += np.where(touched[:, None, None], of_path, 0.0)
        paths = stack.touched.sum(axis=0)
        found: Floats = total / paths[:, None, None] * stack.given
        return found

    def _way_left(self) -> _Way:
        """How far each path is from its mark, and what covering all of that is worth."""
        worth, beliefs = self.worth, self.beliefs
        left = np.maximum(_logit(beliefs.high) - worth._cut, 0.0)
        left[beliefs.signed] = 0.0
        total = left.sum(axis=1)
        going = (total > 0) & ~beliefs.signed.any(axis=1)
        scale = np.where(going, 1.0 - beliefs.measures["lower"], 0.0)
        low = np.clip(beliefs.low, LEAST_CHANCE, 1 - LEAST_CHANCE)
        up = np.maximum(worth._established - _logit(low), 0.0)
        up[:, ~worth._bears] = 0.0
        return _Way(left, scale / np.where(going, total, 1.0), low, up)


def _logit(chance: Floats) -> Floats:
    """Odds in decibans."""
    kept = np.clip(chance, LEAST_CHANCE, 1 - LEAST_CHANCE)
    found: Floats = 10 * (np.log10(kept) - np.log10(1 - kept))
    return found
