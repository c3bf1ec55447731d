"""Columns of cells to columns of answers, each distinct cell of a column looked at once.

Rows whose cells are all in order come out coded; any other is left to the careful way, which
reads it after all or tells what is wrong and where.  Needs pyarrow.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import compress, repeat
from typing import Any

import numpy as np
from numpy.typing import NDArray

from walltriage.bulk.cells import BAD, LEAST_SURE, Coded, RawAnswers, RawTables
from walltriage.bulk.gather import CODE_SHIFT
from walltriage.bulk.header import Header
from walltriage.case.model import DEGREES, SURENESS_IN_FILES
from walltriage.inference.columns.codes import Batch, Bools, Coder

try:
    import pyarrow
except ImportError:  # then every row goes the careful way
    pyarrow = None

there = pyarrow is not None
DEGREE_OF = {"": 0} | {word: DEGREES.index(word) for word in SURENESS_IN_FILES}
TOLD = ("case", "wall", "name")  # own columns that are told of each wall
Ints = NDArray[np.int64]


@dataclass(slots=True)
class PlainCases:
    """Rows in order: their places among all (k,), and by name the own cells that are told."""

    places: list[int]
    own: dict[str, list[str]]

    def cells(self, name: str) -> Iterable[str]:
        """An own cell of each row; empty where there is no such column."""
        return self.own[name] if name in self.own else repeat("", len(self.places))


@dataclass(slots=True)
class PlainRows(PlainCases):
    """Rows in order with packed answers; ``rows`` tells of each which of the k rows it is of."""

    rows: Ints
    packed: Ints


@dataclass(slots=True)
class PlainTable(PlainCases):
    """Rows in order with their answers in columns; ``filled`` (k,): whether anything stands in
    them."""

    answers: Batch
    filled: Bools


def kept_rows(
    plain: NDArray[np.bool_], places: Sequence[int], own: Mapping[str, list[str]], rows: Ints,
    packed: Ints,
) -> PlainRows:  # fmt: skip
    """Those rows of all (n,) that are plain, with the answers of the others taken out."""
    if plain.all():
        return PlainRows(list(places), dict(own), rows, packed)
    good = plain.tolist()
    kept = plain[rows]
    return PlainRows(
        list(compress(places, good)),
        {name: list(compress(words, good)) for name, words in own.items()},
        (np.cumsum(plain) - 1)[rows[kept]],
        packed[kept],
    )


def plain_table(
    table: Any, header: Header, tables: RawTables, allowed: Mapping[str, Sequence[str]],
    coder: Coder,
) -> PlainTable:  # fmt: skip
    """The rows of a batch of Arrow that are in order.

    ``allowed`` has the words that own columns may hold; the units of all rows are those of the
    first that has words in its own columns, and any others are not in order.
    """
    plain, filled = np.ones(len(table), bool), np.zeros(len(table), bool)
    own = {name: _cells(table.column(place)) for name, place in header.own.items()}
    for name, cells in own.items():
        words = cells.stripped()
        possible = {"", *allowed.get(name, words)}
        fits = [word is None or isinstance(word, str) for word in cells.words]
        fine = [good and word in possible for good, word in zip(fits, words, strict=True)]
        plain &= cells.each(fine, bool, missing=True)
        filled |= cells.each([bool(word) for word in words], bool)
    units = "ft"
    if "units" in own and plain.any():
        of_rows = [word or "ft" for word in (*own["units"].stripped(), "")]
        units = of_rows[own["units"].places()[np.argmax(plain)]]
        same = [word == units for word in of_rows]
        plain &= own["units"].each(same[:-1], bool, missing=same[-1])
    answers = coder.empty(len(table))
    for (name, place), known in zip(header.questions, header.tables(tables, units), strict=True):
        beside = table.column(header.sure[name]) if name in header.sure else None
        laid = _lay(answers, coder.column[name], table.column(place), beside, known)
        if laid is not None:
            plain &= laid
    if not filled.all():
        filled |= answers.codes.any(axis=1)
    told = {name: cells.texts() for name, cells in own.items() if name in TOLD}
    rows = np.flatnonzero(plain)
    if len(rows) < len(plain):
        told = {name: [words[row] for row in rows.tolist()] for name, words in told.items()}
        answers = answers.columns(rows)
    return PlainTable(rows.tolist(), told, answers, filled[rows])


def _lay(
    answers: Batch, column: int, told: Any, beside: Any | None, known: RawAnswers
) -> Bools | None:
    """Put the cells of a question, and the sureness told beside them, into its column; which rows
    are in order (n,), None if all are."""
    cells, fine = _cells(told), None
    looked = _looked(cells, known)
    coded = [_EMPTY if one is None else one for one in looked]
    if None in looked:
        fine = cells.each([one is not None for one in looked], bool, missing=True)
    packed = np.array([one[0] for one in coded], np.int64)
    codes = cells.each(packed >> CODE_SHIFT & 255, np.uint8)
    degrees = cells.each(packed & 255, np.uint8) if (packed & 255).any() else None
    if beside is not None:
        said = _cells(beside)
        surer = np.array([_degree(word) for word in said.words], np.int8)
        if (surer < 0).any():
            sound = (codes == 0) | said.each(surer >= 0, bool, missing=True)
            fine = sound if fine is None else fine & sound
        given = said.each(np.maximum(surer, 0), np.uint8)
        degrees = given if degrees is None else LEAST_SURE[degrees, given]
        degrees *= codes > 0
    answers.codes[:, column] = codes
    answers.sure[:, column] = 0 if degrees is None else degrees
    at = next((one[1][0] for one in coded if one[1] is not None), -1)
    if at >= 0:  # all numbers of a question have one place
        numbers = [np.nan if one[1] is None else one[1][1] for one in coded]
        answers.numbers[:, at] = cells.each(numbers, float, np.nan)
    return fine


_EMPTY: Coded = (0, None)


def _looked(cells: _Cells, known: RawAnswers) -> list[Coded | None]:
    """Each distinct cell, as :func:`_coded` has it."""
    if not cells.texts_only:
        return [_coded(word, known) for word in cells.words]
    # as they stand, most have been seen before; a number would find what equals it
    found = list(map(known.get, cells.words))
    return [
        _coded(word, known) if one is None else one
        for word, one in zip(cells.words, found, strict=True)
    ]


def _coded(word: Any, known: RawAnswers) -> Coded | None:
    """A cell as a packed answer, 0 if it is empty; None for one that is not in order."""
    raw = word.strip() if isinstance(word, str) else word
    if raw is None or raw == "":
        return _EMPTY
    return known[raw] if type(raw) in (str, int, float) else None


def _degree(word: Any) -> int:
    if word is None:
        return DEGREE_OF[""]
    return DEGREE_OF.get(word.strip(), BAD) if isinstance(word, str) else BAD


def no_surer(codes: Ints, degrees: Ints) -> Ints:
    """Answers with the sureness told beside them; what is not answered needs none."""
    told = np.where(codes > 0, codes & 255, 0)
    given = np.where(degrees < 0, BAD, codes - told + _least_sure(told, degrees))
    return np.where(codes > 0, given, codes)


def _least_sure(told: Ints, said: Ints) -> NDArray[Any]:
    """Degrees of answers whose words allow no more than ``told``; a bad one may come out as any."""
    said = np.maximum(said, 0).astype(np.uint8)
    return LEAST_SURE[told, said] if told.any() else said


@dataclass(slots=True)
class _Cells:
    """The distinct cells of a column, and which of them each row has (n,).

    ``there`` (n,): which rows have any, None if all have; of the others ``which`` says nothing.
    ``texts_only``: each of them is a text, or nothing.
    """

    words: list[Any]
    which: Ints
    there: Bools | None = None
    texts_only: bool = False

    def each(self, told: Any, kind: Any, missing: float = 0) -> NDArray[Any]:
        """What is told of each distinct cell, told of each row; ``missing`` where there is none."""
        table = np.empty(len(self.words) + 1, kind)
        table[:-1], table[-1] = told, missing
        found = table.take(self.which, mode="clip")  # wherever a row without a cell points
        if self.there is not None:
            if missing:
                np.copyto(found, missing, where=~self.there)
            else:
                found *= self.there
        return found

    def places(self) -> Ints:
        """Which distinct cell each row has, -1 where it has none."""
        return self.which if self.there is None else np.where(self.there, self.which, -1)

    def stripped(self) -> list[str]:
        """The distinct cells, stripped; nothing for one that is no text."""
        return [word.strip() if isinstance(word, str) else "" for word in self.words]

    def texts(self) -> list[str]:
        """The cell of each row, stripped; nothing for one that is no text."""
        words = [*self.stripped(), ""]
        return list(map(words.__getitem__, self.places().tolist()))


def _cells(whole: Any) -> _Cells:
    kind = whole.type
    if not pyarrow.types.is_dictionary(kind):
        if pyarrow.types.is_nested(kind):  # no answer: each goes the careful way
            return _Cells(whole.to_pylist(), np.arange(len(whole)))
        whole = whole.dictionary_encode(null_encoding="encode")
    texts = pyarrow.types.is_string(whole.dictionary.type)
    words = whole.dictionary.to_numpy(zero_copy_only=False) if texts else whole.dictionary
    there = _there(whole.indices) if whole.indices.null_count else None
    return _Cells(words.tolist(), _integers(whole.indices), there, texts)


def points_into_words(column: Any) -> bool:
    """Whether each cell of a column is plainly one of its distinct words, which are all sound.

    False where Arrow itself has to look; what it takes for all cells is ten times as much.
    """
    if not pyarrow.types.is_dictionary(column.type) or not len(column):
        return False
    column.dictionary.validate(full=True)
    which = _integers(column.indices)
    return bool(which.min() >= 0 and which.max() < len(column.dictionary))


def _integers(whole: Any) -> Ints:
    """The integers of an Arrow array, whatever where there is none."""
    _, data = whole.buffers()
    kind = np.dtype(whole.type.to_pandas_dtype())
    return np.frombuffer(data, kind, len(whole), whole.offset * kind.itemsize)


def _there(whole: Any) -> NDArray[np.bool_]:
    """Where an Arrow array has anything (n,)."""
    bits = np.frombuffer(whole.buffers()[0], np.uint8)
    wanted = np.unpackbits(bits, bitorder="little")[whole.offset : whole.offset + len(whole)]
    return wanted.view(bool)
