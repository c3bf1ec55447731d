"""Results as rows to write, each with a key that puts the most urgent wall first.

A row travels as one line: twelve digits to sort by, and the cells as JSON.  That is what
is sorted, stored between runs, and sent from machine to machine.
"""

from __future__ import annotations

import json
from collections.abc import Sequence

import numpy as np

from walltriage.bulk.gather import WallRef
from walltriage.inference.columns.evaluator import PATH_STATES, VERDICTS, BatchResult
from walltriage.inference.finding import LEVELS
from walltriage.knowledge.base import KnowledgeBase

KEY_DIGITS = 12
GRAVEST = ("likely_bearing", "cannot_tell", "likely_non_bearing")
FIXED = (
    "file", "line", "case", "wall", "name", "verdict", "lowest", "highest", "referral",
    "decided_by", "scope", "contradictions", "cautions",
)  # fmt: skip
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


def lines(refs: Sequence[WallRef], result: BatchResult, in_order: bool = False) -> list[str]:
    """One line for each wall; with ``in_order`` every key is the same."""
    keys = np.zeros(len(result), np.int64) if in_order else urgency(result)
    scope, clash, cautions = (_told(result, kind) for kind in ("scope", "contradiction", "caution"))
    bounds = zip(
        np.round(result.lower, DIGITS).tolist(),
        np.round(result.upper, DIGITS).tolist(),
        strict=True,
    )
    found = []
    for row, (ref, key, verdict, (low, high), level, decided, status) in enumerate(
        zip(
            refs, keys.tolist(), result.verdict.tolist(), bounds, result.referral.tolist(),
            result.decided_by.tolist(), result.path_status.tolist(), strict=True,
        )
    ):  # fmt: skip
        cells: list[Cell] = [
            ref.path, ref.line, ref.case, ref.wall, ref.name, VERDICTS[verdict], low, high,
            LEVELS[level], result.rule_ids[decided] if decided >= 0 else "",
            scope.get(row, ""), clash.get(row, ""), cautions.get(row, ""),
            *(PATH_STATES[code] for code in status),
        ]  # fmt: skip
        found.append(line(key, cells))
    return found


def line(key: int, cells: Sequence[Cell]) -> str:
    """One row as a line."""
    return f"{key:0{KEY_DIGITS}d}{json.dumps(cells, ensure_ascii=True, separators=(',', ':'))}"


def cells_of(text: str) -> list[Cell]:
    """The cells of a line."""
    found: list[Cell] = json.loads(text[KEY_DIGITS:])
    return found


def sort_key(text: str) -> str:
    """What a line is sorted by."""
    return text[:KEY_DIGITS]


def _told(result: BatchResult, kind: str) -> dict[int, str]:
    """By row, the ids of the rules of one kind that fired, where any did."""
    found: dict[int, str] = {}
    for index, name in enumerate(result.rule_kinds):
        if name == kind:
            rule = result.rule_ids[index]
            for row in np.flatnonzero(result.fired[:, index]).tolist():
                found[row] = f"{found[row]};{rule}" if row in found else rule
    return found
