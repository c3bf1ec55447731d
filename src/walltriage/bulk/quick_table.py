"""Columns of cells to packed answers, each distinct cell of a column looked at once.

Rows whose cells are all in order come out packed; any other is left to the careful way, which
reads it after all or tells what is wrong and where.  Needs pyarrow.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import compress
from typing import Any

import numpy as np
from numpy.typing import NDArray

from walltriage.bulk.cells import RawAnswers, RawTables
from walltriage.bulk.header import Header
from walltriage.case.model import SURENESS

try:
    import pyarrow
except ImportError:  # then every row goes the careful way
    pyarrow = None

there = pyarrow is not None
DEGREES = {"": 0} | {word: index for index, word in enumerate(SURENESS)}
BAD = -1
Ints = NDArray[np.int64]


@dataclass(slots=True)
class PlainRows:
    """Rows in order: their places among all (k,), own cells by name, and packed answers.

    ``rows`` tells of each answer which of the k rows it is of.
    """

    places: list[int]
    own: dict[str, list[str]]
    rows: Ints
    packed: Ints

    def __iter__(self) -> Iterator[tuple[int, dict[str, str]]]:
        """Place and own cells of each row; empty cells are left out."""
        names = list(self.own)
        for place, cells in zip(self.places, self._cells(), strict=True):
            yield place, {n: cell for n, cell in zip(names, cells, strict=True) if cell}

    def _cells(self) -> Iterator[tuple[str, ...]]:
        if self.own:
            yield from zip(*self.own.values(), strict=True)
        else:
            yield from ((),) * len(self.places)


def kept_rows(
    plain: NDArray[np.bool_], places: Sequence[int], own: Mapping[str, list[str]], rows: Ints,
    packed: Ints,
) -> PlainRows:  # fmt: skip
    """Those rows of all (n,) that are plain, with the answers of the others taken out."""
    good = plain.tolist()
    kept = plain[rows]
    return PlainRows(
        list(compress(places, good)),
        {name: list(compress(words, good)) for name, words in own.items()},
        (np.cumsum(plain) - 1)[rows[kept]],
        packed[kept],
    )


def plain_rows(
    table: Any, header: Header, tables: RawTables, allowed: Mapping[str, Sequence[str]]
) -> PlainRows:
    """The rows of a table that are in order.

    ``allowed`` has the words that own columns may hold; the units of all rows are those of the
    first that has words in its own columns, and any others are not in order.
    """
    plain = np.ones(len(table), bool)
    own: dict[str, list[str]] = {}
    for name, place in header.own.items():
        words, which = _distinct(table.column(place))
        texts = ["" if word is None else word for word in words]
        fits = np.array([isinstance(word, str) for word in texts], bool)
        plain &= fits[which]
        stripped = [word.strip() if isinstance(word, str) else "" for word in texts]
        own[name] = [stripped[index] for index in which.tolist()]
    for name, possible in allowed.items():
        if name in own:
            fine = {"", *possible}
            plain &= np.array([word in fine for word in own[name]], bool)
    told = own.get("units", [""] * len(table))
    units = next((word or "ft" for word, good in zip(told, plain, strict=True) if good), "ft")
    plain &= np.array([(word or "ft") == units for word in told], bool)
    found = _answers(table, header, tables, units)
    plain &= (found != BAD).all(axis=1)
    rows, columns = np.nonzero(found)
    return kept_rows(plain, range(len(table)), own, rows, found[rows, columns])


def _answers(table: Any, header: Header, tables: RawTables, units: str) -> Ints:
    """Packed answers (rows, questions): 0 for an empty cell, below it for a bad one."""
    packed = np.zeros((len(table), len(header.questions)), np.int64)
    seen = header.tables(tables, units)
    for column, ((name, place), known) in enumerate(zip(header.questions, seen, strict=True)):
        words, which = _distinct(table.column(place))
        if words in ([""], [None]):
            continue
        codes = _codes(words, known, tables)[which]
        if name in header.sure:
            said, whose = _distinct(table.column(header.sure[name]))
            degrees = np.array([_degree(word) for word in said], np.int64)[whose]
            codes = no_surer(codes, degrees)
        packed[:, column] = codes
    return packed


def _codes(words: Sequence[Any], seen: RawAnswers, tables: RawTables) -> Ints:
    """The packed answer for each distinct cell."""
    found = np.zeros(len(words), np.int64)
    for index, word in enumerate(words):
        raw = word.strip() if isinstance(word, str) else word
        if raw is None or raw == "":
            continue
        coded = seen[raw] if type(raw) in (str, int, float) else None
        found[index] = BAD if coded is None else tables.pointing(coded)
    return found


def _degree(word: Any) -> int:
    if word is None:
        return DEGREES[""]
    return DEGREES.get(word.strip(), BAD) if isinstance(word, str) else BAD


def no_surer(codes: Ints, degrees: Ints) -> Ints:
    """Answers with the sureness told beside them; what is not answered needs none."""
    surer = np.maximum(degrees - (codes & 255), 0)
    given = np.where(degrees < 0, BAD, codes + surer)
    return np.where(codes > 0, given, codes)


def _distinct(column: Any) -> tuple[list[Any], Ints]:
    """The distinct cells of a column, and which of them each row has."""
    whole = column.combine_chunks()
    if isinstance(whole, pyarrow.ChunkedArray):  # it had no rows
        return [], np.zeros(0, np.int64)
    kind = whole.type
    if not pyarrow.types.is_dictionary(kind):
        if pyarrow.types.is_nested(kind):  # no answer: each goes the careful way
            return whole.to_pylist(), np.arange(len(whole))
        whole = whole.dictionary_encode(null_encoding="encode")
    words, which = whole.dictionary.to_pylist(), whole.indices
    if which.null_count:  # an empty cell is a word of its own
        words, which = [*words, None], which.fill_null(len(words))
    return words, which.to_numpy(zero_copy_only=False)
