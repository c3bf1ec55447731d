"""Computed answers for many walls: the arithmetic once for each kind of lumber.

With the members over a wall as they are, two cuts decide for any distances
(``inference.computed.span_cuts``), so distances are compared as columns.  Tests hold this
equal to the arithmetic of one wall.
"""

from __future__ import annotations

from itertools import product

import numpy as np

from walltriage.inference.columns.codes import FIRST_VALUE, Batch, Bools, Coder, Floats
from walltriage.inference.numbers.computed import (
    SPAN_HELD,
    SPAN_HELPS,
    SPAN_INPUTS,
    span_cuts,
    span_word,
)
from walltriage.knowledge.schema_measures import Reading
from walltriage.structure.span_need import SpanState


def fill_computed(coder: Coder, batch: Batch) -> None:
    """Set the computed questions' codes of a batch in place, from its other answers."""
    question = coder.base.measures.span_need
    if question is None:
        return
    one, other = (_number(coder, batch, name) for name in SPAN_INPUTS)
    rows = np.flatnonzero(~(np.isnan(one) | np.isnan(other)))
    if not len(rows):
        return
    without, beside = (one + other)[rows], np.maximum(one, other)[rows]
    codes = np.zeros(len(rows), np.uint8)
    held, by_held = _held(coder, batch, rows, question)
    code = {state: coder.code_of(question, state.value) for state in SpanState}
    for first, members in _kinds(coder, batch, rows):
        cuts = span_cuts(coder.base, coder.decode(batch, first, _questions(coder, SPAN_HELPS)))
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
    column, rows = coder.column[question], rows[known]
    names = SPAN_INPUTS + SPAN_HELD
    readings = [r.question for name in names for r in _readings(coder, name)]
    measured = np.array([coder.column[name] for name in readings], np.intp)
    batch.codes[rows, column] = codes[known]
    batch.sure[rows, column] = batch.sure[np.ix_(rows, measured)].max(axis=1)


def _readings(coder: Coder, name: str) -> list[Reading]:
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


def _kinds(coder: Coder, batch: Batch, rows: np.ndarray) -> list[tuple[int, np.ndarray]]:
    """Walls alike in all but their distances: a row of each kind, and places in ``rows``."""
    key = np.zeros(len(rows), np.int64)
    for name in _questions(coder, SPAN_HELPS):
        values = batch.codes[rows, coder.column[name]].astype(np.int64)
        if name in coder.number_column:
            numbers = batch.numbers[rows, coder.number_column[name]]
            values = np.unique(numbers, return_inverse=True)[1]
        # numbered anew each time, so that keys stay small however many questions there are
        key = np.unique(key * (values.max() + 1) + values, return_inverse=True)[1]
    order = np.argsort(key, kind="stable")
    groups = np.split(order, np.flatnonzero(np.diff(key[order])) + 1)
    return [(int(rows[members[0]]), members) for members in groups]
