"""Rows that travel in tables: the same walls in the same order as rows that travel as lines."""

from __future__ import annotations

import json
import random

import pytest
from click.testing import CliRunner

from tests.conftest import SMALL_RULES
from tests.unit.bulk.case_lines import json_lines, random_case
from walltriage.bulk import blocks as batch_blocks
from walltriage.bulk import run as batch_run
from walltriage.bulk import store as batch_store
from walltriage.cli import main

pa = pytest.importorskip("pyarrow", reason="Parquet needs the extra 'bulk'")
parquet = pytest.importorskip("pyarrow.parquet", reason="Parquet needs the extra 'bulk'")
pytestmark = pytest.mark.extras


def batch(*args, code=0):
    result = CliRunner().invoke(main, ["batch", "--rules", str(SMALL_RULES), *map(str, args)])
    assert result.exit_code == code, result.output
    return result


@pytest.fixture
def path(small, tmp_path):
    """Sixty houses of two walls, many of them equally urgent, in blocks of a few."""
    path = tmp_path / "c.jsonl"
    cases = [random_case(small.base, seed % 25, walls=2) for seed in range(60)]
    path.write_text(json_lines(cases))
    return path


@pytest.fixture
def small_parts(monkeypatch):
    """Few rows wait, few are read at a time, and few runs are open."""
    from walltriage.bulk import table_runs

    monkeypatch.setattr(batch_blocks, "BLOCK_BYTES", 2000)
    monkeypatch.setattr(batch_run, "RUN_ROWS", 10)
    monkeypatch.setattr(batch_store, "MOST_OPEN", 3)
    monkeypatch.setattr(table_runs, "STRETCH", 2)


@pytest.mark.parametrize("more", [[], ["--top", "7"], ["--top", "500"], ["--order", "input"]])
def test_order_and_top(path, tmp_path, more, small_parts):
    """Many small runs, merged in stages, against one run of lines."""
    out = tmp_path / "out.parquet"
    batch(path, "--out", out, *more)
    wanted = [
        json.loads(line) for line in batch(path, "--format", "jsonl", *more).stdout.splitlines()
    ]
    assert parquet.read_table(out).to_pylist() == wanted
    assert len(wanted) == (7 if more[-1:] == ["7"] else 120)


def test_an_interrupted_run_goes_on(path, tmp_path, small_parts, interrupted):
    """What was kept is not judged again, and the whole is what it would have been."""
    out, whole = tmp_path / "out.parquet", tmp_path / "whole.parquet"
    batch(path, "--out", whole)
    judged = interrupted(5)
    batch(path, "--out", out, code=130)
    assert not out.exists()
    kept = json.loads((tmp_path / "out.parquet.part" / batch_store.NOTE).read_text())["tasks"]
    assert 0 < kept <= 5
    batch(path, "--out", out, "--resume")
    assert len(judged) == len(list(batch_blocks.tasks([path]))) - kept
    assert parquet.read_table(out).equals(parquet.read_table(whole))


def test_equal_keys_stay_in_the_order_of_the_runs(tmp_path, monkeypatch):
    """However the stretches of runs with few different keys lie to each other."""
    from walltriage.bulk import table_runs

    monkeypatch.setattr(table_runs, "STRETCH", 3)
    draw, runs = random.Random(1), table_runs.TableRuns()
    for trial in range(200):
        keys = [sorted(draw.choices(range(4), k=draw.randint(0, 9))) for _ in range(4)]
        paths = []
        for index, some in enumerate(keys):
            paths.append(tmp_path / f"run{index}")
            names = [f"{index}.{place}" for place in range(len(some))]
            table = pa.table([pa.array(some, pa.int64()), pa.array(names, pa.string())], ["", "n"])
            with paths[-1].open("wb") as file:
                runs.write([table], file)
        rows = [row for part in runs.merged(paths) for row in part.to_pylist()]
        wanted = [
            {"": key, "n": f"{index}.{place}"}
            for index, some in enumerate(keys)
            for place, key in enumerate(some)
        ]
        assert rows == sorted(wanted, key=lambda row: row[""]), trial


def test_texts_of_people_are_made_harmless(tmp_path):
    """Whatever would move a terminal is shown, in each cell that people write."""
    path, out = tmp_path / "c.csv", tmp_path / "out.parquet"
    path.write_text("case,wall,name,wall_below\na\x1b[2J,w\u202e,n\x07,wall\n")
    batch(path, "--out", out)
    (row,) = parquet.read_table(out).to_pylist()
    assert (row["case"], row["wall"], row["name"]) == ("a\\x1b[2J", "w\\u202e", "n\\x07")


def test_a_comparison_is_written_too(path, tmp_path, small):
    """Nothing moves under the same rules: a file of no rows, with all its columns."""
    out = tmp_path / "moved.parquet"
    batch(path, "--out", out, "--compare", SMALL_RULES)
    assert parquet.read_table(out).num_rows == 0
    assert "now_fired" in parquet.read_schema(out).names
