"""Letters that JSON writes as two escapes, which YAML reads as one longer escape."""

from __future__ import annotations

import re
from collections.abc import Hashable
from typing import TypeVar

Key = TypeVar("Key", bound=Hashable)
_PAIR = re.compile(
    r"\\\\|\\u(d[89ab][0-9a-f]{2})\\u(d[c-f][0-9a-f]{2})", re.IGNORECASE
)  # an escaped backslash is passed over
_PAIR_SHORTER = len(r"\ud83d\ude00") - len(r"\U0001f600")


def join_pairs(text: str) -> tuple[str, list[tuple[int, int]]]:
    """JSON with each pair of surrogate escapes as one that YAML knows, and where each ended.

    What is no JSON stays as it is: in YAML such an escape is a mistake, or plain text.
    """
    if "\\u" not in text or not text.lstrip().startswith(("{", "[")):
        return text, []
    ends: list[tuple[int, int]] = []
    line, start, seen = 1, 0, 0

    def one(found: re.Match[str]) -> str:
        nonlocal line, start, seen
        if found[1] is None:
            return found[0]
        high, low = int(found[1], 16), int(found[2], 16)
        breaks = text.count("\n", seen, found.end())
        if breaks:
            line, start = line + breaks, text.rfind("\n", seen, found.end()) + 1
        seen = found.end()
        ends.append((line, seen - start + 1))
        return f"\\U{0x10000 + ((high - 0xD800) << 10) + low - 0xDC00:08x}"

    return _PAIR.sub(one, text), ends


def moved_back(
    places: dict[Key, tuple[int, int]], ends: list[tuple[int, int]]
) -> dict[Key, tuple[int, int]]:
    """Places in the text as it was before pairs were joined."""
    by_line: dict[int, list[int]] = {}
    for line, column in ends:
        by_line.setdefault(line, []).append(column)

    def back(line: int, column: int) -> tuple[int, int]:
        for end in by_line.get(line, ()):
            if column + _PAIR_SHORTER >= end:
                column += _PAIR_SHORTER
        return line, column

    return {where: back(*place) for where, place in places.items()}
