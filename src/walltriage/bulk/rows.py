"""Results as rows to write, each with a key that puts the most urgent wall first.

A row travels as one line: twelve digits to sort by, and the cells in some form.  That is what
is sorted, stored between runs, and sent from machine to machine.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Sequence
from typing import Any

import numpy as np

from walltriage.bulk.cells import MOST_REMEMBERED
from walltriage.bulk.forms import FormName, form_of
from walltriage.bulk.gather import WallRef
from walltriage.inference.columns.codes import Bools
from walltriage.inference.columns.evaluator import (
    PATH_STATES,
    VERDICTS,
    BatchResult,
    ColumnEvaluator,
)
from walltriage.inference.finding import LEVELS
from walltriage.knowledge.base import KnowledgeBase

KEY_DIGITS = 12
GRAVEST = ("likely_bearing", "cannot_tell", "likely_non_bearing")
FIXED = (
    "file", "line", "case", "wall", "name", "verdict", "lowest", "highest", "referral",
    "decided_by", "scope", "contradictions", "cautions",
)  # fmt: skip
FIRED_KINDS = (("scope", "scope"), ("contradictions", "contradiction"), ("cautions", "caution"))
DIGITS = 6
Cell = str | int | float | None


def fields(base: KnowledgeBase) -> tuple[str, ...]:
    """Names of the cells of a row: the fixed ones, then the status of each load path."""
    return (*FIXED, *base.paths)


def urgency(result: BatchResult) -> np.ndarray:
    """Sort keys (n,): by referral, then verdict, contradictions, and highest chance."""
    gravity = np.array([GRAVEST.index(verdict) for verdict in VERDICTS])[result.verdict]
    clash = [i for i, kind in enumerate(result.rule_kinds) if kind == "contradiction"]
    level = len(LEVELS) - 1 - result.referral.astype(np.int64)
    settled = ~result.fired[:, clash].any(axis=1)
    chance = np.round((1 - np.clip(result.upper, 0, 1)) * (10**9 - 1)).astype(np.int64)
    key: np.ndarray = ((level * len(GRAVEST) + gravity) * 2 + settled) * 10**9 + chance
    return key


class RowLines:
    """Writes the results of one evaluator as lines of one form."""

    def __init__(self, evaluator: ColumnEvaluator, form: FormName) -> None:
        base = evaluator.base
        written = form_of(form, fields(base))
        self._form, self._before = written, dict(zip(fields(base), written.before, strict=True))
        self._verdicts = self._cells("verdict", VERDICTS)
        self._levels = self._cells("referral", LEVELS)
        self._decided = self._cells("decided_by", (*evaluator.rule_ids, ""))  # -1: by none
        mark = written.text("")  # quotation marks, in forms that have them
        half = mark[: len(mark) // 2]
        self._fired = [
            FiredCells(evaluator, kind, self._before[name] + half, half)
            for name, kind in FIRED_KINDS
        ]
        self._paths = [self._cells(path, PATH_STATES) for path in base.paths]
        self._states = _Once(self._state)

    def __call__(
        self, refs: Sequence[WallRef], result: BatchResult, in_order: bool = False
    ) -> list[str]:
        """One line for each wall; with ``in_order`` every key is the same."""
        keys = np.zeros(len(result), np.int64) if in_order else urgency(result)
        before = self._before
        line, case, name = before["line"], before["case"], before["name"]
        low, high = before["lowest"], before["highest"]
        text, nothing = self._form.text, self._form.text("")
        files = _Once(lambda path: before["file"] + text(path))
        walls = _Once(lambda wall: before["wall"] + text(wall))
        verdict, level, decided = self._verdicts, self._levels, self._decided
        told = (fired.cells(result.fired) for fired in self._fired)
        lowest, highest = (
            np.round(bound, DIGITS).tolist() for bound in (result.lower, result.upper)
        )
        return [
            f"{key:012d}{files[ref.path]}{line}{ref.line}{case}{text(ref.case)}{walls[ref.wall]}"
            f"{name}{text(ref.name) if ref.name else nothing}{verdict[code]}{low}{least!r}"
            f"{high}{most!r}{level[call]}{decided[rule]}{scope}{clash}{cautions}{states}"
            for ref, key, code, least, most, call, rule, scope, clash, cautions, states in zip(
                refs, keys.tolist(), result.verdict.tolist(), lowest, highest,
                result.referral.tolist(), result.decided_by.tolist(), *told,
                self._statuses(result), strict=True,
            )
        ]  # fmt: skip

    def _cells(self, name: str, words: Iterable[str]) -> list[str]:
        return [self._before[name] + self._form.text(word) for word in words]

    def _statuses(self, result: BatchResult) -> list[str]:
        """The status of each path and the end of the row, worked out once for rows alike."""
        if not result.path_status.shape[1]:
            return [self._form.end] * len(result.path_status)
        return list(map(self._states.__getitem__, _alike(result.path_status)))

    def _state(self, key: bytes) -> str:
        words = (path[code] for path, code in zip(self._paths, key, strict=True))
        return "".join(words) + self._form.end


class _Once(dict[Any, str]):
    """What is made of texts or bytes, each once."""

    def __init__(self, made: Callable[[Any], str]) -> None:
        super().__init__()
        self._made = made

    def __missing__(self, key: Any) -> str:
        found = self[key] = self._made(key)
        return found


def _alike(rows: np.ndarray) -> list[bytes]:
    """The bytes of each row (n, k) of single bytes, equal where rows are."""
    whole = np.ascontiguousarray(rows).view(np.dtype((np.void, rows.shape[1])))
    found: list[bytes] = whole[:, 0].tolist()
    return found


BITS = 8  # rules that one byte tells of


class FiredCells:
    """The ids of the rules of one kind that fired, as a cell, written by eight rules at once."""

    def __init__(
        self, evaluator: ColumnEvaluator, kind: str, before: str = "", after: str = ""
    ) -> None:
        """An id needs no care in any form; ``before`` and ``after`` stand around the cell."""
        rules = [(at, rule.id) for at, rule in enumerate(evaluator.stratified) if rule.kind == kind]
        self._before, self._after = before, after
        self._at = [index for index, _ in rules]
        ids = [f"{name};" for _, name in rules]
        self._words = [_Eight(ids[start : start + BITS]) for start in range(0, len(ids), BITS)]
        self._known = _Once(self._cell)

    def cells(self, fired: Bools) -> list[str]:
        """The cell of each wall, from which rules fired (n, rules), worked out once for walls
        alike."""
        if not self._at:
            return [self._before + self._after] * len(fired)
        told = np.packbits(fired[:, self._at], axis=1, bitorder="little")
        if len(self._known) > MOST_REMEMBERED:
            self._known.clear()
        return list(map(self._known.__getitem__, _alike(told)))

    def _cell(self, told: bytes) -> str:
        ids = "".join(words[byte] for words, byte in zip(self._words, told, strict=True))
        return f"{self._before}{ids[:-1]}{self._after}"


class _Eight(dict[int, str]):
    """The ids of up to eight rules that fired, by the byte that tells which."""

    def __init__(self, ids: Sequence[str]) -> None:
        super().__init__()
        self._ids = ids

    def __missing__(self, told: int) -> str:
        found = self[told] = "".join(name for bit, name in enumerate(self._ids) if told >> bit & 1)
        return found


def line(key: int, cells: Sequence[Cell]) -> str:
    """One row as a line of cells."""
    return f"{key:0{KEY_DIGITS}d}{json.dumps(cells, ensure_ascii=True, separators=(',', ':'))}"


def cells_of(text: str) -> list[Cell]:
    """The cells of such a line."""
    found: list[Cell] = json.loads(text[KEY_DIGITS:])
    return found


def sort_key(text: str) -> str:
    """What a line is sorted by."""
    return text[:KEY_DIGITS]
