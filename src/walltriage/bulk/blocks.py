"""Files of cases cut into blocks of whole records, in constant memory.

A block knows its file and first line, so that whoever reads it, on this machine or
another, can say where a mistake stands.  The same files always give the same blocks, for one
worker alone and for several that share them.
"""

from __future__ import annotations

import io
import os
import zlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import BinaryIO, Literal

from walltriage.bulk import parquet
from walltriage.errors import InputError, Problem
from walltriage.files import opened, reason

BLOCK_BYTES = 16 << 20  # some 4,000 walls of long interviews; with more, columns gain little
LEAST_BYTES = 2 << 20  # of a block near the end of a file that is shared
SHARES = 4  # of what is left of such a file a block takes one
MOST_RECORD_BYTES = 1 << 20  # of one line or one case file; a case of 500 walls takes half
MOST_BLOCKS = 256  # of a task: small case files travel together
Kind = Literal["case", "jsonl", "csv", "parquet", "bad"]
KIND_BY_SUFFIX: dict[str, Kind] = {
    ".yaml": "case", ".yml": "case", ".json": "case", ".jsonl": "jsonl", ".ndjson": "jsonl",
    ".csv": "csv", ".parquet": "parquet",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Block:
    """Whole records of one file.

    ``data`` holds the bytes from line ``line`` on; ``header`` the first line of a CSV
    file, or what it would be for Parquet, whose lines are rows counted from 1, and whose
    rows are in ``rows``; ``problem`` is set, and nothing else, where a part could not be read.
    """

    path: str
    kind: Kind
    line: int = 1
    data: bytes = b""
    header: bytes = b""
    problem: Problem | None = None
    rows: parquet.Rows | None = None

    @property
    def size(self) -> int:
        """Bytes that it takes in memory."""
        return len(self.data) if self.rows is None else self.rows.size

    @property
    def file_bytes(self) -> int:
        """Bytes of the file that it came from."""
        return len(self.data) if self.rows is None else self.rows.file_bytes

    @property
    def check(self) -> int:
        """A checksum, against changes by accident."""
        return zlib.crc32(self.data) if self.rows is None else self.rows.check


Task = tuple[Block, ...]


def tasks(paths: Iterable[Path], shared: bool = False) -> Iterator[Task]:
    """Blocks of all files in order, small ones grouped.

    Where several workers share them, blocks get smaller toward the end of a file, so that none is
    left with a large one while the others wait.
    """
    group: list[Block] = []
    size = 0
    for block in blocks(paths, shared):
        if group and (size + block.size > BLOCK_BYTES or len(group) == MOST_BLOCKS):
            yield tuple(group)
            group, size = [], 0
        group.append(block)
        size += block.size
    if group:
        yield tuple(group)


def blocks(paths: Iterable[Path], shared: bool = False) -> Iterator[Block]:
    """Blocks of every file named, or found in a folder named."""
    for path in paths:
        if path.is_dir():
            found = False
            for file in case_files(path):
                found = True
                yield from _file_blocks(file, shared)
            if not found:
                yield _bad(path, 0, "no case files in this folder", _EXPECTED)
        else:
            yield from _file_blocks(path, shared)


_EXPECTED = "expected " + ", ".join(KIND_BY_SUFFIX)


def case_files(folder: Path) -> Iterator[Path]:
    """Case files in a folder and those below it, in order of name; hidden ones left out."""
    for here, folders, files in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in sorted(files):
            if not name.startswith(".") and Path(name).suffix.lower() in KIND_BY_SUFFIX:
                yield Path(here) / name


def total_bytes(paths: Iterable[Path]) -> int:
    """Size of all files that :func:`blocks` would read."""
    size = 0
    for path in paths:
        for file in case_files(path) if path.is_dir() else (path,):
            try:
                size += file.stat().st_size
            except OSError:
                continue  # told when it is read
    return size


def _bad(path: Path, line: int, what: str, expected: str) -> Block:
    problem = Problem(str(path), line, 1 if line else 0, what, expected)
    return Block(str(path), "bad", line, problem=problem)


def _file_blocks(path: Path, shared: bool) -> Iterator[Block]:
    kind = KIND_BY_SUFFIX.get(path.suffix.lower())
    if kind is None and not path.exists():
        yield _bad(path, 0, "no such file or folder", "expected a folder or a file of cases")
        return
    if kind is None:
        yield _bad(path, 0, "not a file of cases", _EXPECTED)
        return
    try:
        with opened(path) as file:
            if kind == "case":
                data = file.read(MOST_RECORD_BYTES + 1)
                if len(data) > MOST_RECORD_BYTES:
                    yield _bad(path, 0, *_TOO_LONG)
                else:
                    yield Block(str(path), kind, 1, data)
            elif kind == "parquet":
                for row, header, rows in parquet.blocks_of(path, file, shared):
                    yield Block(str(path), kind, row, b"", header, rows=rows)
            else:
                yield from _line_blocks(path, kind, file, shared)
    except InputError as error:
        for problem in error:
            yield Block(str(path), "bad", problem.line, problem=problem)
    except OSError as error:
        yield _bad(path, 0, reason(error, "cannot be read"), "expected a readable file")


_TOO_LONG = (
    f"a record of more than {MOST_RECORD_BYTES:,} bytes", "expected one case of a few kilobytes"
)  # fmt: skip


def _line_blocks(path: Path, kind: Kind, file: BinaryIO, shared: bool) -> Iterator[Block]:
    header, line = b"", 1
    if kind == "csv":
        header, line = file.readline(MOST_RECORD_BYTES), 2
    empty = True
    while (data := _whole_lines(file, kind, _block_bytes(file, shared))) is not None:
        yield Block(str(path), kind, line, data, header)
        line += data.count(b"\n")
        empty = empty and data.isspace()
    yield from _lines_with_care(path, kind, file, header, line, empty)


def _block_bytes(file: BinaryIO, shared: bool) -> int:
    """How many bytes the next block of a file takes."""
    if not shared:
        return BLOCK_BYTES
    left = os.fstat(file.fileno()).st_size - file.tell()
    return min(BLOCK_BYTES, max(LEAST_BYTES, left // SHARES))


def _whole_lines(file: BinaryIO, kind: Kind, size: int) -> bytes | None:
    """Whole lines of about so many bytes, where they are plainly the lines of records.

    None, and nothing read, at the end of the file and where a closer look is needed: at a line
    that is too long, and at cells in quotation marks, which may hold ends of lines.
    """
    before = file.tell()
    file.seek(before + size)
    more = len(file.readline(MOST_RECORD_BYTES))
    file.seek(before)
    data = file.read(size + more)  # at once: joined from two parts all would be copied
    if data and not (kind == "csv" and b'"' in data):
        at = 0
        while len(data) - at >= MOST_RECORD_BYTES:
            at = data.rfind(b"\n", at, at + MOST_RECORD_BYTES) + 1
            if not at:
                break
        else:
            return data
    file.seek(before)
    return None


def _lines_with_care(
    path: Path, kind: Kind, file: BinaryIO, header: bytes, line: int, empty: bool
) -> Iterator[Block]:
    """The blocks of the rest of a file, line by line; ``empty`` if none had anything so far."""
    start, size, inside = line, 0, False
    held: list[bytes] = []
    while True:
        text = file.readline(MOST_RECORD_BYTES)
        if len(text) == MOST_RECORD_BYTES and not text.endswith(b"\n"):
            if held:
                yield Block(str(path), kind, start, b"".join(held), header)
            yield _bad(path, line, *_TOO_LONG)
            while text and not text.endswith(b"\n"):
                text = file.readline(MOST_RECORD_BYTES)
            line += 1
            start, held, size, inside, empty = line, [], 0, False, False
            continue
        if not text:
            break
        empty = empty and text.isspace()
        held.append(text)
        size += len(text)
        line += 1
        if kind == "csv":
            inside ^= text.count(b'"') % 2 == 1
        # never cut inside a quoted cell, unless the quote is plainly never closed
        if size >= BLOCK_BYTES and (not inside or size >= 2 * BLOCK_BYTES):
            yield Block(str(path), kind, start, b"".join(held), header)
            start, held, size, inside = line, [], 0, False
    if held or (start == 2 and header.strip()):  # a header alone still has to be checked
        yield Block(str(path), kind, start, b"".join(held), header)
    if empty:
        yield _bad(path, 1, "no case in this file", "expected one case a line")


def halves(task: Task) -> list[Task]:
    """A task in two parts, between two blocks or two records; nothing for a single record."""
    if len(task) > 1:
        middle = len(task) // 2
        return [task[:middle], task[middle:]]
    block = task[0]
    if block.rows is not None:
        return _half_tables(block, block.rows)
    cuts = [] if block.kind in ("case", "bad") else _cuts(block)
    if not cuts:
        return []
    at, line = cuts[len(cuts) // 2]
    rest = replace(block, line=block.line + line, data=block.data[at:])
    return [(replace(block, data=block.data[:at]),), (rest,)]


def _half_tables(block: Block, rows: parquet.Rows) -> list[Task]:
    parts = rows.halves()
    if parts is None:
        return []
    first, rest = parts
    line = block.line + first.batch.num_rows
    return [(replace(block, rows=first),), (replace(block, line=line, rows=rest),)]


def _cuts(block: Block) -> list[tuple[int, int]]:
    """(byte, lines before it) of each record of a block but the first."""
    found, at, inside = [], 0, False
    for number, text in enumerate(io.BytesIO(block.data)):
        if at and not inside:
            found.append((at, number))
        at += len(text)
        if block.kind == "csv":
            inside ^= text.count(b'"') % 2 == 1
    return found
