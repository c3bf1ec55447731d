"""Computed answers for many walls: the arithmetic once for each kind of lumber.

With the members over a wall as they are, two cuts decide for any distances
(``inference.computed.span_cuts``), so distances are compared as columns.  Tests hold this
equal to the arithmetic of one wall.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import fields
from itertools import product
from typing import Any

import numpy as np

from walltriage.case.model import DEGREES, SUREST_FIRST, Answer
from walltriage.inference.columns.codes import FIRST_VALUE, NOT_ASKED, Batch, Bools, Coder, Floats
from walltriage.inference.numbers.computed import (
    SPAN_HELD,
    SPAN_HELPS,
    SPAN_INPUTS,
    SpanCuts,
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
    ReachCuts,
    reach_cuts,
)
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.schema_measures import InputSource
from walltriage.structure.span_need import SpanState

MOST_REMEMBERED = 20_000  # kinds of members; years and weights of snow could go on without end


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
    held, by_held = _held(coder, batch, rows, question)
    code = {state: coder.code_of(question, state.value) for state in SpanState}
    cuts = _cuts(coder, batch, rows, SPAN_HELPS, span_cuts, SpanCuts)
    state = np.where(without <= cuts["easily_under_in"], code[SpanState.EASILY],
                     code[SpanState.MARGINAL])  # fmt: skip
    state = np.where(without > cuts["could_not_over_in"], code[SpanState.COULD_NOT], state)
    state = by_held[state, held]
    accepted = (cuts["least_in"] <= without) & (without <= cuts["most_in"])
    accepted &= (cuts["least_in"] <= beside) & (beside <= cuts["most_in"])
    codes = np.where(accepted, state, 0)
    known = codes >= FIRST_VALUE
    _set(coder, batch, question, rows[known], codes[known], SPAN_INPUTS + SPAN_HELD)


def _fill_ratio(coder: Coder, batch: Batch, question: str) -> None:
    one, other = (_number(coder, batch, name) for name in SIDES)
    rows = np.flatnonzero(~(np.isnan(one) | np.isnan(other)))
    if not len(rows):
        return
    span = (one + other)[rows]
    yes = WORDS.index("yes")
    held = np.logical_and.reduce([_word(coder, batch, name)[rows] == yes for name in HELD])
    cuts = _cuts(coder, batch, rows, HELPS, reach_cuts, ReachCuts)
    codes = np.where(held, coder.code_of(question, WELL_WITHIN), 0)
    codes = np.where(span > cuts["within_in"], coder.code_of(question, IN_BETWEEN), codes)
    codes = np.where(span > cuts["beyond_in"], coder.code_of(question, BEYOND_ALL), codes)
    accepted = (cuts["least_in"] <= span) & (span <= cuts["most_in"])
    codes = np.where(accepted, codes, 0)
    short = codes == coder.code_of(question, WELL_WITHIN)
    long = (codes >= FIRST_VALUE) & ~short
    _set(coder, batch, question, rows[short], codes[short], SIDES + LUMBER + HELD)
    _set(coder, batch, question, rows[long], codes[long], SIDES + LUMBER)


def _cuts(
    coder: Coder, batch: Batch, rows: np.ndarray, names: tuple[str, ...],
    work: Callable[[KnowledgeBase, Mapping[str, Answer]], Any], kind: type[Any],
) -> dict[str, Floats]:  # fmt: skip
    """The cuts of each row by field (k,), NaN where there are none.

    They are worked out once for whatever rows say alike of their members, and remembered for a
    knowledge base.
    """
    known: dict[bytes, Any] = coder.remembered.setdefault(work.__qualname__, {})
    questions = _questions(coder, names)
    place: dict[bytes, int] = {}
    kinds: list[Any] = []
    keys = _alike(coder, batch, rows, questions)
    for row, key in zip(rows.tolist(), keys, strict=True):
        if key in place:
            continue
        if key not in known:
            if len(known) >= MOST_REMEMBERED:
                known.clear()
            known[key] = work(coder.base, coder.decode(batch, row, questions))
        place[key] = len(kinds)
        kinds.append(known[key])
    of = np.array([place[key] for key in keys])
    return {
        name: np.array([np.nan if cuts is None else getattr(cuts, name) for cuts in kinds])[of]
        for name in (field.name for field in fields(kind) if field.type in (float, "float"))
    }


def _alike(coder: Coder, batch: Batch, rows: np.ndarray, questions: Iterable[str]) -> list[bytes]:
    """What each row says to some questions, as bytes that are equal where it is the same."""
    columns = [coder.column[name] for name in questions]
    measured = [coder.number_column[name] for name in questions if name in coder.number_column]
    codes = batch.codes[rows][:, columns]
    numbers = np.ascontiguousarray(batch.numbers[rows][:, measured]).view(np.uint8)
    whole = np.ascontiguousarray(np.hstack([codes, numbers]))
    found: list[bytes] = whole.view(np.dtype((np.void, whole.shape[1])))[:, 0].tolist()
    return found


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
    ranks[batch.codes[np.ix_(rows, measured)] == NOT_ASKED] = 0
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
