"""One bad wall costs one row, and no row does harm to a terminal, a spreadsheet or a file."""

from __future__ import annotations

import csv
import io
import json
import os
import unicodedata
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from tests.conftest import SMALL_RULES
from walltriage.bulk import run as batch_run
from walltriage.bulk.blocks import Block, halves
from walltriage.bulk.forms import csv_cell, harmless
from walltriage.cli import main
from walltriage.plaintext import printable

GOOD = '{"schema": "walltriage/case/1", "name": "good", "walls": [{"id": "w1"}]}'


def run(*args, code=0):
    result = CliRunner().invoke(main, ["batch", "--rules", str(SMALL_RULES), *map(str, args)])
    assert result.exit_code == code, result.output
    return result.stdout, result.stderr


def wall(name="x", **answers):
    walls = [{"id": "w1", "answers": answers}]
    return json.dumps({"schema": "walltriage/case/1", "name": name, "walls": walls})


@pytest.mark.parametrize(
    ("bad", "says"),
    [
        (wall(wall_length=int("9" * 90)), "'wall_length'"),
        (wall().replace('"w1"', "9" * 400), "not readable as JSON: a number of 400 digits"),
        (wall(wall_length="9" * 400), "400 letters are not a length"),
        (wall("\ud800"), ":11: half of a surrogate pair"),
        (wall("\udc00\ud800"), "half of a surrogate pair"),
    ],
)
def test_one_line_costs_one_wall(tmp_path, bad, says):
    """The walls before and after it are judged, and the line is named."""
    path = tmp_path / "c.jsonl"
    if says.startswith(":11"):
        says = f":2:{bad.index(chr(92)) + 1}: half"
    path.write_text(f"{GOOD}\n{bad}\n{GOOD}\n")
    out, told = run(path, "--format", "jsonl")
    assert [json.loads(line)["line"] for line in out.splitlines()] == [1, 3]
    assert f"{path}:2:" in told
    assert says in told
    assert "2 walls of 2 cases judged, 1 bad" in told


def test_pairs_of_surrogates_are_a_letter(tmp_path):
    path = tmp_path / "c.jsonl"
    path.write_text(f"{wall('x😀y')}\n{wall(chr(92) * 2 + 'ud800')}\n")
    out, _ = run(path, "--format", "jsonl", "--order", "input")
    names = [json.loads(line)["case"] for line in out.splitlines()]
    assert names == ["x😀y", "\\\\ud800"]


def test_a_csv_cell_of_many_digits(tmp_path):
    path = tmp_path / "c.csv"
    path.write_text("case,wall,wall_length\na,w1,8 ft\nb,w1," + "9" * 400 + "\nc,w1,9 ft\n")
    out, told = run(path, "--format", "jsonl")
    assert len(out.splitlines()) == 2
    assert f"{path}:3:6: " in told


@pytest.mark.parametrize("suffix", ["jsonl", "csv", "yaml"])
def test_a_mistake_of_the_program_costs_one_row(tmp_path, monkeypatch, suffix):
    """Whatever is raised while one wall is judged, the others are judged, and that one is told."""
    real = batch_run.RowLines.__call__

    def fails(self, refs, *more):
        if any(ref.case == "bad" for ref in refs):
            raise ZeroDivisionError("on purpose")
        return real(self, refs, *more)

    names = [f"c{n}" for n in range(17)]
    names[11] = "bad"
    if suffix == "yaml":
        for n, name in enumerate(names):
            (tmp_path / f"{n:02}.yaml").write_text(wall(name))
        path, place = tmp_path, f"{tmp_path / '11.yaml'}:1:1"
    elif suffix == "jsonl":
        path = tmp_path / "c.jsonl"
        path.write_text("".join(wall(name) + "\n" for name in names))
        place = f"{path}:12:1"
    else:
        path = tmp_path / "c.csv"
        rows = "".join(f'{name},w1,"a\nb",\n' for name in names)
        path.write_text("case,wall,name,wall_length\n" + rows)
        place = f"{path}:24:1"
    monkeypatch.setattr(batch_run.RowLines, "__call__", fails)
    out, told = run(path, "--format", "jsonl", "--order", "input")
    done = [json.loads(line)["case"] for line in out.splitlines()]
    assert done == [name for name in names if name != "bad"]
    assert f"{place}: could not be judged (ZeroDivisionError: on purpose)" in told
    assert "16 walls of 16 cases judged, 1 bad" in told


def test_halves_are_whole_records():
    """Cut again and again, a task gives its records, each with its line."""
    data = b'a,"x\ny"\nb,z\r\nc,"""\n"\nd,\n'
    left = [(Block("c.csv", "csv", 2, data, b"h\n"), Block("d.yaml", "case", 1, b"x\ny\n"))]
    found = []
    while left:
        task = left.pop(0)
        parts = halves(task)
        left = [*parts, *left]
        found += [] if parts else [(task[0].line, task[0].data)]
    assert found == [
        (2, b'a,"x\ny"\n'), (4, b"b,z\r\n"), (5, b'c,"""\n"\n'), (7, b"d,\n"), (1, b"x\ny\n"),
    ]  # fmt: skip


HOSTILE = [
    "=1+1", "+1", "-1", "@x", "\t=1", "\r=1", "\n=1", " =1", "＝1", "＠SUM(1)", "|x", "%x",
    "\u00a0=1",
    "\x1b[31mred", "a\x9b31m", "a\u202eb", "\x00", "a\x7f",
]  # fmt: skip


def test_csv_is_harmless(tmp_path):
    """No cell begins a formula, moves the cursor or turns the line; the words stay."""
    path = tmp_path / "c.jsonl"
    path.write_text("".join(wall(name) + "\n" for name in HOSTILE))
    out, _ = run(path, "--format", "csv", "--order", "input")
    rows = list(csv.DictReader(io.StringIO(out)))
    assert len(rows) == len(HOSTILE)
    for name, row in zip(HOSTILE, rows, strict=True):
        cell = row["case"]
        assert cell.lstrip()[:1] not in set("=+-@＝＠|%")
        assert cell[:1].strip() or cell.startswith("'")
        assert not any(unicodedata.category(letter) in ("Cc", "Cf", "Cs") for letter in cell)
        assert printable(name) in cell


@given(st.text())
def test_a_cell_of_csv_reads_as_what_was_made_harmless(text):
    """Python's own reader takes a cell as it was before quotation marks, and its writer agrees."""
    written = csv_cell(text)
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerow([harmless(text), "x"])
    assert f"{written},x\n" == out.getvalue()
    assert next(csv.reader([f"{written},x"])) == [harmless(text), "x"]


@pytest.mark.parametrize("name", ["/dev/null", "pipe.csv", "folder.csv"])
def test_only_regular_files_are_replaced(tmp_path, monkeypatch, name):
    """A device, a pipe or a folder stays what it is."""
    monkeypatch.chdir(tmp_path)
    Path("c.jsonl").write_text(GOOD)
    os.mkfifo("pipe.csv")
    Path("folder.csv").mkdir()
    before = os.lstat(name).st_mode
    target = Path("device.csv")
    if name == "/dev/null":
        target.symlink_to(name)
    _, told = run("c.jsonl", "--out", target if name == "/dev/null" else name, code=2)
    assert "not a regular file" in told
    assert os.lstat(name).st_mode == before


def test_a_folder_of_somebody_else_is_not_taken_away(tmp_path):
    """Beside --out the rows wait in a folder; one that holds other things is left alone."""
    (tmp_path / "c.jsonl").write_text(GOOD)
    (tmp_path / "o.csv.part").mkdir()
    (tmp_path / "o.csv.part" / "thesis.txt").write_text("years of work")
    _, told = run(tmp_path / "c.jsonl", "--out", tmp_path / "o.csv", code=2)
    assert "holds 'thesis.txt', which no batch left" in told
    assert (tmp_path / "o.csv.part" / "thesis.txt").read_text() == "years of work"


def test_names_of_files_that_are_no_text(tmp_path):
    """A file name of other bytes than UTF-8 is told, and written to every form."""
    name = os.fsencode(tmp_path) + b"/caf\xe9.yaml"
    with open(name, "w") as file:
        file.write(GOOD)
    for form in ("csv", "jsonl", "table"):
        out, _ = run(tmp_path, "--format", form)
        assert "good" in out


@pytest.mark.extras
def test_names_of_files_that_are_no_text_in_parquet(tmp_path):
    """Such a name is written to Parquet, too."""
    pytest.importorskip("pyarrow")
    with open(os.fsencode(tmp_path) + b"/caf\xe9.yaml", "w") as file:
        file.write(GOOD)
    run(tmp_path, "--out", tmp_path / "o.parquet")


def test_parts_of_an_outcome_join():
    """What is counted in parts is counted in the whole."""
    one = batch_run.TaskOutcome(["a"], [], 1, 1, 0, {"x": 1})
    both = batch_run._joined([one, replace(one, rows=["b"], bad=2, moves={"x": 2, "y": 1})])
    assert both == batch_run.TaskOutcome(["a", "b"], [], 2, 2, 2, {"x": 3, "y": 1})
