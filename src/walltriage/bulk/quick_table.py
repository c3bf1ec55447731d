"""Columns of cells to packed answers, each distinct cell of a column looked at once.

Rows whose cells are all in order come out packed; any other is left to the careful way, which
reads it after all or tells what is wrong and where.  Needs pyarrow.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from walltriage.bulk.cells import RawAnswers, RawTables
from walltriage.case.model import SURENESS

try:
    import pyarrow
    from pyarrow import csv as arrow_csv
except ImportError:  # then every row goes the careful way
    pyarrow = None

there = pyarrow is not None
DEGREES = {"": 0} | {word: index for index, word in enumerate(SURENESS)}
_BAD = -1
Ints = NDArray[np.int64]
Questions = Sequence[tuple[str, int, RawAnswers]]  # name, place in the row, what was seen before


@dataclass(slots=True)
class PlainRows:
    """Rows of a table; ``answers`` are those of all plain rows, ``counts`` how many each has.

    A row that is not plain is False in ``plain`` and has no answers.
    """

    plain: list[bool]
    answers: list[int]
    counts: list[int]


def plain_lines(lines: Sequence[bytes], delimiter: str, cells: int, longest: int) -> list[int]:
    """The lines of a CSV file that hold so many cells and nothing that needs a closer look."""
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


def parsed(lines: Sequence[bytes], delimiter: str, cells: int) -> Any:
    """Plain lines as a table of words; None if they are no text, or there are none."""
    if not lines:
        return None
    text, words = b"\n".join(lines), pyarrow.dictionary(pyarrow.int32(), pyarrow.string())
    names = [str(index) for index in range(cells)]
    try:
        return arrow_csv.read_csv(
            pyarrow.BufferReader(text),
            arrow_csv.ReadOptions(
                use_threads=False, block_size=len(text) + 1, column_names=names
            ),
            arrow_csv.ParseOptions(
                delimiter=delimiter, quote_char=False, escape_char=False, ignore_empty_lines=False
            ),
            arrow_csv.ConvertOptions(
                column_types=dict.fromkeys(names, words),
                strings_can_be_null=False,
            ),
        )  # fmt: skip
    except pyarrow.ArrowException:
        return None


class TableCoder:
    """Packs the columns of a table."""

    def __init__(self, tables: RawTables) -> None:
        self._tables = tables

    def rows(self, table: Any, questions: Questions, sure: Mapping[str, int]) -> PlainRows:
        """The answers of each row; ``sure`` has the place of a question's sureness in the row."""
        packed = np.zeros((len(table), len(questions)), np.int64)
        for column, (name, place, seen) in enumerate(questions):
            words, which = _distinct(table.column(place))
            if words == [""]:
                continue
            codes = self._codes(words, seen)[which]
            if name in sure:
                said, whose = _distinct(table.column(sure[name]))
                degrees = np.array([_degree(word) for word in said], np.int64)[whose]
                codes = _no_surer(codes, degrees)
            packed[:, column] = codes
        plain = (packed != _BAD).all(axis=1)
        packed[~plain] = 0
        given = packed != 0
        return PlainRows(plain.tolist(), packed[given].tolist(), given.sum(axis=1).tolist())

    def _codes(self, words: Sequence[Any], seen: RawAnswers) -> Ints:
        """The packed answer for each distinct cell: 0 for an empty one, below it for a bad one."""
        found = np.zeros(len(words), np.int64)
        for index, word in enumerate(words):
            raw = word.strip() if isinstance(word, str) else word
            if raw is None or raw == "":
                continue
            coded = seen[raw] if type(raw) in (str, int, float) else None
            found[index] = _BAD if coded is None else self._tables.pointing(coded)
        return found


def _degree(word: Any) -> int:
    if word is None:
        return DEGREES[""]
    return DEGREES.get(word.strip(), _BAD) if isinstance(word, str) else _BAD


def _no_surer(codes: Ints, degrees: Ints) -> Ints:
    """Answers with the sureness told beside them; what is not answered needs none."""
    surer = np.maximum(degrees - (codes & 255), 0)
    given = np.where(degrees < 0, _BAD, codes + surer)
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
