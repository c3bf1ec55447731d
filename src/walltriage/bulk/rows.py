"""Results as rows to write, each with a key that puts the most urgent wall first.

A row travels as one line: twelve digits to sort by, and the cells as JSON.  That is what
is sorted, stored between runs, and sent from machine to machine.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from itertools import pairwise
from json.encoder import encode_basestring_ascii as quoted

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
    bounds = zip(
        np.round(result.lower, DIGITS).tolist(),
        np.round(result.upper, DIGITS).tolist(),
        strict=True,
    )
    text = _Written()
    verdicts, levels, rules = text.all(VERDICTS), text.all(LEVELS), text.all(result.rule_ids)
    decided_by = [rules[index] if index >= 0 else text[""] for index in result.decided_by.tolist()]
    told = [_told(result, kind) for kind in ("scope", "contradiction", "caution")]
    return [
        f"{str(key).zfill(KEY_DIGITS)}[{text[ref.path]},{ref.line},{quoted(ref.case)},{text[ref.wall]},"
        f"{quoted(ref.name)},{verdicts[verdict]},{low!r},{high!r},{levels[level]},{decided},"
        f"{scope},{clash},{cautions}{status}]"
        for ref, key, verdict, (low, high), level, decided, status, scope, clash, cautions in zip(
            refs, keys.tolist(), result.verdict.tolist(), bounds, result.referral.tolist(),
            decided_by, _statuses(result), *told, strict=True,
        )
    ]  # fmt: skip


class _Written(dict[str, str]):
    """Texts as JSON has them, each written once."""

    def __missing__(self, text: str) -> str:
        written = self[text] = quoted(text)
        return written

    def all(self, texts: Sequence[str]) -> list[str]:
        """Several texts."""
        return [self[text] for text in texts]


def _statuses(result: BatchResult) -> list[str]:
    """The status of each path, as cells that follow others."""
    words = [f",{quoted(word)}" for word in PATH_STATES]
    return _alike(result.path_status, lambda codes: "".join([words[code] for code in codes]))


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


def _told(result: BatchResult, kind: str) -> list[str]:
    """For each row, the ids of the rules of one kind that fired, as a cell."""
    which = [index for index, name in enumerate(result.rule_kinds) if name == kind]
    ids = [quoted(result.rule_ids[index])[1:-1] for index in which]
    rows, fired = np.nonzero(result.fired[:, which])
    words = [ids[index] for index in fired.tolist()]
    ends = np.cumsum(np.bincount(rows, minlength=len(result))).tolist()
    return [f'"{";".join(words[start:end])}"' for start, end in pairwise([0, *ends])]


def _alike(rows: np.ndarray, words: Callable[[list[int]], str]) -> list[str]:
    """Words for each row, worked out once for rows that are alike."""
    if not rows.shape[1]:
        return [words([])] * len(rows)
    whole = np.ascontiguousarray(rows)
    keys = whole.view(np.dtype((np.void, whole.itemsize * whole.shape[1])))[:, 0].tolist()
    known: dict[bytes, str] = {}
    for index, key in enumerate(keys):
        if key not in known:
            known[key] = words(whole[index].tolist())
    return list(map(known.__getitem__, keys))
