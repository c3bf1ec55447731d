"""CSV with one column a question: read into columns, and the template to fill in.

A row is a wall; what was answered for its house stands in every row of the house.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import repeat
from pathlib import Path

import numpy as np

from walltriage.bulk import quick_table
from walltriage.bulk.blocks import Block
from walltriage.bulk.cells import RawTables, no_surer
from walltriage.bulk.gather import Gathered, WallRef
from walltriage.bulk.header import OWN_COLUMNS, Header, cell_place
from walltriage.bulk.parquet import Rows
from walltriage.bulk.quick_csv import plain_lines
from walltriage.bulk.quick_table import TOLD, Ints, PlainCases, PlainRows
from walltriage.case.model import DEGREES, HOUSE, ROLES, SURENESS_IN_FILES
from walltriage.errors import Problem
from walltriage.inference.columns.codes import Coder
from walltriage.knowledge.base import KnowledgeBase
from walltriage.units import LENGTH_UNITS

MOST_CELL = 131_072  # letters
_ALLOWED: dict[str, Sequence[str]] = {
    "for": ROLES,
    "reach": ("0", "1", "2", "3", "4"),
    "units": LENGTH_UNITS,
}


class CsvReader:
    """Reads blocks of CSV files for one knowledge base."""

    def __init__(self, coder: Coder, tables: RawTables) -> None:
        self._coder, self._tables = coder, tables
        self._headers: dict[tuple[str, bytes], Header] = {}

    def read(self, block: Block, gathered: Gathered) -> None:
        """Gather the walls of a block; a file with a bad header is told once and left out."""
        first = 1 if block.kind == "parquet" else 2
        key = block.path, block.header
        if key not in self._headers:
            self._headers = {key: Header(self._coder.base, block.path, block.header)}
        header = self._headers[key]
        if header.problems:
            if block.line == first:
                gathered.wrong(header.problems)
            return
        if block.rows is not None:
            self._table(block, block.rows, header, gathered)
            return
        lines = block.data.split(b"\n")
        if not lines[-1]:
            lines.pop()
        plain = self._plain(block.data, lines, header)
        if plain is None:
            self._with_care(block, header, gathered)
            return
        rows = self._in_order(block, plain, plain.places, len(lines), gathered, lambda index: (
            self._with_care(
                replace(block, line=block.line + index, data=lines[index] + b"\n"), header, gathered
            )
        ))  # fmt: skip
        gathered.laid.append((rows[plain.rows], plain.packed))

    def _table(self, block: Block, there: Rows, header: Header, gathered: Gathered) -> None:
        table = there.batch
        plain = quick_table.plain_table(table, header, self._tables, _ALLOWED, self._coder)

        def closer(index: int) -> None:
            cells_there = there.cells(index)
            if any(cells_there):
                self._row(_Row(block.path, block.line + index), cells_there, header, gathered)

        filled = np.where(plain.filled, plain.places, -1).tolist()
        rows = self._in_order(block, plain, filled, table.num_rows, gathered, closer)
        kept = np.flatnonzero(rows >= 0)
        answers = plain.answers
        gathered.columns.append(
            (rows[kept], answers if len(kept) == len(rows) else answers.columns(kept))
        )

    def _in_order(
        self, block: Block, plain: PlainCases, places: list[int], total: int, gathered: Gathered,
        closer: Callable[[int], None],
    ) -> Ints:  # fmt: skip
        """Gather all records of a block in order: those at ``places`` (-1 for none) as plain rows,
        the others by a closer look.  The rows of the plain ones, -1 where there is none."""
        refs = list(_refs(block, plain))
        if len(refs) == total and -1 not in places:
            gathered.cases += total
            return np.arange(total) + gathered.add_rows(refs)
        placed = np.full(len(refs), -1)
        number_at = {place: number for number, place in enumerate(places)}
        for index in range(total):
            number = number_at.get(index)
            if number is None:
                closer(index)
            else:
                gathered.cases += 1
                placed[number] = gathered.add_rows([refs[number]])
        return placed

    def _plain(self, data: bytes, lines: list[bytes], header: Header) -> PlainRows | None:
        """The lines that are plainly in order; None where all have to be read with care.

        So it is where a record may be longer than its line, or there is nothing to read with.
        """
        if not quick_table.there:
            return None
        quoted = b'"' in data
        if quoted and not all(map(_ends_with_its_line, lines, repeat(header.delimiter))):
            return None
        return plain_lines(data, lines, header, self._tables, _ALLOWED, MOST_CELL)

    def _with_care(self, block: Block, header: Header, gathered: Gathered) -> None:
        try:
            text, sound = block.data.decode("utf-8"), True
        except UnicodeDecodeError:
            text, sound = block.data.decode("utf-8", "surrogateescape"), False
        # a line ends where other tools count one, whatever else csv takes for an end
        lines = io.StringIO(text, newline="\n").readlines()
        for start, end, cells in _records(lines, header.delimiter):
            record = _Record(block.path, block.line + start, lines, start, end)
            if isinstance(cells, str):
                what = f"not readable as CSV: {cells}"
                gathered.wrong([Problem(block.path, record.line, 1, what)])
            elif any(cells):
                broken = None if sound else record.broken_text()
                if broken is not None:
                    gathered.wrong([broken])
                else:
                    self._row(record, cells, header, gathered)

    def _row(
        self, record: _Record | _Row, cells: list[str], header: Header, gathered: Gathered
    ) -> None:
        path, line = record.path, record.line
        problems: list[Problem] = []

        def wrong(index: int, what: str, expected: str) -> None:
            down, column = record.place(index, header.delimiter)
            problems.append(Problem(path, line + down, column, what, expected))

        if len(cells) != len(header.names):
            what = f"{len(cells)} cells in this row"
            gathered.wrong([Problem(path, line, 1, what, f"expected {len(header.names)}")])
            return
        own = {n: cells[i].strip() for n, i in header.own.items() if cells[i].strip()}
        for name, allowed in _ALLOWED.items():
            if own.get(name, allowed[0]) not in allowed:
                expected = "expected " + ", ".join(allowed)
                wrong(header.own[name], f"'{own[name]}' is not allowed for '{name}'", expected)
                own[name] = allowed[0]
        units = own.get("units", "ft")
        tables = header.tables(self._tables, units)
        found, numbers = [], []
        for (name, index), table in zip(header.questions, tables, strict=True):
            cell = cells[index]
            if not cell or not (cell := cell.strip()):
                continue
            coded = table[cell]
            if coded is None:
                error = table.error(cell)
                wrong(index, error.what, error.expected)
                continue
            sure = 0
            if name in header.sure:
                said = cells[header.sure[name]].strip()
                if said and said not in SURENESS_IN_FILES:
                    expected = "expected " + ", ".join(SURENESS_IN_FILES)
                    wrong(header.sure[name], f"'{said}' is not a sureness", expected)
                    continue
                sure = DEGREES.index(said) if said else 0
            found.append(no_surer(coded[0], sure))
            if coded[1] is not None:
                numbers.append(coded[1])
        if problems:
            gathered.wrong(problems)
            return
        gathered.cases += 1
        gathered.add(_ref(path, line, own), found, numbers)


def _ref(path: str, line: int, own: dict[str, str]) -> WallRef:
    case = own.get("case") or f"{Path(path).stem}:{line}"
    return WallRef(path, line, case, own.get("wall", "w1"), own.get("name", ""))


def _refs(block: Block, plain: PlainCases) -> Iterator[WallRef]:
    """Where each plain row comes from; :func:`_ref` row by row."""
    path, stem, first = block.path, Path(block.path).stem, block.line
    for place, case, wall, name in zip(plain.places, *map(plain.cells, TOLD), strict=True):
        line = first + place
        yield WallRef(path, line, case or f"{stem}:{line}", wall or "w1", name)


def _ends_with_its_line(line: bytes, delimiter: str) -> bool:
    """Whether no cell of a line goes on in the next."""
    if b'"' not in line:
        return True
    try:
        rows = list(csv.reader([line.decode("latin-1")], delimiter=delimiter, strict=True))
    except csv.Error:
        return False
    return len(rows) == 1


@dataclass(frozen=True, slots=True)
class _Row:
    """One row of a table that is no text."""

    path: str
    line: int

    def place(self, index: int, delimiter: str) -> tuple[int, int]:
        """(lines down, number of the column) of a cell."""
        return 0, index + 1


@dataclass(frozen=True, slots=True)
class _Record:
    """One record: lines ``start`` to ``end`` of a block, the first of them line ``line``."""

    path: str
    line: int
    lines: list[str]
    start: int
    end: int

    @property
    def raw(self) -> str:
        return "".join(self.lines[self.start : self.end])

    def place(self, index: int, delimiter: str) -> tuple[int, int]:
        """(lines down, column) of a cell."""
        return cell_place(self.raw, index, delimiter)

    def broken_text(self) -> Problem | None:
        """The first byte that is no UTF-8, if there is any."""
        raw = self.raw
        where = next((i for i, letter in enumerate(raw) if "\udc80" <= letter <= "\udcff"), None)
        if where is None:
            return None
        line = self.line + raw.count("\n", 0, where)
        column = where - raw.rfind("\n", 0, where)
        return Problem(self.path, line, column, "not UTF-8 text", "save the file as UTF-8")


def _records(lines: list[str], delimiter: str) -> Iterator[tuple[int, int, list[str] | str]]:
    """(first line, line after the last, cells or what is wrong) of each record.

    A record that cannot be read costs its first line only: reading goes on at the next.
    """
    start = 0
    while start < len(lines):
        rows = csv.reader(lines[start:], delimiter=delimiter, strict=True)
        before = 0
        try:
            for cells in rows:
                yield start + before, start + rows.line_num, cells
                before = rows.line_num
            return
        except csv.Error as error:
            yield start + before, start + before + 1, str(error)
            start += before + 1


def template(base: KnowledgeBase) -> str:
    """The header of a CSV file with a column for every question that can be answered."""
    out = io.StringIO()
    asked = [q for q in base.questions.values() if q.entry.kind != "computed"]
    asked.sort(key=lambda q: q.scope != HOUSE)  # the house first, else in order
    csv.writer(out, lineterminator="\n").writerow([*OWN_COLUMNS, *(q.id for q in asked)])
    return out.getvalue()
