"""Parquet files of cases: the columns of a CSV file, cells of words or numbers.

A block travels as an Arrow stream, so that whoever reads it needs no file.  A place is the
number of the row, from 1, and of the column.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from pathlib import Path
from typing import Any, BinaryIO

from walltriage.bulk import quick_table
from walltriage.errors import InputError, Problem

ROWS = 20_000  # of a block; with more, columns gain nothing
LEAST_ROWS, SHARES = 2_500, 16  # of a block of a file that several workers share
_NEEDED = ("Parquet needs pyarrow", "pip install 'walltriage[bulk]'")
_READABLE = "expected a Parquet file with the columns of 'batch --template'"


def streams(path: Path, file: BinaryIO, shared: bool = False) -> Iterator[tuple[int, bytes, bytes]]:
    """(row of the first, header as CSV has it, rows as an Arrow stream) of each block.

    Raises :class:`InputError` for a file that cannot be read, or without pyarrow.
    """
    if not quick_table.there:
        raise InputError(Problem(str(path), 0, 0, *_NEEDED))
    import pyarrow as pa
    from pyarrow import parquet

    row = 1
    try:
        names = parquet.read_schema(file).names
        whole = parquet.ParquetFile(file, read_dictionary=names, pre_buffer=False)  # each word once
        head = header(names)
        if not whole.metadata.num_rows:
            yield row, head, stream(whole.schema_arrow.empty_table())
        rows = min(ROWS, max(LEAST_ROWS, whole.metadata.num_rows // SHARES)) if shared else ROWS
        for batch in whole.iter_batches(rows, use_threads=False):
            _validate(batch)
            yield row, head, stream(pa.Table.from_batches([batch]))
            row += len(batch)
    except (pa.ArrowException, OSError, UnicodeError) as error:
        what = f"not readable as Parquet: {str(error).splitlines()[0][:200]}"
        raise InputError(Problem(str(path), row, 1, what, _READABLE)) from None


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


def stream(table: Any) -> bytes:
    """A table as bytes."""
    import pyarrow as pa

    sink = pa.BufferOutputStream()
    with pa.ipc.new_stream(sink, table.schema) as writer:
        writer.write_table(table)
    data: bytes = sink.getvalue().to_pybytes()
    return data


def table(data: bytes) -> Any:
    """The table that :func:`stream` made bytes of."""
    import pyarrow as pa

    return pa.ipc.open_stream(data).read_all()


def cells(table: Any, row: int) -> list[str]:
    """The cells of a row as they would stand in a CSV file."""
    found = (column[row].as_py() for column in table.columns)
    return ["" if cell is None else str(cell) for cell in found]
