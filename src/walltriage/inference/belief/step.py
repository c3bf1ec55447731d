"""The belief step: from evidence, base rates and signs to posteriors, status and measures.

For one wall and for many alike: one wall is one row.  Everything is worked out in odds, by
plain products, so that no row depends on how many stand beside it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np

from walltriage.inference.belief.evidence import Index
from walltriage.inference.belief.kernel import Kernel, Told, Weighed
from walltriage.inference.belief.speaking import Speaking, told_of
from walltriage.inference.belief.tree import Belief
from walltriage.inference.columns.codes import Bools, Floats
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.schema import BaseRate

OPEN, ESTABLISHED, RULED_OUT = range(3)  # codes of a path's status
LEAST_SHARE = 1e-6  # of 100 walls none or all is a count, not a certainty
LEAST_CHANCE = 1e-9


@dataclass(slots=True)
class Inputs:
    """What fired before the belief step, for ``n`` walls and ``p`` load paths.

    ``low``, ``high`` (n, p): odds of the base rate in force.  ``signed`` (n, p): whether any
    sign was reported; ``settled`` (n, p): whether such a sign settles the path, ``confirmed``
    (n, p): whether it does so unless it is far from likely.
    """

    told: Told
    low: Floats
    high: Floats
    signed: Bools
    settled: Bools
    confirmed: Bools


@dataclass(slots=True)
class Beliefs:
    """What the belief step found for ``n`` walls and ``p`` load paths.

    ``told``, ``weighed``: what it was told, and what that shows.
    ``low``, ``high`` (n, p): posterior bounds.  ``ratio`` (n, p): P(answers | bears) over
    P(answers | does not).  ``status`` (n, p): OPEN, ESTABLISHED or RULED_OUT.
    ``seen_against`` (n, p): whether a direct look speaks against the path.  ``measures``: for
    the whole wall, (n,) each.
    """

    told: Told
    weighed: Weighed
    low: Floats
    high: Floats
    ratio: Floats
    status: np.ndarray
    signed: Bools
    seen_against: Bools
    measures: dict[str, Floats] = field(default_factory=dict)


class BeliefStep:
    """A knowledge base's belief, ready for any number of walls."""

    def __init__(self, base: KnowledgeBase) -> None:
        self.base = base
        self.belief = Belief(base)
        self.kernel = Kernel(base, self.belief)
        self.paths = tuple(base.paths)
        self.bears = [base.paths[path].entry.bears for path in self.paths]
        self.speaking = Speaking(base, self.belief, self.kernel)

    def run(self, given: Inputs) -> Beliefs:
        """Posteriors, status and measures of every wall."""
        shape = given.low.shape
        weighed = self.kernel.weigh(given.told)
        ratios = weighed.ratios()
        found = Beliefs(
            given.told,
            weighed,
            np.empty(shape, order="F"),
            np.empty(shape, order="F"),
            np.empty(shape, order="F"),
            np.zeros(shape, np.int8, order="F"),
            given.signed,
            np.zeros(shape, bool, order="F"),
        )
        for column, path in enumerate(self.paths):
            found.ratio[:, column] = ratios[path]
            against = self.speaking.against[path]
            found.seen_against[:, column] = told_of(given.told, against, shape[0])
            self._settle(given, found, column)
        self._measure(given, found)
        return found

    def _settle(self, given: Inputs, found: Beliefs, column: int) -> None:
        marks = self.base.guards.thresholds
        low, high = (chance(odds[:, column] * found.ratio[:, column])
                     for odds in (given.low, given.high))  # fmt: skip
        signed, settled = given.signed[:, column], given.settled[:, column]
        if signed.any():
            likely = chance(_middle_odds(low, high)) >= marks["confirmed_sign_at_least"]
            settled = settled | (given.confirmed[:, column] & likely)
            # a sign that was told is not believed away by anything else that was told
            high[signed] = np.maximum(high[signed], marks["told_sign_at_least"])
            least = marks["decisive_sign_at_least"]
            for bound in (low, high):
                bound[settled] = np.maximum(bound[settled], least)
        status = found.status[:, column]
        # what somebody saw against a path rules it out at the whole wall's mark, where no answer
        # speaks plainly for it; hearsay needs more
        each = marks["path_ruled_out_at_most"]
        whole = max(marks["non_bearing_at_most"], each)
        seen = found.seen_against[:, column] & (high > each) & (high <= whole)
        if seen.any():
            seen &= ~told_of(given.told, self.speaking.plainly_for(self.paths[column]), len(seen))
        most = np.where(seen, whole, each)
        status[high <= most] = RULED_OUT
        status[signed] = OPEN
        status[low >= marks["path_established_at_least"]] = ESTABLISHED
        found.low[:, column], found.high[:, column] = low, high

    def _measure(self, given: Inputs, found: Beliefs) -> None:
        """Bounds for "some path bears" that assume nothing about dependence (Frechet), one
        chance between them, and the upper one without answers that speak for bearing."""
        walls = len(found.low)
        lower, upper, none = np.zeros(walls), np.zeros(walls), np.ones(walls)
        for column in self._bearing():
            low, high = found.low[:, column], found.high[:, column]
            np.maximum(lower, low, out=lower)
            upper += high
            none /= 1.0 + _middle_odds(low, high)
        found.measures = {
            "lower": lower,
            "upper": np.minimum(upper, 1.0),
            "middle": 1.0 - none,
            "upper_without_adverse": self._without_adverse(given, np.minimum(upper, 1.0)),
        }

    def _bearing(self) -> Iterable[int]:
        return (column for column, bears in enumerate(self.bears) if bears)

    def _without_adverse(self, given: Inputs, upper: Floats) -> Floats:
        """The highest upper bound (n,) without some answers that speak for bearing: any one,
        all of one condition, or all of one place.

        Where places contradict each other an answer for bearing can make a whole look
        doubtful, and so lower the sum: it must not.  Worked out where "non-bearing" is near.
        """
        mark = self.base.guards.thresholds["non_bearing_at_most"]
        rows = np.flatnonzero((upper <= mark) & ~given.signed.any(axis=1))
        worst = upper.copy()
        if not len(rows):
            return worst
        sources, drops = [], []
        for clues, whole in self.speaking.adverse:
            held = {c: given.told.codes[c][rows] for c in clues if c in given.told.codes}
            adverse = {c: clues[c].take(code, mode="clip") for c, code in held.items()}
            met = np.zeros(len(rows), bool)
            for speaks in adverse.values():
                met |= speaks
            if met.any():
                sources.append(rows[met])
                dropped = {c: np.ones(met.sum(), bool) if whole else speaks[met]
                           for c, speaks in adverse.items()}  # fmt: skip
                drops.append(dropped)
        if not sources:
            return worst
        source = np.concatenate(sources)
        codes = {clue: code[source] for clue, code in given.told.codes.items()}
        start = 0
        for part, dropped in zip(sources, drops, strict=True):
            for clue, speaks in dropped.items():
                codes[clue][start : start + len(part)][speaks] = 0
            start += len(part)
        facts = {fact: holds[source] for fact, holds in given.told.facts.items()}
        ratios = self.kernel.ratios(Told(len(source), codes, facts))
        total = np.zeros(len(source))
        for column in self._bearing():
            total += chance(given.high[source, column] * ratios[self.paths[column]])
        np.maximum.at(worst, source, np.minimum(total, 1.0))
        return worst


def rate_odds(rate: BaseRate) -> tuple[float, float]:
    """Lowest and highest odds of a base rate."""
    low, high = (min(max(share / 100, LEAST_SHARE), 1 - LEAST_SHARE) for share in rate.in_100)
    return low / (1 - low), high / (1 - high)


def chance(odds: Floats) -> Floats:
    """The probability of these odds."""
    found: Floats = odds / (1.0 + odds)
    return found


def _middle_odds(low: Floats, high: Floats) -> Floats:
    """Odds half way between two chances, in the logarithm."""
    middle: Floats = np.sqrt(_odds(low) * _odds(high))
    return middle


def _odds(chances: Floats) -> Floats:
    kept = np.clip(chances, LEAST_CHANCE, 1.0 - LEAST_CHANCE)
    found: Floats = kept / (1.0 - kept)
    return found


__all__ = ["ESTABLISHED", "OPEN", "RULED_OUT", "BeliefStep", "Beliefs", "Index", "Inputs"]
