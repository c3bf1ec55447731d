"""Rows in Arrow tables on disk: each run sorted, all of them merged a stretch at a time."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, BinaryIO

import numpy as np
import pyarrow as pa

from walltriage.bulk.row_tables import KEY

STRETCH = 4096  # rows of a run in memory at a time while all runs are merged


class TableRuns:
    """Rows that are tables with a column of keys."""

    def count(self, parts: Sequence[pa.Table]) -> int:
        """As :class:`walltriage.bulk.runs.Runs` says; so it is below."""
        return sum(map(len, parts))

    def ordered(self, parts: Sequence[pa.Table]) -> list[pa.Table]:
        return [_ordered(pa.concat_tables(parts))] if parts else []

    def write(self, parts: Iterable[pa.Table], file: BinaryIO) -> None:
        writer = None
        for part in parts:
            writer = writer or pa.ipc.new_stream(file, part.schema)
            writer.write_table(part, max_chunksize=STRETCH)
        if writer is not None:
            writer.close()

    def merged(self, paths: Sequence[Path]) -> Iterator[pa.Table]:
        runs = [_Run(_stretches(path)) for path in paths]
        while runs := [run for run in runs if run.there()]:
            # all rows up to the least key at which a stretch ends have been read by now, but those
            # with just that key only of the first such run and the runs before it
            ends = [int(run.keys[-1]) for run in runs]
            least = min(ends)
            last = ends.index(least)
            yield _ordered(
                pa.concat_tables(
                    run.taken(least, "right" if place <= last else "left")
                    for place, run in enumerate(runs)
                )
            )

    def first(self, parts: Iterable[pa.Table], rows: int | None) -> Iterator[pa.Table]:
        for part in parts:
            yield part.slice(0, rows)
            if rows is not None and (rows := rows - len(part)) <= 0:
                return


@dataclass(slots=True)
class _Run:
    """A run of which a stretch is in memory."""

    stretches: Iterator[pa.Table]
    stretch: pa.Table | None = None
    keys: Any = ()

    def there(self) -> bool:
        """Whether rows are left."""
        while not len(self.keys):
            self.stretch = next(self.stretches, None)
            if self.stretch is None:
                return False
            self.keys = _keys(self.stretch)
        return True

    def taken(self, key: int, side: Any) -> pa.Table:
        """Take the rows of the stretch up to a key, those that have it if ``side`` is "right"."""
        assert self.stretch is not None
        count = int(np.searchsorted(self.keys, key, side))
        found = self.stretch.slice(0, count)
        self.stretch, self.keys = self.stretch.slice(count), self.keys[count:]
        return found


def _stretches(path: Path) -> Iterator[pa.Table]:
    with path.open("rb") as file, pa.ipc.open_stream(file) as stream:
        for batch in stream:
            yield pa.Table.from_batches([batch])


def _keys(table: pa.Table) -> Any:
    return table.column(KEY).to_numpy()


def _ordered(table: pa.Table) -> pa.Table:
    keys = _keys(table)
    if (keys[:-1] <= keys[1:]).all():
        return table
    return table.take(pa.array(np.argsort(keys, kind="stable")))
