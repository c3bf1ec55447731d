"""What each column of a table of walls holds, told by the names in its first line."""

from __future__ import annotations

import csv

from walltriage.bulk.cells import RawAnswers, RawTables
from walltriage.bulk.gather import not_utf8
from walltriage.case.model import HOUSE
from walltriage.errors import Problem, did_you_mean
from walltriage.knowledge.base import KnowledgeBase

MOST_TOLD = 20  # unclear columns of one file
SURE = ".sure"
OWN_COLUMNS = ("case", "wall", "name", "for", "reach", "units")
_DELIMITERS = (",", ";", "\t")


class Header:
    """What each column of a file holds; ``problems`` when that is not clear."""

    def __init__(self, base: KnowledgeBase, path: str, raw: bytes) -> None:
        self.problems: list[Problem] = []
        self.own: dict[str, int] = {}
        self.questions: list[tuple[str, int]] = []  # name, place in the row
        self.sure: dict[str, int] = {}
        self._tables: dict[str, list[RawAnswers]] = {}
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
                full = len(self.problems) == MOST_TOLD
                told = ("more columns are unclear", "see 'batch --template'") if full else wrong
                column = cell_place(text, index, self.delimiter)[1]
                self.problems.append(Problem(path, 1, column, *told))
                if full:
                    break
        if not self.questions and not self.problems:
            self.problems.append(
                Problem(path, 1, 1, "no question has a column here", "see 'batch --template'")
            )

    def tables(self, tables: RawTables, units: str) -> list[RawAnswers]:
        """The raw answers of each question column, bare lengths in ``units``."""
        found = self._tables.get(units)
        if found is None:
            every = tables.tables(HOUSE, units) | tables.tables("wall", units)
            found = self._tables[units] = [every[name] for name, _ in self.questions]
        return found

    def _column(self, base: KnowledgeBase, name: str, index: int) -> tuple[str, str] | None:
        """Note what a column holds; (what, expected) if it is not clear."""
        plain = name.removesuffix(SURE)
        if name in self.names[:index]:
            return f"duplicate column '{name}'", "keep one"
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
