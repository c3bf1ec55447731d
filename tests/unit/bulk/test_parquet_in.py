"""Parquet is read as the CSV file with the same cells; mistakes are told by row and column."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from tests.conftest import SMALL_RULES
from tests.unit.bulk.case_lines import csv_rows, random_case
from walltriage.bulk import parquet, quick_table
from walltriage.bulk.blocks import Block, blocks, halves
from walltriage.bulk.csv import CsvReader
from walltriage.bulk.read import BlockReader
from walltriage.case.model import DEGREES, SURENESS_IN_FILES
from walltriage.cli import main
from walltriage.inference.columns.evaluator import ColumnEvaluator

pytest.importorskip("pyarrow")
pytestmark = pytest.mark.extras


@pytest.fixture(scope="module")
def columns(small) -> ColumnEvaluator:
    """The small rules for many walls."""
    return ColumnEvaluator(small.base)


@pytest.fixture(scope="module")
def text(small) -> str:
    """Walls as CSV."""
    return csv_rows(small.base, [random_case(small.base, seed, 0.5) for seed in range(70)])


def table_of(text: str, number: str = ""):
    """A CSV text as a table, empty cells as nothing; one column as numbers."""
    import pyarrow as pa

    rows = list(csv.DictReader(io.StringIO(text)))
    found = {name: [row[name] or None for row in rows] for name in rows[0]}
    if number:
        found[number] = [cell and float(cell.removesuffix(" in")) for cell in found[number]]
    return pa.table(found)


def write(table, path: Path) -> Path:
    from pyarrow import parquet as pq

    pq.write_table(table, path, row_group_size=30)
    return path


def test_rows_in_order_are_not_looked_at_one_by_one(columns, text, tmp_path, monkeypatch):
    """Of every sureness there is."""
    monkeypatch.setattr(CsvReader, "_row", None)
    path = write(table_of(text), tmp_path / "walls.parquet")
    batch, gathered = BlockReader(columns).read(list(blocks([path])))
    assert len(gathered.refs) == 70
    assert set(np.unique(batch.sure)) == {DEGREES.index(sure) for sure in SURENESS_IN_FILES}


def test_reads_what_csv_reads(columns, text, tmp_path, monkeypatch):
    """The same answers and the same walls, in several blocks, from words."""
    monkeypatch.setattr(parquet, "ROWS", 32)
    path = write(table_of(text), tmp_path / "walls.parquet")
    found = list(blocks([path]))
    assert len(found) > 2
    head, rows = text.encode().split(b"\n", 1)
    batch, gathered = BlockReader(columns).read(found)
    other, expected = BlockReader(columns).read([Block(str(path), "csv", 1, rows, head)])
    assert gathered.refs == expected.refs
    assert not gathered.problems
    for name in ("codes", "sure", "numbers"):
        np.testing.assert_array_equal(getattr(batch, name), getattr(other, name))


def test_numbers_are_lengths_in_the_units_told(columns, text, tmp_path):
    """A column of bare numbers says what words with a unit say."""
    import pyarrow as pa

    measured = [line for line in text.splitlines() if " in," in line]
    text = "\n".join([text.splitlines()[0], *measured])
    inches = table_of(text, "wall_length")
    place = inches.column_names.index("units")
    inches = inches.set_column(place, "units", pa.array(["in"] * len(inches)))
    files = [write(t, tmp_path / f"{n}.parquet") for n, t in enumerate((inches, table_of(text)))]
    ours, theirs = (BlockReader(columns).read(blocks([file]))[0] for file in files)
    np.testing.assert_array_equal(ours.codes, theirs.codes)
    np.testing.assert_array_equal(ours.numbers, theirs.numbers)
    assert (~np.isnan(ours.numbers)).any()


@pytest.mark.parametrize(
    ("name", "cells", "row"),
    [("wall_length", ["no length"], 1), ("wall_length", [True], 1), ("units", ["ft", "ells"], 2)],
)
def test_a_bad_cell_costs_its_row(tmp_path, name, cells, row):
    """It is told by row and column, and the other rows are judged."""
    import pyarrow as pa

    good = [None] * 3
    table = pa.table({"case": ["a", "b", "c"], name: [*cells, *good][:3], "x": good})
    table = table.drop_columns("x")
    path = write(table, tmp_path / "walls.parquet")
    asked = ["batch", "--rules", str(SMALL_RULES), str(path)]
    if name == "units":
        table = table.append_column("wall_length", pa.array(good, pa.string()))
        write(table, path)
    out = CliRunner().invoke(main, [*asked, "--format", "csv"])
    assert out.exit_code == 0, out.output
    assert f"{path}:{row}:2: " in out.stderr
    assert len(out.stdout.splitlines()) == 3


@pytest.mark.parametrize("data", [b"", b"PAR1", b"PAR1 and no more PAR1"])
def test_what_is_no_parquet(tmp_path, data):
    """One message, and nothing judged."""
    path = tmp_path / "walls.parquet"
    path.write_bytes(data)
    out = CliRunner().invoke(main, ["batch", "--rules", str(SMALL_RULES), str(path)])
    assert out.exit_code == 2
    assert "not readable as Parquet" in out.stderr


def test_columns_nobody_knows(tmp_path):
    """Told once, with the number of the column left to its name."""
    import pyarrow as pa

    path = write(pa.table({"case": ["a"], "wal_length": ["3 ft"]}), tmp_path / "walls.parquet")
    out = CliRunner().invoke(main, ["batch", "--rules", str(SMALL_RULES), str(path)])
    assert out.exit_code == 2
    assert "unknown column 'wal_length'" in out.stderr


def test_without_its_library(tmp_path, monkeypatch):
    """It is said what to install."""
    monkeypatch.setattr(quick_table, "there", False)
    path = tmp_path / "walls.parquet"
    path.write_bytes(b"PAR1")
    assert "pip install" in next(blocks([path])).problem.expected


def test_halves_are_rows(text, tmp_path):
    """A block is cut down to single rows, each with its number."""
    path = write(table_of(text).slice(0, 5), tmp_path / "walls.parquet")
    waiting, single = [tuple(blocks([path]))], []
    while waiting:
        task = waiting.pop(0)
        parts = halves(task)
        waiting = parts + waiting
        single += [] if parts else [task[0].line]
    assert single == [1, 2, 3, 4, 5]


@pytest.mark.parametrize("index", [3, -1, 2**31 - 1])
def test_a_cell_that_points_nowhere_is_refused(index):
    """What a damaged file may hold: nobody looks there; where nothing stands, nothing is pointed
    at."""
    import pyarrow as pa

    def column(last: int | None) -> pa.Array:
        which = pa.array([0, 2, last], pa.int32())
        return pa.DictionaryArray.from_arrays(which, ["a", "b", "c"], safe=False)

    for good in (column(1), column(None), pa.array(["a"]), pa.nulls(3), column(0).slice(3)):
        parquet._validate(pa.record_batch([good], ["wall"]))
    with pytest.raises(pa.ArrowInvalid):
        parquet._validate(pa.record_batch([column(index)], ["wall"]))
