"""The belief step for whole columns: what it is given, read off the rules that fired."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from walltriage.case.model import DEGREES, Sureness
from walltriage.errors import InputError, Problem
from walltriage.inference.belief.evidence import Index, evidence
from walltriage.inference.belief.kernel import Told
from walltriage.inference.belief.signs import PLACES_THAT_AGREE, SURE, TWICE, SignLook, sign_looks
from walltriage.inference.belief.step import Beliefs, BeliefStep, Inputs, rate_odds
from walltriage.inference.columns.codes import FIRST_VALUE, Bools, Coder, Floats
from walltriage.inference.columns.rules import Chunk
from walltriage.inference.engine.strata import StratifiedRule
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.schema import DerivedFact


class ColumnBelief:
    """The belief step over chunks of walls.

    Raises :class:`InputError` for a load path none of whose base rates is sure to hold.
    """

    def __init__(self, step: BeliefStep, stratified: list[StratifiedRule], coder: Coder) -> None:
        self.base, self.coder, self.step_of = step.base, coder, step
        base = step.base
        self.paths = self.step_of.paths
        position = {item.id: index for index, item in enumerate(stratified)}
        clues = {clue.id: clue for clue in base.clues()}
        self.clue_positions = {i.id: position[i.id] for i in stratified if i.kind == "clue"}
        self._clues = [
            (name, clues[name].question, None if clues[name].when is None else at)
            for name, at in self.clue_positions.items()
        ]
        self._rates = [_rates_of(base, path, position) for path in self.paths]
        self._signs = [
            [position[s.id] for p, s in base.signs() if p == path and s.id in position]
            for path in self.paths
        ]
        self._looks = [
            (position[look.id], self.paths.index(look.load_path), look)
            for look in sign_looks(base, stratified).values()
        ]
        read = self.step_of.kernel.facts()
        self._facts: dict[tuple[str, str], list[int]] = {fact: [] for fact in read}
        for item in stratified:
            if isinstance(item.rule, DerivedFact):
                for fact in item.rule.concludes.items():
                    if fact in self._facts:
                        self._facts[fact].append(position[item.id])

    def step(self, chunk: Chunk) -> Beliefs:
        """Work out belief for a chunk whose clues, base rates and signs have fired."""
        shape = (len(chunk), len(self.paths))
        low, high = np.empty(shape, order="F"), np.empty(shape, order="F")
        signed, settled = np.zeros(shape, bool), self._settled(chunk)
        for column in range(len(self.paths)):
            self._base_rate(chunk, column, low, high)
            for at in self._signs[column]:
                signed[:, column] |= chunk.fired[:, at]
            if not self.step_of.bears[column]:
                settled[:, column] = signed[:, column]  # of bracing: no sign of weight
        confirmed = self._confirmed(chunk)
        return self.step_of.run(Inputs(self.told(chunk), low, high, signed, settled, confirmed))

    def told(self, chunk: Chunk) -> Told:
        """What the answers and the situation of each wall tell the belief."""
        asked: dict[str, Index] = {}
        codes: dict[str, Index] = {}
        for name, question, at in self._clues:
            code = asked.get(question)
            if code is None:
                code = asked[question] = evidence(chunk.batch, self.coder.column[question])
            if at is not None:
                code = code * chunk.fired[:, at]
            if code.any():
                codes[name] = code
        facts = {
            fact: np.logical_or.reduce([chunk.fired[:, at] for at in positions])
            for fact, positions in self._facts.items()
            if positions
        }
        return Told(len(chunk), codes, facts)

    def _base_rate(self, chunk: Chunk, column: int, low: Floats, high: Floats) -> None:
        positions, odds = self._rates[column]
        which = np.full(len(chunk), len(positions) - 1)
        for index in range(len(positions) - 2, -1, -1):
            which[chunk.fired[:, positions[index]]] = index
        low[:, column], high[:, column] = odds[0].take(which), odds[1].take(which)

    def _settled(self, chunk: Chunk) -> Bools:
        """Where signs settle a path (n, p), as ``signs.settled_paths`` says of one wall."""
        found = np.zeros((len(chunk), len(self.paths)), bool)
        reported = [(look, column, fired) for at, column, look in self._looks
                if (fired := chunk.fired[:, at]).any()]  # fmt: skip
        if not reported:
            return found
        by_place: dict[str, Bools] = {}
        for look, _, fired in reported:
            seen = by_place.get(look.place)
            by_place[look.place] = fired if seen is None else seen | fired
        twice = np.sum(list(by_place.values()), axis=0) >= PLACES_THAT_AGREE
        for look, column, fired in reported:
            rows = np.flatnonzero(fired)
            settles = twice[rows] | look.settles
            if look.opened:
                settles = settles | self._all_told(chunk, rows, look, SURE)
            found[rows, column] |= settles
        return found

    def _confirmed(self, chunk: Chunk) -> Bools:
        """Where signs were found the same at a second look (n, p)."""
        found = np.zeros((len(chunk), len(self.paths)), bool)
        for at, column, look in self._looks:
            rows = np.flatnonzero(chunk.fired[:, at])
            if len(rows):
                found[rows, column] |= self._all_told(chunk, rows, look, TWICE)
        return found

    def _all_told(
        self, chunk: Chunk, rows: NDArray[np.intp], look: SignLook, degrees: Sequence[Sureness]
    ) -> Bools:
        """Of which of these rows (k,) all answers that a sign reads were told in one of some
        degrees (k,)."""
        codes = [DEGREES.index(degree) for degree in degrees]
        told = np.ones(len(rows), bool)
        for name in look.questions:
            column = self.coder.column[name]
            real = chunk.batch.codes[rows, column] >= FIRST_VALUE
            told &= ~real | np.isin(chunk.batch.sure[rows, column], codes)
        return told


def _rates_of(base: KnowledgeBase, path: str, position: dict[str, int]) -> tuple[list[int], Floats]:
    """Positions of a path's base rates in load order, and their odds (2, rates), low and high;
    :class:`InputError` when none of them is sure to hold."""
    rates = [rate for rate in base.paths[path].entry.base_rates if rate.id in position]
    if not any(rate.when is None for rate in rates):
        place = base.places.get(path, ("rules", 0, 0))
        what = f"no base rate of '{path}' holds for every wall"
        raise InputError(Problem(*place, what, "expected one without 'when', not retired"))
    odds = np.array([rate_odds(rate) for rate in rates]).T.copy()
    return [position[rate.id] for rate in rates], odds
