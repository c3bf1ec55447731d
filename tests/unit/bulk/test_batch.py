"""The batch command: every form of input and output, bad input, resuming, comparing."""

from __future__ import annotations

import csv
import io
import json
import re
import shutil
import sys

import pytest
from click.testing import CliRunner

from tests.conftest import HERE, SMALL_RULES
from tests.unit.bulk.case_lines import csv_rows, json_lines, random_case
from walltriage.bulk import blocks as batch_blocks
from walltriage.bulk import store as batch_store
from walltriage.bulk.rows import GRAVEST
from walltriage.bulk.run import RuleFiles
from walltriage.bulk.store import RunStore
from walltriage.case.read import read_case
from walltriage.case.write import case_text
from walltriage.cli import main
from walltriage.errors import InputError
from walltriage.inference.finding import LEVELS
from walltriage.inference.triage import Triager
from walltriage.knowledge.load import load_knowledge

DEMO_HOUSES = HERE / "demo_houses"


def run(*args, code=0):
    """The command on the small rules; (rows or text, stderr)."""
    result = CliRunner().invoke(main, ["batch", "--rules", str(SMALL_RULES), *map(str, args)])
    assert result.exit_code == code, result.output
    return result.stdout, result.stderr


def rows_of(*args, code=0):
    """Rows as dicts, and what stood on stderr."""
    out, told = run(*args, "--format", "jsonl", code=code)
    return [json.loads(line) for line in out.splitlines()], told


@pytest.fixture
def cases(small):
    """Forty random cases of two walls."""
    return [random_case(small.base, seed, walls=2) for seed in range(40)]


def expected(small, cases):
    """Verdict, bounds, path statuses and referral of each wall, from the single-case path."""
    found = {}
    for case in cases:
        for wall in small.finding(case).walls:
            found[case.name, wall.id] = (
                wall.verdict,
                *(round(bound, 6) for bound in wall.probability),
                {path.id: path.status for path in wall.load_paths},
                wall.referral.level,
                ";".join(clash.rule for clash in wall.contradictions),
                ";".join(wall.scope),
                {caution.rule for caution in wall.cautions},
            )
    return found


def told_of(small, rows):
    """The same of rows that a batch wrote."""
    return {
        (row["case"], row["wall"]): (
            row["verdict"],
            row["lowest"],
            row["highest"],
            {path: row[path] for path in small.base.paths},
            row["referral"],
            row["contradictions"],
            row["scope"],
            set(filter(None, row["cautions"].split(";"))),
        )
        for row in rows
    }


def write_folder(folder, cases):
    """Case files in two folders, one of them below the other."""
    (folder / "more").mkdir(parents=True)
    for index, case in enumerate(cases):
        place = folder / "more" if index % 2 else folder
        (place / f"{index:03d}.yaml").write_text(case_text(case))
    return folder


@pytest.mark.parametrize("form", ["folder", "jsonl", "csv"])
def test_says_what_triage_says(small, cases, tmp_path, form):
    """Every wall of every form of input gets the result of a single triage."""
    path = tmp_path / f"cases.{form}"
    if form == "folder":
        write_folder(path, cases)
    else:
        path.write_text(json_lines(cases) if form == "jsonl" else csv_rows(small.base, cases))
    rows, told = rows_of(path)
    assert told_of(small, rows) == expected(small, cases)
    assert f"80 walls of {80 if form == 'csv' else 40} cases judged, 0 bad" in told


def test_plans_count_as_in_triage(full, tmp_path):
    """Houses with plans, as case files and as JSON Lines, and one without a wall that waits."""
    cases = [
        read_case(path, full.base.questions) for path in sorted(DEMO_HOUSES.glob("plan_*.yaml"))
    ]
    lines = tmp_path / "cases.jsonl"
    lines.write_text(json_lines(cases))
    for given in ([lines], sorted(DEMO_HOUSES.glob("plan_*.yaml"))):
        result = CliRunner().invoke(main, ["batch", "--format", "jsonl", *map(str, given)])
        assert result.exit_code == 0, result.output
        rows = [json.loads(line) for line in result.stdout.splitlines()]
        assert told_of(full, rows) == expected(full, cases)
        assert any(row["case"] == cases[0].name for row in rows)


def test_most_urgent_first(cases, tmp_path):
    """Referral, then verdict, then contradictions, then the highest chance."""
    path = tmp_path / "c.jsonl"
    path.write_text(json_lines(cases))
    rows, _ = rows_of(path)
    keys = [
        (-LEVELS.index(r["referral"]), GRAVEST.index(r["verdict"]), not r["contradictions"],
         -r["highest"])
        for r in rows
    ]  # fmt: skip
    assert keys == sorted(keys)
    assert len({key[:3] for key in keys}) > 2
    top, _ = rows_of(path, "--top", 7)
    assert top == rows[:7]


def test_input_order(cases, tmp_path):
    """``--order input`` keeps lines as they come."""
    path = tmp_path / "c.jsonl"
    path.write_text(json_lines(cases))
    rows, _ = rows_of(path, "--order", "input")
    assert [(r["line"], r["wall"]) for r in rows] == [
        (line, wall) for line in range(1, 41) for wall in ("w1", "w2")
    ]


PARQUET = pytest.param("parquet", marks=pytest.mark.extras)


@pytest.mark.parametrize("suffix", ["csv", "jsonl", "txt", PARQUET])
def test_every_form_of_output(cases, tmp_path, suffix):
    """The ending of --out tells the form; all forms hold the same walls in the same order."""
    if suffix == "parquet":
        parquet = pytest.importorskip("pyarrow.parquet", reason="Parquet needs the extra 'bulk'")
    path, out = tmp_path / "c.jsonl", tmp_path / f"out.{suffix}"
    path.write_text(json_lines(cases))
    wanted, _ = rows_of(path)
    text, _ = run(path, "--out", out)
    assert text == ""
    if suffix == "parquet":
        found = parquet.read_table(out).to_pylist()
        assert found == wanted
        return
    text = out.read_text()
    if suffix == "jsonl":
        assert [json.loads(line) for line in text.splitlines()] == wanted
    elif suffix == "csv":
        found = list(csv.DictReader(io.StringIO(text)))
        assert found == [{name: str(cell) for name, cell in row.items()} for row in wanted]
    else:
        lines = text.splitlines()
        assert re.split("  +", lines[0])[:5] == ["verdict", "at most", "engineer", "house", "wall"]
        said = [re.split("  +", line)[0] for line in lines[1:]]
        assert said == [
            str(row["verdict"]).replace("_", " ").replace("y non ", "y non-") for row in wanted
        ]
    assert [p.name for p in tmp_path.iterdir() if p.name != "c.jsonl"] == [out.name]


def test_spreadsheet_formulas_are_made_harmless(small, tmp_path):
    """A case named like a formula does not run when the CSV is opened."""
    path = tmp_path / "c.csv"
    path.write_text("case,wall,wall_below\n=HYPERLINK(1),@w,wall\n")
    text, _ = run(path, "--format", "csv")
    (row,) = csv.DictReader(io.StringIO(text))
    assert (row["case"], row["wall"]) == ("'=HYPERLINK(1)", "'@w")


GOOD = '{"schema": "walltriage/case/1", "walls": [{"id": "w", "answers": {"wall_below": "wall"}}]}'
BAD_LINES = [
    (GOOD[:60], ":2:", "not readable as JSON"),
    (GOOD.replace("case/1", "case/2"), ":2:2: schema is 'walltriage/case/2'", "case/1"),
    (GOOD.replace("wall_below", "wall_bellow"), ":2:", "did you mean 'wall_below'?"),
    (GOOD.replace('"wall"', '"wal"'), ":2:67: 'wal' is not an answer", "did you mean 'wall'?"),
    (GOOD.replace('"wall"', "[1, 2]"), ":2:67:", "not an answer"),
    (GOOD.replace('"wall"', "true"), ":2:67:", "not an answer"),
    (GOOD.replace('"wall"', '"wall", "wall_below": "wall"'), ":2:", "duplicate key"),
    (GOOD.replace('"wall"', "NaN"), ":2:", "NaN is not a number"),
    (GOOD.replace('"wall_below": "wall"', '"wall_length": 1e999'), ":2:", "is not a length"),
    ('{"schema": "walltriage/case/1", "walls": []}', ":2:1: no wall to triage", "walls:"),
    ("[" * 100_000, ":2:1: nested too deeply", ""),
    ("17", ":2:1: not a case", ""),
    ('"' + "x" * batch_blocks.MOST_RECORD_BYTES, ":2:1: a record of more than 1,048,576", ""),
]


@pytest.mark.parametrize(("line", "place", "what"), BAD_LINES, ids=range(len(BAD_LINES)))
def test_a_bad_line_is_told_and_passed_over(tmp_path, line, place, what):
    """One line of three is bad: its place is told, the others are judged, exit 0."""
    path = tmp_path / "c.jsonl"
    path.write_text(f"{GOOD}\n{line}\n{GOOD}\n")
    rows, told = rows_of(path)
    assert [row["line"] for row in rows] == [1, 3]
    assert f"{path}{place}" in told
    assert what in told
    assert "2 walls of 2 cases judged, 1 bad" in told


def test_wrong_encoding_in_a_line(tmp_path):
    """Bytes that are no UTF-8 cost their line only."""
    path = tmp_path / "c.jsonl"
    path.write_bytes(GOOD.encode() + b'\n{"name": "caf\xe9"}\n' + GOOD.encode())
    rows, told = rows_of(path)
    assert len(rows) == 2
    assert f"{path}:2:14: not UTF-8 text" in told


CSV_HEAD = "case,wall,wall_below,wall_length,wall_below.sure\n"
BAD_ROWS = [
    ("a,w1,wal,,", ":3:6: 'wal' is not an answer to 'wall_below' (did you mean 'wall'?)"),
    ("a,w1,wall,300 ft,", ":3:11: 'wall_length': '300 ft' is out of range"),
    ("a,w1,wall,,surely", ":3:12: 'surely' is not a sureness"),
    ("a,w1,wall", ":3:1: 3 cells in this row; expected 5"),
    ('a,w1,"wall"x,,', ":3:1: not readable as CSV"),
    ("a,w1," + "x" * 200_000 + ",,", ":3:1: not readable as CSV: field larger than field limit"),
    ('"a\nb",w1,wal,,', ":4:7: 'wal' is not an answer"),
]


@pytest.mark.parametrize(("row", "told_as"), BAD_ROWS, ids=range(len(BAD_ROWS)))
def test_a_bad_row_is_told_and_passed_over(tmp_path, row, told_as):
    """One row of three is bad: its place is told, the others are judged."""
    path = tmp_path / "c.csv"
    path.write_text(f"{CSV_HEAD}g1,w1,wall,12 ft,guess\n{row}\ng2,w1,nothing,,\n")
    rows, told = rows_of(path)
    assert {r["case"] for r in rows} == {"g1", "g2"}
    assert f"{path}{told_as}" in told
    assert "2 walls of 2 cases judged, 1 bad" in told


def test_an_unclosed_quote_costs_its_row_only(tmp_path):
    """Rows after a quote that is never closed are read all the same."""
    path = tmp_path / "c.csv"
    path.write_text(f'{CSV_HEAD}"g1,w1,wall,,\ng2,w1,wall,,\ng3,w1,nothing,,\n')
    rows, told = rows_of(path)
    assert {row["case"] for row in rows} == {"g2", "g3"}
    assert f"{path}:2:1: not readable as CSV" in told


def test_wrong_encoding_in_a_row(tmp_path):
    """Bytes that are no UTF-8 cost their row only."""
    path = tmp_path / "c.csv"
    path.write_bytes(CSV_HEAD.encode() + b"caf\xe9,w1,wall,,\ng2,w1,wall,,\n")
    rows, told = rows_of(path)
    assert [row["case"] for row in rows] == ["g2"]
    assert f"{path}:2:4: not UTF-8 text" in told


BAD_HEADS = [
    ("case,wall,wall_bellow", ":1:11: unknown column 'wall_bellow' (did you mean 'wall_below'?)"),
    ("case,wall,wall_below,wall_below", ":1:22: duplicate column 'wall_below'"),
    ("case,wall", ":1:1: no question has a column here"),
    ('case,"wall', ":1:1: not readable as CSV"),
]


@pytest.mark.parametrize(("head", "told_as"), BAD_HEADS, ids=range(len(BAD_HEADS)))
def test_a_column_nobody_knows(tmp_path, head, told_as):
    """A file with an unclear header is not read; with nothing else to do that is exit 2."""
    path = tmp_path / "c.csv"
    path.write_text(f"{head}\na,w1,wall\n")
    rows, told = rows_of(path, code=2)
    assert rows == []
    assert f"{path}{told_as}" in told
    assert "0 walls of 0 cases judged, 1 bad" in told


def test_a_file_of_other_columns_is_told_briefly(tmp_path):
    """Of thousands of unknown columns the first twenty are told."""
    path = tmp_path / "c.csv"
    path.write_text(",".join(f"column_{number}" for number in range(20_000)) + "\n")
    rows, told = rows_of(path, code=2)
    assert rows == []
    assert told.count("unknown column") == 20
    assert f"{path}:1:191: more columns are unclear" in told


def test_semicolons_and_a_byte_order_mark(tmp_path):
    """CSV as spreadsheets of other countries write it."""
    path = tmp_path / "c.csv"
    path.write_bytes(b"\xef\xbb\xbfcase;wall;wall_length\r\na;w1;12,5 ft\r\nb;w1;3.81 m\r\n")
    rows, told = rows_of(path)
    assert [row["case"] for row in rows] == ["b"]
    assert "'12,5 ft' is not a length" in told


NOTHING = [
    ("folder", None, ": no case files in this folder"),
    ("gone", None, ": no such file or folder"),
    ("gone.yaml", None, ": no such file or directory"),
    ("notes.pdf", "%PDF", ": not a file of cases"),
    ("empty.csv", "", ":1:1: no case in this file"),
    ("head.csv", "case,wall,wall_below\n", ":1:1: no case in this file"),
    ("empty.jsonl", "", ":1:1: no case in this file"),
    ("blank.jsonl", "\n \n", ":1:1: no case in this file"),
]


@pytest.mark.parametrize(("name", "text", "told_as"), NOTHING, ids=[name for name, *_ in NOTHING])
def test_nothing_could_be_done(tmp_path, name, text, told_as):
    """An empty folder, a missing file, a file of another kind or without cases: told, exit 2."""
    path = tmp_path / name
    if name == "folder":
        path.mkdir()
    elif text is not None:
        path.write_text(text)
    rows, told = rows_of(path, code=2)
    assert rows == []
    assert f"{path}{told_as}" in told
    assert "0 walls of 0 cases judged, 1 bad" in told
    assert "nothing judged" in told


def test_bad_files_beside_good_ones(small, cases, tmp_path):
    """A folder with a broken file, another schema and bytes that are no text."""
    folder = write_folder(tmp_path / "cases", cases[:4])
    (folder / "a.yaml").write_text("schema: [")
    (folder / "b.json").write_text('{"schema": "walltriage/case/0"}')
    (folder / "c.yaml").write_bytes(b"name: caf\xe9")
    (folder / "d.yaml").write_text("schema: walltriage/case/1\nwalls: []\n")
    (folder / "readme.txt").write_text("not a case")
    rows, told = rows_of(folder)
    assert len(rows) == 8
    for name in ("a.yaml:2:", "b.json:1:2: schema is", "c.yaml:1:10: not UTF-8", "d.yaml:1:1: no"):
        assert f"{folder}/{name}" in told
    assert "8 walls of 4 cases judged, 4 bad" in told


def test_template_is_read_back(small, tmp_path):
    """The template has every question once and is a file that can be filled in."""
    text, _ = run("--template")
    names = text.strip().split(",")
    assert set(names) >= set(small.base.questions)
    assert len(names) == len(set(names))
    path = tmp_path / "c.csv"
    row = ["x" if n == "case" else "wall" if n == "wall_below" else "" for n in names]
    path.write_text(text + ",".join(row) + "\n")
    rows, _ = rows_of(path)
    assert [row["case"] for row in rows] == ["x"]


def test_resumes_where_it_stopped(small, cases, tmp_path, monkeypatch, interrupted):
    """An interrupted run goes on without judging again, and gives the whole result."""
    path, out = tmp_path / "c.jsonl", tmp_path / "out.jsonl"
    path.write_text(json_lines(cases))
    whole, _ = rows_of(path)
    monkeypatch.setattr(batch_blocks, "BLOCK_BYTES", 2000)
    monkeypatch.setattr("walltriage.bulk.run.RUN_ROWS", 10)
    judged = interrupted(6)
    run(path, "--out", out, code=130)
    assert not out.exists()
    kept = json.loads((tmp_path / "out.jsonl.part" / batch_store.NOTE).read_text())
    assert 0 < kept["tasks"] <= 6
    _, told = run(path, "--out", out, "--resume")
    assert "80 walls of 40 cases judged" in told
    assert [json.loads(line) for line in out.read_text().splitlines()] == whole
    assert kept["tasks"] + len(judged) >= 6
    assert judged
    assert not (tmp_path / "out.jsonl.part").exists()


@pytest.mark.parametrize("changed", ["cases", "options", "record"])
def test_refuses_to_resume_something_else(cases, tmp_path, monkeypatch, changed):
    """Other cases, other options or a damaged record: told, nothing overwritten."""
    path, out = tmp_path / "c.jsonl", tmp_path / "out.jsonl"
    path.write_text(json_lines(cases))
    monkeypatch.setattr(batch_blocks, "BLOCK_BYTES", 2000)
    monkeypatch.setattr("walltriage.bulk.run.RUN_ROWS", 1)
    monkeypatch.setattr(
        "walltriage.bulk.store.RunStore.merged", lambda self, most: (_ for _ in ()).throw(EOFError)
    )
    run(path, "--out", out, code=130)
    args = ["--out", out, "--resume"]
    if changed == "cases":
        path.write_text(json_lines(cases[1:]))
    elif changed == "options":
        args += ["--order", "input"]
    else:
        (tmp_path / "out.jsonl.part" / batch_store.NOTE).write_text("{")
    _, told = run(path, *args, code=2)
    assert "start again without --resume" in told
    assert (tmp_path / "out.jsonl.part").exists()
    assert not out.exists()


def test_resume_needs_a_file():
    """Without --out nothing is kept to resume from."""
    _, told = run("x.jsonl", "--resume", code=2)
    assert "--resume needs --out" in told


def test_many_runs_are_merged_in_stages(tmp_path, monkeypatch):
    """More runs than may be open at a time come out in one order, ties as they came."""
    monkeypatch.setattr(batch_store, "MOST_OPEN", 3)
    store = batch_store.RunStore.start(tmp_path / "s", "x")
    lines = [f"{(number * 7) % 10:012d}[{number}]" for number in range(100)]
    for start in range(0, 100, 5):
        store.add(lines[start : start + 5])
        store.keep(start, "")
    assert list(store.merged()) == sorted(lines, key=lambda line: line[:12])


@pytest.fixture
def changed_rules(tmp_path):
    """The small rules with a decisive sign retired and a threshold moved."""
    folder = tmp_path / "changed"
    shutil.copytree(SMALL_RULES, folder)
    path = folder / "load_paths" / "framing_above.yaml"
    head, _, sign = path.read_text().partition("signs:")
    path.write_text(head + "signs:" + sign.replace("status: reviewed", "status: retired"))
    return folder


def test_compare_tells_moves_and_why(small, cases, changed_rules, tmp_path):
    """Verdicts that a retired sign had made are told with the rule; counts cover all walls."""
    path = tmp_path / "c.jsonl"
    path.write_text(json_lines(cases))
    rows, told = rows_of(path, "--compare", changed_rules)
    plain, _ = rows_of(path)
    assert rows
    now = {(row["case"], row["wall"]): row["verdict"] for row in plain}
    for row in rows:
        assert row["after"] == now[row["case"], row["wall"]] != row["before"]
        assert "sign_joists_end" in row["now_fired"]
        assert "framing_above" in row["paths_moved"]
    count = sum(int(line.split()[0]) for line in told.splitlines() if "likely_" in line.split()[1])
    assert count <= 80
    assert "-> likely_bearing" in told
    same, _ = rows_of(path, "--compare", SMALL_RULES)
    assert same == []


def test_compare_with_rules_that_lack_questions(small, cases, tmp_path):
    """Old rules with a question and an option less, another band and another threshold."""
    old = tmp_path / "old"
    shutil.copytree(SMALL_RULES, old)
    path = old / "questions" / "all.yaml"
    text = path.read_text()
    text = text[: text.index("  - id: built_of")].replace("under: 4 ft}", "under: 40 ft}")
    path.write_text(text)
    used_in = ("guards.yaml", "scope.yaml", "cautions.yaml", "load_paths/framing_above.yaml")
    for name in used_in:
        path = old / name
        path.write_text(path.read_text().replace("built_of", "joists_run").replace("brick", "along")
                        .replace("joists_run: wood", "joists_run: across"))  # fmt: skip
    guards = old / "guards.yaml"
    guards.write_text(guards.read_text().replace("bearing_at_least: 0.8", "bearing_at_least: 0.1"))
    cases_path = tmp_path / "c.jsonl"
    cases_path.write_text(json_lines(cases))
    rows, _ = rows_of(cases_path, "--compare", old)
    assert rows
    theirs = Triager(load_knowledge(old))
    for row in rows:
        case = next(case for case in cases if case.name == row["case"])
        known = {n: a for n, a in case.answers_for(row["wall"]).items() if n != "built_of"}
        assert theirs.evaluator.evaluate(known).verdict == row["before"] != row["after"]


def test_mistakes_in_rules_name_their_own_files(tmp_path, changed_rules):
    """Rules travel as bytes, but a mistake in them is told where the user has them."""
    (changed_rules / "guards.yaml").write_text("version: [")
    path = tmp_path / "c.jsonl"
    path.write_text(GOOD)
    result = CliRunner().invoke(main, ["batch", "--rules", str(changed_rules), str(path)])
    assert result.exit_code == 2
    assert f"{changed_rules}/guards.yaml:2:" in result.stderr
    with pytest.raises(InputError):
        RuleFiles.of(tmp_path / "none")


def test_parquet_without_its_library(tmp_path, monkeypatch):
    """What to install is told, and nothing is left behind but the run to take up again."""
    monkeypatch.setitem(sys.modules, "pyarrow", None)
    path = tmp_path / "c.jsonl"
    path.write_text(GOOD)
    _, told = run(path, "--out", tmp_path / "out.parquet", code=2)
    assert "Parquet needs pyarrow; pip install 'walltriage[bulk]'" in told
    assert not (tmp_path / "out.parquet").exists()


def test_parquet_cannot_be_printed(tmp_path):
    """Parquet needs a file."""
    path = tmp_path / "c.jsonl"
    path.write_text(GOOD)
    _, told = run(path, "--format", "parquet", code=2)
    assert "give --out FILE" in told


def test_unwritable_place(tmp_path):
    """A missing folder for --out is told before anything is judged."""
    path = tmp_path / "c.jsonl"
    path.write_text(GOOD)
    _, told = run(path, "--out", tmp_path / "no" / "out.csv", code=2)
    assert "cannot be written: no such file or directory" in told


def test_a_run_cut_short_while_it_cleans_up_is_done_anew(tmp_path, monkeypatch):
    """Its rows were written already, and half of a folder is no record of an interrupted run."""
    folder = tmp_path / "out.csv.part"
    store = RunStore.start(folder, "the rules")
    store.add(["one row"])
    store.keep(1, "digest")

    def cut_short(*_: object, **__: object) -> None:
        (folder / "run000000").unlink()
        raise KeyboardInterrupt

    monkeypatch.setattr("walltriage.bulk.store.shutil.rmtree", cut_short)
    with pytest.raises(KeyboardInterrupt):
        store.remove()
    monkeypatch.undo()
    assert RunStore.resume(folder, "the rules").note.tasks == 0
