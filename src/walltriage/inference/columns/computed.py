"""Computed answers for many walls: the arithmetic once for each kind of lumber.

With the members over a wall as they are, two cuts decide for any distances
(``inference.computed.span_cuts``), so distances are compared as columns.  Tests hold this
equal to the arithmetic of one wall.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from itertools import product
from typing import Generic, TypeVar

import numpy as np

from walltriage.case.model import DEGREES, SUREST_FIRST, Answer
from walltriage.inference.columns.codes import FIRST_VALUE, Batch, Bools, Coder, Floats
from walltriage.inference.numbers.computed import (
    SPAN_HELD,
    SPAN_HELPS,
    SPAN_INPUTS,
    span_cuts,
    span_word,
)
from walltriage.inference.numbers.measured_span import (
    BEYOND_ALL,
    HELD,
    HELPS,
    IN_BETWEEN,
    LUMBER,
    SIDES,
    WELL_WITHIN,
    reach_cuts,
)
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.schema_measures import InputSource
from walltriage.structure.span_need import SpanState

MOST_REMEMBERED = 20_000  # kinds of members; years and weights of snow could go on without end
Cuts = TypeVar("Cuts")


def fill_computed(coder: Coder, batch: Batch) -> None:
    """Set the computed questions' codes of a batch in place, from its other answers."""
    if coder.base.measures.span_need is not None:
        _fill_need(coder, batch, coder.base.measures.span_need)
    if coder.base.measures.span_ratio is not None:
        _fill_ratio(coder, batch, coder.base.measures.span_ratio)


def _fill_need(coder: Coder, batch: Batch, question: str) -> None:
    one, other = (_number(coder, batch, name) for name in SPAN_INPUTS)
    rows = np.flatnonzero(~(np.isnan(one) | np.isnan(other)))
    if not len(rows):
        return
    without, beside = (one + other)[rows], np.maximum(one, other)[rows]
    codes = np.zeros(len(rows), np.uint8)
    held, by_held = _held(coder, batch, rows, question)
    code = {state: coder.code_of(question, state.value) for state in SpanState}
    remembered = _Remembered(coder, batch, SPAN_HELPS, span_cuts)
    for first, members in _kinds(coder, batch, rows, SPAN_HELPS):
        cuts = remembered.of(first)
        if cuts is None:
            continue
        far, near = without[members], beside[members]
        state = np.where(
            far <= cuts.easily_under_in, code[SpanState.EASILY], code[SpanState.MARGINAL]
        )
        state = np.where(far > cuts.could_not_over_in, code[SpanState.COULD_NOT], state)
        state = by_held[state, held[members]]
        accepted = (cuts.least_in <= far) & (far <= cuts.most_in)
        accepted &= (cuts.least_in <= near) & (near <= cuts.most_in)
        codes[members] = np.where(accepted, state, 0)
    known = codes >= FIRST_VALUE
    _set(coder, batch, question, rows[known], codes[known], SPAN_INPUTS + SPAN_HELD)


def _fill_ratio(coder: Coder, batch: Batch, question: str) -> None:
    one, other = (_number(coder, batch, name) for name in SIDES)
    rows = np.flatnonzero(~(np.isnan(one) | np.isnan(other)))
    if not len(rows):
        return
    span, codes = (one + other)[rows], np.zeros(len(rows), np.uint8)
    yes = WORDS.index("yes")
    held = np.logical_and.reduce([_word(coder, batch, name)[rows] == yes for name in HELD])
    remembered = _Remembered(coder, batch, HELPS, reach_cuts)
    for first, members in _kinds(coder, batch, rows, HELPS):
        cuts = remembered.of(first)
        if cuts is None:
            continue
        far = span[members]
        code = np.where(held[members], coder.code_of(question, WELL_WITHIN), 0)
        code = np.where(far > cuts.within_in, coder.code_of(question, IN_BETWEEN), code)
        code = np.where(far > cuts.beyond_in, coder.code_of(question, BEYOND_ALL), code)
        codes[members] = np.where((cuts.least_in <= far) & (far <= cuts.most_in), code, 0)
    short = codes == coder.code_of(question, WELL_WITHIN)
    long = (codes >= FIRST_VALUE) & ~short
    _set(coder, batch, question, rows[short], codes[short], SIDES + LUMBER + HELD)
    _set(coder, batch, question, rows[long], codes[long], SIDES + LUMBER)


class _Remembered(Generic[Cuts]):
    """Cuts by what a row says of its members, each worked out once for a knowledge base."""

    def __init__(
        self,
        coder: Coder,
        batch: Batch,
        names: tuple[str, ...],
        work: Callable[[KnowledgeBase, Mapping[str, Answer]], Cuts | None],
    ) -> None:
        self._coder, self._batch, self._work = coder, batch, work
        self._questions = _questions(coder, names)
        self._columns = [coder.column[name] for name in self._questions]
        self._numbers = [
            coder.number_column[name] for name in self._questions if name in coder.number_column
        ]
        self._known: dict[tuple[bytes, bytes], Cuts | None]
        self._known = coder.remembered.setdefault(work.__qualname__, {})

    def of(self, row: int) -> Cuts | None:
        """The cuts of a row."""
        batch = self._batch
        key = batch.codes[row, self._columns].tobytes(), batch.numbers[row, self._numbers].tobytes()
        if key not in self._known:
            if len(self._known) >= MOST_REMEMBERED:
                self._known.clear()
            self._known[key] = self._work(
                self._coder.base, self._coder.decode(batch, row, self._questions)
            )
        return self._known[key]


_RANK = np.array([SUREST_FIRST.index(degree) for degree in DEGREES], np.uint8)
_DEGREE = np.array([DEGREES.index(degree) for degree in SUREST_FIRST], np.uint8)


def _set(
    coder: Coder, batch: Batch, question: str, rows: np.ndarray, codes: np.ndarray,
    names: tuple[str, ...],
) -> None:  # fmt: skip
    """Write an answer, no surer than the least sure of the inputs that it comes from."""
    readings = [r.question for name in names for r in _readings(coder, name)]
    measured = np.array([coder.column[name] for name in readings], np.intp)
    batch.codes[rows, coder.column[question]] = codes
    ranks = _RANK[batch.sure[np.ix_(rows, measured)]]
    batch.sure[rows, coder.column[question]] = _DEGREE[ranks.max(axis=1)]


def _readings(coder: Coder, name: str) -> list[InputSource]:
    return coder.base.measures.inputs.get(name, [])


def _questions(coder: Coder, names: tuple[str, ...]) -> dict[str, None]:
    """The questions that inputs are read from, each once."""
    readings = [r for name in names for r in _readings(coder, name)]
    return dict.fromkeys(q for r in readings for q in (r.question, *r.only_with))


def _number(coder: Coder, batch: Batch, name: str) -> Floats:
    """An input of the arithmetic (n,), NaN where nothing usable was answered."""
    found = np.full(len(batch), np.nan)
    for reading in reversed(_readings(coder, name)):  # the first that has an answer counts
        value = np.full(len(batch), np.nan)
        codes = batch.codes[:, coder.column[reading.question]]
        if reading.means is not None:
            for word, number in reading.means.items():
                value[codes == coder.code_of(reading.question, word)] = float(number)
        elif reading.question in coder.number_column:
            value = batch.numbers[:, coder.number_column[reading.question]]
        usable: Bools = (codes >= FIRST_VALUE) & ~np.isnan(value)
        for question, wanted in reading.only_with.items():
            usable &= batch.codes[:, coder.column[question]] == coder.code_of(question, wanted)
        found = np.where(usable, value, found)
    return found


WORDS: tuple[str | None, ...] = (None, "yes", "no")


def _held(coder: Coder, batch: Batch, rows: np.ndarray, question: str) -> tuple[np.ndarray, ...]:
    """Which pair of words on the two supports each row has (n,), and the code of the answer that
    each code of a span state becomes under each pair (codes, pairs)."""
    sides = [_word(coder, batch, name)[rows] for name in SPAN_HELD]
    becomes = np.zeros((256, len(WORDS) ** len(sides)), np.uint8)
    for state in SpanState:
        for pair, words in enumerate(product(WORDS, repeat=len(sides))):
            word = coder.code_of(question, span_word(state, words))
            becomes[coder.code_of(question, state.value), pair] = word
    pairs = np.zeros(len(rows), np.int64)
    for side in sides:
        pairs = pairs * len(WORDS) + side
    return pairs, becomes


def _word(coder: Coder, batch: Batch, name: str) -> np.ndarray:
    """An input that is one of :data:`WORDS`, as its place there (n,)."""
    found = np.zeros(len(batch), np.int64)
    for reading in reversed(_readings(coder, name)):  # the first that has an answer counts
        codes = batch.codes[:, coder.column[reading.question]]
        for value, word in (reading.means or {}).items():
            found[codes == coder.code_of(reading.question, value)] = WORDS.index(str(word))
    return found


def _kinds(
    coder: Coder, batch: Batch, rows: np.ndarray, names: tuple[str, ...]
) -> list[tuple[int, np.ndarray]]:
    """Walls alike in all but their distances: a row of each kind, and places in ``rows``."""
    key = np.zeros(len(rows), np.int64)
    for name in _questions(coder, names):
        values = batch.codes[rows, coder.column[name]].astype(np.int64)
        if name in coder.number_column:
            numbers = batch.numbers[rows, coder.number_column[name]]
            values = np.unique(numbers, return_inverse=True)[1]
        # numbered anew each time, so that keys stay small however many questions there are
        key = np.unique(key * (values.max() + 1) + values, return_inverse=True)[1]
    order = np.argsort(key, kind="stable")
    groups = np.split(order, np.flatnonzero(np.diff(key[order])) + 1)
    return [(int(rows[members[0]]), members) for members in groups]
