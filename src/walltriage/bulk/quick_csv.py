"""Lines of CSV in columns: cells cut by Arrow, each distinct cell of a column looked at once.

Lines with nothing that needs a closer look come out packed; any other is left to the careful way,
which reads it after all or tells what is wrong and where.  Needs pyarrow.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from walltriage.bulk import quick_table
from walltriage.bulk.cells import RawTables
from walltriage.bulk.header import Header
from walltriage.bulk.quick_table import BAD, DEGREES, Ints, PlainRows, kept_rows, no_surer
from walltriage.units import LENGTH_UNITS

if quick_table.there:
    import pyarrow
    from pyarrow import compute

MOST_PAIRS = 50_000_000  # of a column and a cell, up to which a place is kept for each


@dataclass(slots=True)
class _Cells:
    """The distinct cells, stripped, and which of them each cell is (lines, columns)."""

    words: list[str]
    which: NDArray[np.int32]

    def column(self, place: int) -> list[str]:
        return [self.words[index] for index in self.which[:, place].tolist()]

    def among(self, place: int, allowed: Sequence[str], missing: bool) -> NDArray[np.bool_]:
        """Which lines have one of these words in a column; ``missing`` if empty is as good."""
        fits = np.array([word in allowed or (missing and not word) for word in self.words], bool)
        return fits[self.which[:, place]]


def plain_lines(
    lines: Sequence[bytes], header: Header, tables: RawTables,
    allowed: Mapping[str, Sequence[str]], longest: int,
) -> PlainRows | None:  # fmt: skip
    """The lines in order under a header; None if they are no text, or all want a closer look.

    ``allowed`` has the words that own columns may hold; the units of all lines are those of the
    first, and any others are not in order.
    """
    width = len(header.names)
    places = _uncut(lines, header.delimiter, width, longest)
    cells = _cut([lines[i] for i in places], header.delimiter, width)
    if cells is None:
        return None
    plain = np.ones(len(places), bool)
    units = "ft"
    if "units" in header.own:
        at = header.own["units"]
        units = cells.words[cells.which[0, at]] or "ft"
        if units not in LENGTH_UNITS:
            return None
        plain &= cells.among(at, (units,), missing=units == "ft")
    for name, words in allowed.items():
        if name in header.own:
            plain &= cells.among(header.own[name], words, missing=True)
    rows, packed = _answers(cells, header, tables, units)
    plain[rows[packed == BAD]] = False
    own = {name: cells.column(at) for name, at in header.own.items()}
    return kept_rows(plain, places, own, rows, packed)


def _uncut(lines: Sequence[bytes], delimiter: str, cells: int, longest: int) -> list[int]:
    """The lines that hold so many cells and nothing that needs a closer look."""
    cut, bare = delimiter.encode(), b" \t\r\n" + delimiter.encode()
    return [
        index
        for index, line in enumerate(lines)
        if line.count(cut) == cells - 1
        and b'"' not in line
        and b"\0" not in line
        and line.find(b"\r", 0, -1) < 0
        and len(line) <= longest
        and line.strip(bare)
    ]


def _cut(lines: list[bytes], delimiter: str, cells: int) -> _Cells | None:
    """Lines cut into cells; None if they are no text, or there are none."""
    if not lines:
        return None
    cut = compute.split_pattern(pyarrow.array(lines, pyarrow.binary()), delimiter.encode())
    pieces = cut.flatten().dictionary_encode()
    try:
        words = [word.decode().strip() for word in pieces.dictionary.to_pylist()]
    except UnicodeDecodeError:
        return None
    return _Cells(words, pieces.indices.to_numpy().reshape(len(lines), cells))


def _answers(cells: _Cells, header: Header, tables: RawTables, units: str) -> tuple[Ints, Ints]:
    """Of each answer its line and itself, packed; below 0 for one that is not in order."""
    seen = header.tables(tables, units)
    which = cells.which[:, [place for _, place in header.questions]]
    blank = np.array([not word for word in cells.words], bool)
    rows, columns = np.nonzero(~blank[which])
    words = which[rows, columns].astype(np.int64)
    pairs, place = _distinct(columns * len(cells.words) + words, which.shape[1], len(cells.words))
    found = np.empty(len(pairs), np.int64)
    for index, (column, word) in enumerate(
        zip(*(part.tolist() for part in np.divmod(pairs, len(cells.words))), strict=True)
    ):
        coded = seen[column][cells.words[word]]
        found[index] = BAD if coded is None else tables.pointing(coded)
    packed = found[place]
    beside = np.array([header.sure.get(name, -1) for name, _ in header.questions], np.int64)
    degrees = np.array([DEGREES.get(word, BAD) for word in cells.words], np.int64)
    said = degrees[cells.which[rows, beside[columns]]]
    return rows, no_surer(packed, np.where(beside[columns] >= 0, said, 0))


def _distinct(keys: Ints, columns: int, words: int) -> tuple[Ints, Any]:
    """The distinct keys, each under ``columns * words``, and which of them each is."""
    if columns * words > MOST_PAIRS:
        found, place = np.unique(keys, return_inverse=True)
        return found, place
    there = np.zeros(columns * words, bool)
    there[keys] = True
    found = np.flatnonzero(there)
    place = np.empty(len(there), np.int32)  # of the keys that are not there nobody asks
    place[found] = np.arange(len(found), dtype=np.int32)
    return found, place[keys]
