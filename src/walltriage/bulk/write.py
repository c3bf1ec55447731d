"""Rows out: a table, CSV, JSON Lines or Parquet, one row at a time."""

from __future__ import annotations

import csv
import io
import json
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager, nullcontext
from itertools import islice
from pathlib import Path
from typing import Any, TextIO

from walltriage.bulk.forms import harmless
from walltriage.bulk.rows import KEY_DIGITS, Cell
from walltriage.errors import InputError, Problem
from walltriage.files import replacing
from walltriage.language import say
from walltriage.plaintext import printable

FORMATS = ("table", "csv", "jsonl", "parquet")
FORMAT_BY_SUFFIX = {".csv": "csv", ".jsonl": "jsonl", ".parquet": "parquet", ".txt": "table"}
TOGETHER = 1000  # lines written at once
GROUP = 50_000  # rows of a Parquet row group
WIDEST = 40
FROM_PEOPLE = ("file", "case", "wall", "name")  # all other words are ids of the rules
_TABLE = ("verdict", "highest", "referral", "case", "wall", "contradictions", "scope")
_HEADS_WORDS = {
    "verdict": "verdict", "highest": "at most", "referral": "engineer", "case": "house",
    "wall": "wall", "contradictions": "contradictions", "scope": "out of scope",
    "before": "before", "after": "after", "now_fired": "fires now",
    "no_longer_fired": "fires no longer",
}  # fmt: skip
_CELLS_WORDS = {
    "likely_bearing": "likely bearing", "likely_non_bearing": "likely non-bearing",
    "cannot_tell": "cannot tell", "none": "no", "advised": "advised", "strong": "needed",
    "urgent": "needed now",
}  # fmt: skip
Rows = Iterable[Sequence[Cell]]


def check_output(form: str, out: Path | None) -> None:
    """Raises :class:`InputError` for what could not be written: Parquet to stdout, or without
    pyarrow."""
    if form != "parquet":
        return
    if out is None:
        what = "Parquet cannot be printed"
        raise InputError(Problem("--format", 0, 0, what, "give --out FILE as well"))
    try:
        import pyarrow  # noqa: F401
    except ImportError:
        expected = "pip install 'walltriage[bulk]'"
        raise InputError(Problem("--format", 0, 0, "Parquet needs pyarrow", expected)) from None


def write_rows(
    rows: Rows, names: Sequence[str], form: str, out: Path | None, columns: Sequence[str] = _TABLE
) -> None:
    """Write all rows to a file, or to stdout when ``out`` is None.

    ``columns`` are those a table shows.  A file is replaced in one step.  Raises
    :class:`InputError` when it cannot be written.
    """
    if form == "parquet":
        write_tables(_tables(rows, names), names, out)
        return
    write: Callable[[Rows, Sequence[str], TextIO], None]
    if form == "table":
        shown = [names.index(name) for name in columns]
        rows = ([row[index] for index in shown] for row in rows)
        names, write = columns, _table
    else:
        write = _csv if form == "csv" else _json_lines
    if out is None:
        write(rows, names, sys.stdout)
        return
    with _text_of(out) as text:
        write(rows, names, text)


def write_tables(tables: Iterable[Any], names: Sequence[str], out: Path | None) -> None:
    """Write the columns of that name of Arrow tables to a Parquet file, which :func:`check_output`
    has let pass."""
    from pyarrow import parquet

    assert out is not None
    schema = _schema(names)
    with replacing(out) as file, parquet.ParquetWriter(file, schema) as writer:
        for table in _groups(tables):
            writer.write_table(table.select(names).cast(schema))


def write_lines(lines: Iterable[str], names: Sequence[str], form: str, out: Path | None) -> None:
    """Write lines that stand in the form they are to have; otherwise as :func:`write_rows`."""
    remaining = iter(lines)
    with nullcontext(sys.stdout) if out is None else _text_of(out) as file:
        if form == "csv":
            file.write(",".join(names) + "\n")
        while some := list(islice(remaining, TOGETHER)):
            file.write("".join([f"{line[KEY_DIGITS:]}\n" for line in some]))


@contextmanager
def _text_of(out: Path) -> Iterator[TextIO]:
    """A new file of text to write, put in the place of ``out`` at the end."""
    with replacing(out) as file:
        text = io.TextIOWrapper(file, encoding="utf-8", newline="", write_through=True)
        yield text
        text.detach()


def _csv(rows: Rows, names: Sequence[str], file: TextIO) -> None:
    writer = csv.writer(file, lineterminator="\n")
    writer.writerow(names)
    writer.writerows(
        [harmless(cell) if isinstance(cell, str) else cell for cell in row] for row in rows
    )


def _json_lines(rows: Rows, names: Sequence[str], file: TextIO) -> None:
    for row in rows:
        file.write(json.dumps(dict(zip(names, row, strict=True))) + "\n")


def _table(rows: Rows, names: Sequence[str], file: TextIO) -> None:
    """Columns as wide as the first thousand rows need, cut at WIDEST."""
    remaining = iter(rows)
    names = [say(_HEADS_WORDS[name]) for name in names]
    first = [[_shown(cell) for cell in row] for row in islice(remaining, 1000)]
    widths = [
        min(max([len(name), *(len(row[i]) for row in first)]), WIDEST)
        for i, name in enumerate(names)
    ]

    def put(cells: Sequence[str]) -> None:
        parts = [c[:w].ljust(w) for c, w in zip(cells, widths, strict=True)]
        file.write("  ".join(parts).rstrip() + "\n")

    put(names)
    for shown in first:
        put(shown)
    for row in remaining:
        put([_shown(cell) for cell in row])


def _shown(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, float):
        return f"{cell:.4f}"
    return say(_CELLS_WORDS[cell]) if cell in _CELLS_WORDS else printable(str(cell))


def _tables(rows: Rows, names: Sequence[str]) -> Iterator[Any]:
    """Rows of cells as Arrow tables."""
    import pyarrow as pa

    schema, remaining = _schema(names), iter(rows)
    while group := list(islice(remaining, GROUP)):
        columns = [
            [printable(str(cell)) for cell in column] if name in FROM_PEOPLE else list(column)
            for name, column in zip(names, zip(*group, strict=True), strict=True)
        ]
        yield pa.table(columns, schema=schema)


def _groups(tables: Iterable[Any]) -> Iterator[Any]:
    """The same tables, each of as many rows as are written together, or a few more."""
    import pyarrow as pa

    held: list[Any] = []
    for table in tables:
        held.append(table)
        if sum(map(len, held)) >= GROUP:
            yield pa.concat_tables(held)
            held = []
    if held:
        yield pa.concat_tables(held)


def _schema(names: Sequence[str]) -> Any:
    import pyarrow as pa

    return pa.schema([(name, _arrow_kind(pa, name)) for name in names])


def _arrow_kind(pa: Any, name: str) -> Any:
    if name == "line":
        return pa.int64()
    return pa.float64() if name.startswith(("lowest", "highest")) else pa.string()
