"""Columns of cells to packed answers, each distinct cell of a column looked at once.

Rows whose cells are all in order come out packed; any other is left to the careful way, which
reads it after all or tells what is wrong and where.  Needs pyarrow.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import compress, repeat
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

    def cells(self, name: str) -> Iterable[str]:
        """An own cell of each row; empty where there is no such column."""
        return self.own[name] if name in self.own else repeat("", len(self.places))

    def filled(self) -> list[bool]:
        """Whether anything stands in each row."""
        answered = np.bincount(self.rows, minlength=len(self.places)) > 0
        for words in self.own.values():
            answered |= np.array([bool(word) for word in words], bool)
        found: list[bool] = answered.tolist()
        return found


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
    rows, packed = _answers(table, header, tables, units)
    plain[rows[packed == BAD]] = False
    return kept_rows(plain, range(len(table)), own, rows, packed)


def _answers(table: Any, header: Header, tables: RawTables, units: str) -> tuple[Ints, Ints]:
    """Of each answer its row and itself, packed; below 0 for one that is not in order."""
    found: list[tuple[Ints, Ints]] = []
    seen = header.tables(tables, units)
    for (name, place), known in zip(header.questions, seen, strict=True):
        words, which = _distinct(table.column(place))
        codes = _codes(words, known, tables)[which]
        rows = np.flatnonzero(codes)
        if not len(rows):
            continue
        codes = codes[rows]
        if name in header.sure:
            said, whose = _distinct(table.column(header.sure[name]))
            degrees = np.array([_degree(word) for word in said], np.int64)
            codes = no_surer(codes, degrees[whose[rows]])
        found.append((rows, codes))
    if not found:
        return np.zeros(0, np.int64), np.zeros(0, np.int64)
    rows, packed = (np.concatenate(part) for part in zip(*found, strict=True))
    return rows, packed


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
    which = whole.indices
    words, at = whole.dictionary.to_pylist(), _integers(which)
    if which.null_count:  # an empty cell is a word of its own
        words, at = [*words, None], np.where(_there(which), at, len(words))
    return words, at


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
