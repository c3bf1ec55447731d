"""Lines of CSV in columns: cells cut by Arrow, each distinct cell of a column looked at once.

Lines with nothing that needs a closer look come out packed; any other is left to the careful way,
which reads it after all or tells what is wrong and where.  Needs pyarrow.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import compress
from typing import Any

import numpy as np
from numpy.typing import NDArray

from walltriage.bulk.cells import BAD, RawTables
from walltriage.bulk.header import Header
from walltriage.bulk.pieces import ends_of, pieces_of
from walltriage.bulk.quick_table import DEGREE_OF, TOLD, Ints, PlainRows, kept_rows, no_surer
from walltriage.units import LENGTH_UNITS

PART = 1500  # lines cut at once, which leaves what is worked on in the caches
MOST_PAIRS = 50_000_000  # of a column and a cell, up to which a place is kept for each


@dataclass(slots=True)
class _CutCells:
    """Cells, stripped, the empty one first, and which of them each cell is (lines, columns).

    ``rows`` (k,) and ``places`` (k,), line by line, are those of the cells of questions that hold
    anything.
    """

    words: list[str]
    which: NDArray[np.int32]
    rows: Ints
    places: Ints

    def column(self, place: int) -> list[str]:
        return [self.words[index] for index in self.which[:, place].tolist()]

    def among(self, place: int, allowed: Sequence[str], missing: bool) -> NDArray[np.bool_]:
        """Which lines have one of these words in a column; ``missing`` if empty is as good."""
        there, which = np.unique(self.which[:, place], return_inverse=True)
        words = [self.words[index] for index in there.tolist()]
        fits = np.array([word in allowed or (missing and not word) for word in words], bool)
        found: NDArray[np.bool_] = fits[which]
        return found


def plain_lines(
    data: bytes, lines: Sequence[bytes], header: Header, tables: RawTables,
    allowed: Mapping[str, Sequence[str]], longest: int,
) -> PlainRows | None:  # fmt: skip
    """The lines of the data in order under a header; None if they are no text, or all want a closer
    look.

    ``allowed`` has the words that own columns may hold; the units of all lines are those of the
    first, and any others are not in order.
    """
    marks = [mark for mark in (b'"', b"\0", b"\r") if mark in data]
    plainly = _plainly(lines, header.delimiter, longest, marks)
    cells, whole = _cut([lines[i] for i in plainly], header)
    if cells is None:
        return None
    places = list(compress(plainly, whole))
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
    own = {name: cells.column(at) for name, at in header.own.items() if name in TOLD}
    return kept_rows(plain, places, own, rows, packed)


def _plainly(
    lines: Sequence[bytes], delimiter: str, longest: int, marks: Sequence[bytes]
) -> list[int]:
    """The lines that hold something and nothing that needs a closer look: one of the marks, but
    for the end of a line that has two letters."""
    bare = b" \t\r\n" + delimiter.encode()
    return [
        index
        for index, line in enumerate(lines)
        if len(line) <= longest
        and (line[:1].strip(bare) or line.strip(bare))  # mostly the first byte tells
        and not (marks and _marked(line, marks))
    ]


def _marked(line: bytes, marks: Sequence[bytes]) -> bool:
    return any(line.find(mark, 0, -1 if mark == b"\r" else None) >= 0 for mark in marks)


def _cut(lines: list[bytes], header: Header) -> tuple[_CutCells | None, list[bool]]:
    """Lines cut into cells, and which lines have as many of them as the header, and so are kept;
    no cells if they are no text, or no line is kept."""
    delimiter, cells = header.delimiter, len(header.names)
    asked = np.zeros(cells, bool)
    asked[[place for _, place in header.questions]] = True
    kept: list[bool] = []
    words, which, counts, places = _Numbered({"": 0}), [], [], []
    for start in range(0, len(lines), PART):
        some = lines[start : start + PART]
        data = b"\n".join(some) + b"\n"
        ends = ends_of(data, ord(delimiter), ord("\n"))
        line_ends = np.cumsum([len(line) + 1 for line in some]) - 1
        of_lines = np.diff(np.searchsorted(ends, line_ends), prepend=-1)
        whole = of_lines == cells
        kept += whole.tolist()
        filled = np.empty(len(ends), bool)
        filled[0], filled[1:] = ends[0] > 0, ends[1:] - ends[:-1] > 1
        if not whole.all():
            there = np.repeat(whole, of_lines)
            filled &= there
        at = np.flatnonzero(filled)
        pieces = pieces_of(data, ends, at)
        try:
            texts = map(str.strip, pieces.texts("\n", delimiter))
        except UnicodeDecodeError:
            return None, []
        numbers = np.fromiter(map(words.__getitem__, texts), np.int32)
        found = np.zeros(len(ends), np.int32)
        found[at] = numbers[pieces.which]
        if not whole.all():
            found = found[there]
        which.append(found.reshape(-1, cells))
        answers = (which[-1] > 0) & asked
        counts.append(np.count_nonzero(answers, axis=1))
        starts = np.arange(len(answers)) * cells
        places.append(np.flatnonzero(answers) - np.repeat(starts, counts[-1]))
    if not any(kept):
        return None, []
    of_line = np.concatenate(counts)
    rows = np.repeat(np.arange(len(of_line)), of_line)
    return _CutCells(list(words), np.concatenate(which), rows, np.concatenate(places)), kept


class _Numbered(dict[str, int]):
    """Texts by number, from 0, in the order in which they were first asked for."""

    def __missing__(self, text: str) -> int:
        number = self[text] = len(self)
        return number


def _answers(cells: _CutCells, header: Header, tables: RawTables, units: str) -> tuple[Ints, Ints]:
    """Of each answer its line and itself, packed; below 0 for one that is not in order."""
    seen = header.tables(tables, units)
    width, count = cells.which.shape[1], len(header.questions)
    of_place, to_sure = np.full(width, -1), np.zeros(width, np.int64)
    for column, (name, place) in enumerate(header.questions):
        of_place[place] = column
        if name in header.sure:
            to_sure[place] = header.sure[name] - place
    rows, places, which = cells.rows, cells.places, cells.which.ravel()
    at = rows * width + places
    # words that come often have low numbers, so that what is looked up lies close together
    pairs, place_of = _distinct(
        np.multiply(which.take(at), count, dtype=np.int64) + of_place.take(places),
        count * len(cells.words),
    )
    of_pairs = zip(*(part.tolist() for part in np.divmod(pairs, count)), strict=True)
    found = tables.packed([seen[column][cells.words[word]] for word, column in of_pairs])
    packed, beside = found.take(place_of), to_sure.take(places)
    degrees = np.array([DEGREE_OF.get(word, BAD) for word in cells.words], np.int64)
    said = degrees.take(which.take(at + beside))
    return rows, no_surer(packed, np.where(beside, said, 0))


def _distinct(keys: Ints, most: int) -> tuple[Ints, Any]:
    """The distinct keys, each under ``most``, and which of them each is."""
    if most > MOST_PAIRS:
        found, place = np.unique(keys, return_inverse=True)
        return found, place
    there = np.zeros(most, bool)
    there[keys] = True
    found = np.flatnonzero(there)
    place = np.empty(most, np.int32)  # of the keys that are not there nobody asks
    place[found] = np.arange(len(found), dtype=np.int32)
    return found, place.take(keys)
