"""Parquet files of cases: the columns of a CSV file, cells of words or numbers.

Rows travel as an Arrow stream, so that whoever reads them needs no file, and only where they do
travel.  A place is the number of the row, from 1, and of the column.
"""

from __future__ import annotations

import csv
import io
import zlib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, BinaryIO

from walltriage.bulk import quick_table
from walltriage.errors import InputError, Problem

ROWS = 30_000  # of a block: two full chunks of the evaluator, each of which has a start to pay
LEAST_ROWS, SHARES = 2_500, 16  # of a block of a file that several workers share
_NEEDED = ("Parquet needs pyarrow", "pip install 'walltriage[bulk]'")
_READABLE = "expected a Parquet file with the columns of 'batch --template'"


@dataclass(frozen=True, slots=True)
class Rows:
    """Some rows of a file, an Arrow batch.

    ``file_bytes`` is their share of the file, and ``check`` a checksum of all of it.
    """

    batch: Any
    file_bytes: int
    check: int

    @property
    def size(self) -> int:
        """Bytes that they take in memory."""
        size: int = self.batch.nbytes
        return size

    def __reduce__(self) -> tuple[Any, ...]:
        return _from_stream, (_stream(self.batch), self.file_bytes, self.check)

    def halves(self) -> tuple[Rows, Rows] | None:
        """The first half of the rows and the rest; None of a single one."""
        middle = self.batch.num_rows // 2
        if not middle:
            return None
        first = replace(self, batch=self.batch.slice(0, middle), file_bytes=self.file_bytes // 2)
        left = self.file_bytes - first.file_bytes
        return first, replace(self, batch=self.batch.slice(middle), file_bytes=left)

    def cells(self, row: int) -> list[str]:
        """The cells of a row as they would stand in a CSV file."""
        found = (column[row].as_py() for column in self.batch.columns)
        return ["" if cell is None else str(cell) for cell in found]


def blocks_of(
    path: Path, file: BinaryIO, shared: bool = False
) -> Iterator[tuple[int, bytes, Rows]]:
    """(row of the first, header as CSV has it, the rows) of each block.

    Raises :class:`InputError` for a file that cannot be read, or without pyarrow.
    """
    if not quick_table.there:
        raise InputError(Problem(str(path), 0, 0, *_NEEDED))
    import pyarrow as pa
    from pyarrow import parquet

    row = 1
    try:
        check, size = _checksum(file)
        names = parquet.read_schema(file).names
        whole = parquet.ParquetFile(file, read_dictionary=names, pre_buffer=False)  # each word once
        head, of = header(names), whole.metadata.num_rows
        if not of:
            nothing = pa.RecordBatch.from_pylist([], whole.schema_arrow)
            yield row, head, Rows(nothing, size, check)
        rows = min(ROWS, max(LEAST_ROWS, of // SHARES)) if shared else ROWS
        for batch in whole.iter_batches(rows, use_threads=False):
            _validate(batch)
            yield row, head, Rows(batch, size * len(batch) // of, check)
            row += len(batch)
    except (pa.ArrowException, OSError, UnicodeError) as error:
        what = f"not readable as Parquet: {str(error).splitlines()[0][:200]}"
        raise InputError(Problem(str(path), row, 1, what, _READABLE)) from None


def _checksum(file: BinaryIO) -> tuple[int, int]:
    """The CRC of a file and its bytes; it is left at its beginning."""
    check = size = 0
    while data := file.read(1 << 20):
        check, size = zlib.crc32(data, check), size + len(data)
    file.seek(0)
    return check, size


def _validate(batch: Any) -> None:
    """Arrow's error for what a damaged file may give: cells that can be read and point nowhere."""
    for column in batch.columns:
        if not quick_table.points_into_words(column):
            column.validate(full=True)


def header(names: list[str]) -> bytes:
    """The names of columns as the first line of a CSV file."""
    out = io.StringIO()
    csv.writer(out, lineterminator="").writerow(names)
    return out.getvalue().encode("utf-8", "surrogateescape")


def _stream(batch: Any) -> bytes:
    import pyarrow as pa

    sink = pa.BufferOutputStream()
    with pa.ipc.new_stream(sink, batch.schema) as writer:
        writer.write_batch(batch)
    data: bytes = sink.getvalue().to_pybytes()
    return data


def _from_stream(data: bytes, file_bytes: int, check: int) -> Rows:
    import pyarrow as pa

    return Rows(pa.ipc.open_stream(data).read_next_batch(), file_bytes, check)
