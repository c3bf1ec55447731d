"""What an answer would be worth: expected fall in the cost of deciding now, for its effort.

With p the chance that the wall bears, deciding now costs the least of "non-bearing"
(missed_bearing * p), "bearing" (false_bearing * (1 - p)) and "cannot tell".  A soft
minimum keeps the value of an answer above nothing where no single answer decides yet;
a little expected information breaks ties.  Heckerman, Horvitz and Middleton 1993;
Breese and Heckerman 1996.  One step ahead, exact per load path.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from walltriage.inference.belief.tree import ConditionTable, Reported, from_db, logit_db
from walltriage.inference.engine.evaluate import Evaluation, Evaluator
from walltriage.inference.engine.uses import Uses, question_uses
from walltriage.inference.looks.policy import EFFORT_COST
from walltriage.knowledge.schema import Clue

TEMPERATURE = 0.15  # of the cost of "cannot tell"; smooths the minimum
INFORMATION = 0.05  # worth of one bit, in "cannot tell"s: breaks ties only
CLOSING = 0.3  # worth of the whole way from here to "non-bearing", in "cannot tell"s
SETTLING = 0.3  # worth of the whole way from here to "bearing", likewise
SIGN_CHANCE = 0.3  # share of bearing walls on a path that show a given decisive sign
FEED_SHARE = 0.5  # two distances make one span
SHARED_BY = 3  # the wall's mark is a sum: about this many paths share it
RATE_SHARE = 0.1  # what knowing the situation is taken to change of a path's chance
REMEMBERED = 4096  # what answers would weigh beside those given: a few interviews' worth


@dataclass(slots=True)
class Outcome:
    """One possible answer: its chance, and for each path it touches the high posterior
    after it, its chance where the path is clear and where it bears, and its weight."""

    chance: float
    highs: dict[str, float]
    if_clear: dict[str, float]
    if_bears: dict[str, float]
    decibans: dict[str, float]


@dataclass(frozen=True, slots=True)
class Awaited:
    """One answer not given yet, on one path: its chance where the path bears and where it is
    clear, and what it would weigh."""

    if_bears: float
    if_clear: float
    decibans: float


class Worth:
    """Prices questions for one knowledge base."""

    def __init__(self, evaluator: Evaluator) -> None:
        self.evaluator = evaluator
        self.uses: dict[str, Uses] = question_uses(evaluator.base)
        self._clues: dict[str, list[tuple[str, Clue]]] = {}
        for path in evaluator.base.paths.values():
            for clues in path.clues.values():
                for clue in clues:
                    self._clues.setdefault(clue.question, []).append((path.id, clue))
        self._bearing = {name for name, path in evaluator.base.paths.items() if path.entry.bears}
        self._awaited: dict[tuple[str, str, tuple[Reported, ...]], list[Awaited]] = {}
        self._costs = evaluator.base.guards.costs
        marks = evaluator.base.guards.thresholds
        self._closed = marks["non_bearing_at_most"] / SHARED_BY
        self._established_db = logit_db(marks["path_established_at_least"])

    def risk(self, chance: float) -> float:
        """The soft minimum of the three costs at this chance of bearing."""
        unit = self._costs.cannot_tell
        costs = (
            self._costs.missed_bearing * chance,
            self._costs.false_bearing * (1 - chance),
            unit,
        )
        scale, least = TEMPERATURE * unit, min(costs)
        return least - scale * math.log(sum(math.exp((least - cost) / scale) for cost in costs))

    def value(self, question: str, result: Evaluation, shut: bool = False) -> float:
        """Expected fall in risk from answering ``question``, before effort.

        With ``shut``, "non-bearing" is out of reach today, and the way there is worth nothing.
        """
        highs = {n: state.high for n, state in result.paths.items() if n in self._bearing}
        now = _any(highs)
        value = self._sign_value(question, highs, now) + self._rate_value(question, highs, now)
        outcomes = self._outcomes(question, result)
        if outcomes:
            gain, information = self.risk(now), 0.0
            for outcome in outcomes:
                after = {n: high for n, high in outcome.highs.items() if n in self._bearing}
                gain -= outcome.chance * self.risk(_any(highs | after))
                for path, high in after.items():
                    information += outcome.chance * (_entropy(highs[path]) - _entropy(high))
            value += max(gain, 0.0) + INFORMATION * max(information, 0.0)
            value += 0.0 if shut else self._closing_value(outcomes, result)
            value += self._settling_value(outcomes, result)
        feeds = self.uses[question].feeds
        return value + sum(self._feed_value(name, result, shut) for name in feeds)

    def _feed_value(self, computed: str, result: Evaluation, shut: bool) -> float:
        """A measurement's part in the worth of what is worked out from it, until that is known."""
        fired = {firing.rule for firing in result.fired("clue")}
        if any(clue.id in fired for _, clue in self._clues.get(computed, ())):
            return 0.0
        return FEED_SHARE * self.value(computed, result, shut)

    def score(self, question: str, result: Evaluation, move: float = 0.0) -> float:
        """Value per effort; ``move`` is the extra effort of changing place."""
        effort = self.evaluator.base.questions[question].entry.effort
        return self.value(question, result) / (EFFORT_COST[effort] + move)

    def _sign_value(self, question: str, highs: Mapping[str, float], now: float) -> float:
        paths = self.uses[question].sign_paths & self._bearing
        chance = max((highs[path] for path in paths), default=0.0)
        return SIGN_CHANCE * chance * max(self.risk(now) - self.risk(1.0), 0.0)

    def _rate_value(self, question: str, highs: Mapping[str, float], now: float) -> float:
        swing = sum(highs[path] for path in self.uses[question].rate_paths & self._bearing)
        return RATE_SHARE * min(swing, now) * self._costs.cannot_tell

    def _closing_value(self, outcomes: list[Outcome], result: Evaluation) -> float:
        """The share of the way to "non-bearing" covered on average if nothing stands there.

        Every path has to come under its mark; the way left is counted in decibans, path by
        path.  No single answer goes all the way, so expected risk alone would never set out.
        """
        cut = logit_db(self._closed)
        left = {
            name: logit_db(state.high) - cut
            for name, state in result.paths.items()
            if not state.signs and cut < logit_db(state.high)
        }
        if not left or any(state.signs for state in result.paths.values()):
            return 0.0
        covered = dict.fromkeys(left, 0.0)
        for outcome in outcomes:
            for path in covered.keys() & outcome.highs.keys():
                fall = logit_db(result.paths[path].high) - logit_db(outcome.highs[path])
                covered[path] += outcome.if_clear[path] * fall
        share = sum(min(max(covered[path], 0.0), left[path]) for path in left) / sum(left.values())
        return CLOSING * (1.0 - result.measures["lower"]) * share

    def _settling_value(self, outcomes: list[Outcome], result: Evaluation) -> float:
        """The share of the way to "bearing" covered on average if something does stand there.

        One path is enough, so the best of them counts, by how likely it is at the least.
        """
        best = 0.0
        for path in outcomes[0].if_bears:
            low = min(max(result.paths[path].low, 1e-9), 1 - 1e-9)
            left = self._established_db - logit_db(low)
            if left <= 0 or path not in self._bearing:
                continue
            covered = sum(outcome.if_bears[path] * outcome.decibans[path] for outcome in outcomes)
            best = max(best, low * min(max(covered, 0.0), left) / left)
        return SETTLING * best

    def _outcomes(self, question: str, result: Evaluation) -> list[Outcome]:
        """What every possible answer would do to the paths it touches."""
        touching = self._clues.get(question, ())
        if not touching:
            return []
        values = self.evaluator.base.questions[question].values
        outcomes = [Outcome(0.0, {}, {}, {}, {}) for _ in values]
        for path, clue in touching:
            state = result.paths[path]
            others = tuple(
                r for r in state.reports if r.condition == clue.condition and r.clue != clue.id
            )
            weight = logit_db(min(max(state.high, 1e-9), 1 - 1e-9))
            for outcome, answer in zip(outcomes, self._answers(path, clue, others), strict=True):
                chance = state.high * answer.if_bears + (1 - state.high) * answer.if_clear
                outcome.chance += chance / len(touching)
                outcome.highs[path] = from_db(weight + answer.decibans)
                outcome.if_clear[path] = answer.if_clear
                outcome.if_bears[path] = answer.if_bears
                outcome.decibans[path] = answer.decibans
        return outcomes

    def _answers(self, path: str, clue: Clue, others: tuple[Reported, ...]) -> list[Awaited]:
        """What each value of a clue's question would say of a path, beside other reports of
        the same condition; worked out once."""
        key = (path, clue.id, others)
        if key not in self._awaited:
            if len(self._awaited) >= REMEMBERED:
                self._awaited.clear()
            asked = self.evaluator.base.questions[clue.question]
            trust = self.evaluator.base.guards.reliability.kinds[asked.entry.kind]
            table = self.evaluator.belief.tables[path][clue.condition]
            self._awaited[key] = [
                _awaited(table, others, Reported(clue.id, clue.condition, value, trust))
                for value in asked.values
            ]
        return self._awaited[key]


def _awaited(table: ConditionTable, others: tuple[Reported, ...], reported: Reported) -> Awaited:
    before, after = table.joint(others), table.joint([*others, reported])
    bears, clear = (
        sum(p * j for p, j in zip(given, after, strict=True))
        / sum(p * j for p, j in zip(given, before, strict=True))
        for given in (table.bearing, table.not_bearing)
    )
    return Awaited(bears, clear, 10 * math.log10(bears / clear))


def _any(highs: Mapping[str, float]) -> float:
    """A chance that the wall bears, to rank questions by.

    The verdict's bound, the sum, stands at 1 until most paths are closed, and would make
    every question before that look worthless; taken as independent, each path counts.
    """
    return 1.0 - math.prod(1.0 - high for high in highs.values())


def _entropy(chance: float) -> float:
    """Bits of doubt about a yes-or-no of this chance."""
    if chance <= 0 or chance >= 1:
        return 0.0
    return -chance * math.log2(chance) - (1 - chance) * math.log2(1 - chance)
