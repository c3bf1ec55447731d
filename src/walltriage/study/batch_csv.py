"""CSV with one column a question: read into columns, and the template to fill in.

A row is a wall; what was answered for its house stands in every row of the house.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from pathlib import Path

from walltriage.case.model import HOUSE, ROLES, SURENESS
from walltriage.errors import Problem, did_you_mean
from walltriage.knowledge.base import KnowledgeBase
from walltriage.study.batch_blocks import Block
from walltriage.study.batch_cells import RawTables
from walltriage.study.batch_gather import Gathered, WallRef, not_utf8
from walltriage.study.codes import Coder
from walltriage.units import LENGTH_UNITS

MOST_CELL = 131_072  # letters
SURE = ".sure"
OWN_COLUMNS = ("case", "wall", "name", "for", "reach", "units")
_ALLOWED = {"for": ROLES, "reach": ("0", "1", "2", "3", "4"), "units": LENGTH_UNITS}
_SURE = {"": 0} | {word: index for index, word in enumerate(SURENESS)}
_DELIMITERS = (",", ";", "\t")


class _Header:
    """What each column of a file holds; ``problems`` when that is not clear."""

    def __init__(self, base: KnowledgeBase, path: str, raw: bytes) -> None:
        self.problems: list[Problem] = []
        self.own: dict[str, int] = {}
        self.questions: list[tuple[str, int]] = []  # name, place in the row
        self.sure: dict[str, int] = {}
        try:
            text = raw.decode("utf-8-sig")
        except UnicodeDecodeError as error:
            self.problems.append(not_utf8(path, error, 1))
            return
        self.delimiter = max(_DELIMITERS, key=text.count)
        try:
            names = next(csv.reader([text], delimiter=self.delimiter, strict=True), [])
        except csv.Error as error:
            self.problems.append(Problem(path, 1, 1, f"not readable as CSV: {error}"))
            return
        self.names = [name.strip() for name in names]
        for index, name in enumerate(self.names):
            wrong = self._column(base, name, index)
            if wrong:
                column = cell_place(text, index, self.delimiter)[1]
                self.problems.append(Problem(path, 1, column, *wrong))
        if not self.questions and not self.problems:
            self.problems.append(
                Problem(path, 1, 1, "no question has a column here", "see 'batch --template'")
            )

    def _column(self, base: KnowledgeBase, name: str, index: int) -> tuple[str, str] | None:
        """Note what a column holds; (what, expected) if it is not clear."""
        plain = name.removesuffix(SURE)
        if name in self.names[:index]:
            return f"column '{name}' stands twice", "keep one"
        if name in OWN_COLUMNS:
            self.own[name] = index
        elif plain not in base.questions:
            known = [*OWN_COLUMNS, *base.questions, *(q + SURE for q in base.questions)]
            return f"unknown column '{name}'{did_you_mean(name, known)}", "see 'batch --template'"
        elif base.questions[plain].entry.kind == "computed":
            return f"'{plain}' is worked out, not answered", "leave the column out"
        elif name.endswith(SURE):
            self.sure[plain] = index
        else:
            self.questions.append((name, index))
        return None


class CsvReader:
    """Reads blocks of CSV files for one knowledge base."""

    def __init__(self, coder: Coder, tables: RawTables) -> None:
        self._coder, self._tables = coder, tables
        self._headers: dict[tuple[str, bytes], _Header] = {}

    def read(self, block: Block, gathered: Gathered) -> None:
        """Gather the walls of a block; a file with a bad header is told once and left out."""
        key = block.path, block.header
        if key not in self._headers:
            self._headers = {key: _Header(self._coder.base, block.path, block.header)}
        header = self._headers[key]
        if header.problems:
            if block.line == 2:
                gathered.wrong(header.problems)
            return
        try:
            text = block.data.decode("utf-8")
        except UnicodeDecodeError:
            text = block.data.decode("utf-8", "surrogateescape")
        for line, raw, cells in _records(text, block.line, header.delimiter):
            if isinstance(cells, str):
                gathered.wrong([Problem(block.path, line, 1, f"not readable as CSV: {cells}")])
            elif any(cells):
                self._row(block.path, line, raw, cells, header, gathered)

    def _row(
        self, path: str, line: int, raw: str, cells: list[str], header: _Header, gathered: Gathered
    ) -> None:
        problems: list[Problem] = []

        def wrong(index: int, what: str, expected: str) -> None:
            down, column = cell_place(raw, index, header.delimiter)
            problems.append(Problem(path, line + down, column, what, expected))

        if not raw.isascii() and any("\udc80" <= letter <= "\udcff" for letter in raw):
            where = next(i for i, letter in enumerate(raw) if "\udc80" <= letter <= "\udcff")
            place = line + raw.count("\n", 0, where), where - raw.rfind("\n", 0, where)
            gathered.wrong([Problem(path, *place, "not UTF-8 text", "save the file as UTF-8")])
            return
        if len(cells) != len(header.names):
            what = f"{len(cells)} cells in this row"
            gathered.wrong([Problem(path, line, 1, what, f"expected {len(header.names)}")])
            return
        cells = [cell.strip() for cell in cells]
        own = {name: cells[index] for name, index in header.own.items() if cells[index]}
        for name, allowed in _ALLOWED.items():
            if own.get(name, allowed[0]) not in allowed:
                expected = "expected " + ", ".join(allowed)
                wrong(header.own[name], f"'{own[name]}' is not allowed for '{name}'", expected)
                own[name] = allowed[0]
        units = own.get("units", "ft")
        found = []
        for name, index in header.questions:
            cell = cells[index]
            if not cell:
                continue
            table = self._tables.table(name, units)
            coded = table[cell]
            if coded is None:
                error = table.error(cell)
                wrong(index, error.what, error.expected)
                continue
            sure = 0
            if name in header.sure:
                said = cells[header.sure[name]]
                sure = _SURE.get(said, -1)
                if sure < 0:
                    expected = "expected " + ", ".join(SURENESS)
                    wrong(header.sure[name], f"'{said}' is not a sureness", expected)
                    continue
            found.append((self._coder.column[name], coded[0], sure, coded[1]))
        if problems:
            gathered.wrong(problems)
            return
        gathered.cases += 1
        case = own.get("case") or f"{Path(path).stem}:{line}"
        wall = WallRef(path, line, case, own.get("wall", "w1"), own.get("name", ""))
        gathered.refs.append(wall)
        for answer in found:
            gathered.put(*answer)


def _records(text: str, first: int, delimiter: str) -> Iterator[tuple[int, str, list[str] | str]]:
    """(line, raw text, cells, or what is wrong) of each record.

    A record that cannot be read costs its first line only: reading goes on at the next.
    """
    lines = io.StringIO(text, newline="\n").readlines()
    start = 0
    while start < len(lines):
        rows = csv.reader(lines[start:], delimiter=delimiter, strict=True)
        before = 0
        try:
            for cells in rows:
                raw = "".join(lines[start + before : start + rows.line_num])
                yield first + start + before, raw, cells
                before = rows.line_num
            return
        except csv.Error as error:
            yield first + start + before, lines[start + before], str(error)
            start += before + 1


def cell_place(raw: str, index: int, delimiter: str) -> tuple[int, int]:
    """(lines down, column from 1) at which the cell with this index starts in a raw record."""
    if index == 0:
        return 0, 1
    seen, quoted, down, column = 0, False, 0, 0
    for letter in raw:
        column += 1
        if letter == '"':
            quoted = not quoted
        elif letter == "\n":
            down, column = down + 1, 0
        elif letter == delimiter and not quoted:
            seen += 1
            if seen == index:
                break
    return down, column + 1


def template(base: KnowledgeBase) -> str:
    """The header of a CSV file with a column for every question that can be answered."""
    out = io.StringIO()
    asked = [q for q in base.questions.values() if q.entry.kind != "computed"]
    asked.sort(key=lambda q: q.scope != HOUSE)  # the house first, else in order
    csv.writer(out, lineterminator="\n").writerow([*OWN_COLUMNS, *(q.id for q in asked)])
    return out.getvalue()
