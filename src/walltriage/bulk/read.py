"""Blocks of case files, JSON Lines and CSV into columns, every mistake with its place.

A line that is plainly in order goes straight to codes.  Anything else takes the same way
as a single case file, which either reads it after all or tells what is wrong and where.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

import numpy as np

from walltriage.bulk.blocks import Block
from walltriage.bulk.case_form import WALL_ID
from walltriage.bulk.cells import MOST_REMEMBERED, RawAnswers, RawTables, no_surer
from walltriage.bulk.csv import CsvReader
from walltriage.bulk.gather import NO_WALL, Gathered, MeasuredNumbers, WallRef, not_utf8
from walltriage.bulk.quick_json import SURE, QuickJson
from walltriage.bulk.quick_lines import QuickLines
from walltriage.case.model import CASE_SCHEMA, HOUSE, ROLES, Case
from walltriage.case.read import case_from
from walltriage.errors import InputError, Problem
from walltriage.inference.columns.codes import Batch
from walltriage.inference.columns.computed import fill_computed
from walltriage.inference.columns.evaluator import ColumnEvaluator
from walltriage.units import LENGTH_UNITS
from walltriage.yamltree import MOST_DIGITS, Tree, parse

_CASE_KEYS = frozenset(
    ("schema", "name", "story", "for", "reach", "units", "house", "walls", "asked", "outcome")
)
_WALL_KEYS = frozenset(("id", "name", "answers"))
_ANSWER_KEYS = frozenset(("value", "sure", "by", "seen_on", "note"))
_PLAIN = frozenset((str, int, float))

_Packed = tuple[list[int], list[tuple[int, float]]]  # as `Gathered.add` takes them


class BlockReader:
    """Reads blocks for one knowledge base."""

    def __init__(self, evaluator: ColumnEvaluator) -> None:
        self.evaluator, self.base = evaluator, evaluator.base
        self.tables = RawTables(evaluator.coder)
        self._csv = CsvReader(evaluator.coder, self.tables)
        self._quick_json = QuickJson(self.tables)
        self._quick_lines = QuickLines(self.tables, len(evaluator.coder.questions))

    def read(self, blocks: Iterable[Block]) -> tuple[Batch, Gathered]:
        """The answers that count for all walls of some blocks, a row for each.

        Bad cases are left out and told in the second part.
        """
        if len(self.tables.measured) > MOST_REMEMBERED:
            self._quick_json.forget()
            self._quick_lines.forget()
            self.tables.measured = MeasuredNumbers()
        gathered = Gathered(measured=self.tables.measured)
        for block in blocks:
            if block.problem is not None:
                gathered.wrong([block.problem])
            elif block.kind == "case":
                self._case_file(block, gathered)
            elif block.kind == "jsonl":
                self._json_lines(block, gathered)
            else:
                self._csv.read(block, gathered)
        batch = gathered.batch(self.evaluator.coder)
        self._whole_cases(batch, gathered)
        fill_computed(self.evaluator.coder, batch)
        return batch, gathered

    def _whole_cases(self, batch: Batch, gathered: Gathered) -> None:
        """Put in the answers of the cases that were not packed, those of their plans included."""
        rows = [first + i for first, case in gathered.whole for i in range(len(case.walls))]
        answers = self.evaluator.answers(case for _, case in gathered.whole)
        for row, given in zip(rows, answers, strict=True):
            for name, answer in given.items():
                self.evaluator.coder.put(batch, row, name, answer)

    def _case_file(self, block: Block, gathered: Gathered) -> None:
        try:
            text = block.data.decode("utf-8-sig")
        except UnicodeDecodeError as error:
            gathered.wrong([not_utf8(block.path, error)])
            return
        name = Path(block.path).stem
        self._whole(
            lambda: case_from(parse(text, block.path), self.base.questions, name),
            block.path, 1, gathered,
        )  # fmt: skip

    def _whole(
        self, read: Callable[[], Case], path: str, line: int, gathered: Gathered, shift: int = 0
    ) -> None:
        """Read a case the careful way, and keep its walls or its problems."""
        try:
            case = read()
        except InputError as error:
            gathered.wrong(
                Problem(p.path, p.line + shift, p.column, p.what, p.expected) for p in error
            )
            return
        if not case.walls:
            gathered.wrong([Problem(path, line, 1, *NO_WALL)])
            return
        gathered.add_case(path, line, case)

    def _json_lines(self, block: Block, gathered: Gathered) -> None:
        path, stem, lines = block.path, Path(block.path).stem, _lines(block.data)
        cases, answers = self._quick_lines.read(lines)
        rows = [-1] * answers.of
        waiting: list[WallRef] = []  # walls that follow those gathered
        for line, (there, (case, first)) in enumerate(zip(lines, cases, strict=True), block.line):
            if case is not None:
                name = case.name or f"{stem}:{line}"
                gathered.cases += 1
                for number, wall in enumerate(case.walls, first):
                    rows[number] = len(gathered.refs) + len(waiting)
                    waiting.append(WallRef(path, line, name, wall.id, wall.name or ""))
            elif (raw := bytes(there)) and not raw.isspace():
                gathered.add_rows(waiting)
                waiting = []
                default = f"{stem}:{line}"
                if not self._quick_json.read(raw, path, line, default, gathered):
                    self._json_line(path, line, default, raw, gathered)
        gathered.add_rows(waiting)
        laid, packed = np.array(rows, np.int64)[answers.walls], answers.packed
        if -1 in rows:
            laid, packed = laid[laid >= 0], packed[laid >= 0]
        gathered.laid.append((laid, packed))

    def _json_line(
        self, path: str, line: int, default: str, raw: bytes, gathered: Gathered
    ) -> None:
        try:
            text = raw.decode("utf-8-sig" if line == 1 else "utf-8")
            data = _DECODER.decode(text)
        except UnicodeDecodeError as error:
            gathered.wrong([not_utf8(path, error, line)])
        except json.JSONDecodeError as error:
            what = f"not readable as JSON: {error.msg[:1].lower()}{error.msg[1:]}"
            gathered.wrong([Problem(path, line, error.pos + 1, what, "expected one whole case")])
        except ValueError as error:
            gathered.wrong([Problem(path, line, 1, f"not readable as JSON: {error}")])
        except RecursionError:
            gathered.wrong([Problem(path, line, 1, "nested too deeply to be read")])
        else:
            half = _half_letter(text)
            if half is not None:
                what, expected = "half of a surrogate pair", "expected both halves"
                gathered.wrong([Problem(path, line, half + 1, what, expected)])
            elif not self._quick(data, path, line, default, gathered):
                self._whole(
                    lambda: case_from(_placed(path, text, data), self.base.questions, default),
                    path, line, gathered, line - 1,
                )  # fmt: skip

    def _quick(self, data: Any, path: str, line: int, default: str, gathered: Gathered) -> bool:
        """Read a case that is plainly in order; False, and nothing kept, for any other."""
        if not (isinstance(data, dict) and data.get("schema") == CASE_SCHEMA):
            return False
        house, walls, units = data.get("house", {}), data.get("walls"), data.get("units", "ft")
        name = data.get("name") or default
        if (
            data.keys() - _CASE_KEYS
            or data.get("for", "buyer") not in ROLES
            or type(data.get("reach", 4)) is not int
            or not 0 <= data.get("reach", 4) <= 4
            or units not in LENGTH_UNITS
            or "asked" in data
            or not (isinstance(name, str) and isinstance(data.get("story", ""), str))
            or not (isinstance(house, dict) and isinstance(walls, list) and walls)
        ):
            return False
        of_house = self._quick_answers(house, self.tables.tables(HOUSE, units))
        if of_house is None:
            return False
        own_tables, seen = self.tables.tables("wall", units), set()
        kept: list[tuple[WallRef, _Packed]] = []
        for wall in walls:
            if not (isinstance(wall, dict) and not wall.keys() - _WALL_KEYS):
                return False
            wall_id, title, own = wall.get("id"), wall.get("name", ""), wall.get("answers", {})
            if (
                not (isinstance(wall_id, str) and WALL_ID.fullmatch(wall_id))
                or wall_id in seen
                or wall_id == HOUSE
                or not (isinstance(title, str) and isinstance(own, dict))
            ):
                return False
            seen.add(wall_id)
            found = self._quick_answers(own, own_tables)
            if found is None:
                return False
            kept.append((WallRef(path, line, name, wall_id, title), found))
        gathered.cases += 1
        for ref, (answers, numbers) in kept:
            gathered.add(ref, of_house[0] + answers, of_house[1] + numbers)
        return True

    def _quick_answers(self, raw: dict[str, Any], tables: dict[str, RawAnswers]) -> _Packed | None:
        """Packed answers, and measured numbers; None if any answer needs a closer look."""
        found: list[int] = []
        numbers: list[tuple[int, float]] = []
        for name, value in raw.items():
            table, sure = tables.get(name), 0
            if type(value) is dict:
                said, value, well_formed = _parts(value)
                sure = SURE.get(said, -1) if well_formed else -1
            # a bool is equal to a number, but is none
            if table is None or sure < 0 or type(value) not in _PLAIN:
                return None
            coded = table[value]
            if coded is None:
                return None
            found.append(no_surer(coded[0], sure))
            if coded[1] is not None:
                numbers.append(coded[1])
        return found, numbers


def _lines(data: bytes) -> list[memoryview]:
    """The lines of a block where they stand, without their ends."""
    whole, found, start = memoryview(data), [], 0
    while (end := data.find(b"\n", start)) >= 0:
        found.append(whole[start:end])
        start = end + 1
    return [*found, whole[start:]]


def _parts(answer: dict[str, Any]) -> tuple[str, Any, bool]:
    """Sureness and value of an answer with more to it, and whether it is in order."""
    said = answer.get("sure", "certain")
    if type(said) is not str:
        return "", None, False
    if len(answer) != 2 or "sure" not in answer:
        more = [answer.get(key, "") for key in ("by", "seen_on", "note")]
        if not answer.keys() <= _ANSWER_KEYS or not all(type(text) is str for text in more):
            return "", None, False
    return said, answer.get("value"), True


def _no_doubles(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        names = [name for name, _ in pairs]
        double = next(name for name in names if names.count(name) > 1)
        raise ValueError(f"duplicate key '{double}'")
    return found


def _no_constant(word: str) -> None:
    raise ValueError(f"{word} is not a number")


def _whole_number(digits: str) -> int:
    if len(digits) > MOST_DIGITS:
        raise ValueError(f"a number of {len(digits):,} digits")
    return int(digits)


_DECODER = json.JSONDecoder(
    object_pairs_hook=_no_doubles, parse_constant=_no_constant, parse_int=_whole_number
)
_ESCAPES = re.compile(
    r"\\\\|\\ud[89ab][0-9a-f]{2}\\ud[c-f][0-9a-f]{2}|(\\ud[89a-f][0-9a-f]{2})", re.IGNORECASE
)


def _half_letter(text: str) -> int | None:
    """Where half of a surrogate pair stands without the other, which no text can hold."""
    if "\\u" not in text:
        return None
    return next((m.start() for m in _ESCAPES.finditer(text) if m[1]), None)


def _placed(path: str, text: str, data: Any) -> Tree:
    """JSON data with the place of each part, where YAML can find it."""
    try:
        return Tree(path, data, parse(text, path).places)
    except InputError:
        return Tree(path, data, {})
