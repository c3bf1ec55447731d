"""How rows lie on disk: lines in sorted files, merged at the end."""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Iterator, Sequence
from itertools import islice
from pathlib import Path
from typing import Any, BinaryIO, Protocol

from walltriage.bulk.forms import FormName
from walltriage.bulk.rows import sort_key

TOGETHER = 1000  # lines written at once


class Runs(Protocol):
    """Rows of some kind, which come and go in parts."""

    def count(self, parts: Sequence[Any]) -> int:
        """How many rows the parts have."""

    def ordered(self, parts: Sequence[Any]) -> Iterable[Any]:
        """The rows of all parts by their keys; equal keys in the order they came in."""

    def write(self, parts: Iterable[Any], file: BinaryIO) -> None:
        """Put rows that are in order into a file."""

    def merged(self, paths: Sequence[Path]) -> Iterator[Any]:
        """The rows of such files in order; equal keys in the order of the files."""

    def first(self, parts: Iterable[Any], rows: int | None) -> Iterator[Any]:
        """So many rows at most."""


class LineRuns:
    """Rows that are lines of text, each a part of its own."""

    def count(self, parts: Sequence[str]) -> int:
        """As :class:`Runs` says; so it is below."""
        return len(parts)

    def ordered(self, parts: Sequence[str]) -> list[str]:
        return sorted(parts, key=sort_key)

    def write(self, parts: Iterable[str], file: BinaryIO) -> None:
        remaining = iter(parts)
        while some := list(islice(remaining, TOGETHER)):
            file.write(("\n".join(some) + "\n").encode())

    def merged(self, paths: Sequence[Path]) -> Iterator[str]:
        yield from heapq.merge(*map(_lines, paths), key=sort_key)

    def first(self, parts: Iterable[str], rows: int | None) -> Iterator[str]:
        return islice(parts, rows)


def _lines(path: Path) -> Iterator[str]:
    with path.open(encoding="utf-8", newline="\n") as file:
        for line in file:
            yield line[:-1]


def runs_of(form: FormName) -> Runs:
    """How rows of a form lie on disk."""
    if form == "tables":
        from walltriage.bulk.table_runs import TableRuns

        return TableRuns()
    return LineRuns()
