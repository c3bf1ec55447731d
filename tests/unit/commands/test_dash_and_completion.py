"""``-`` for standard input and output, ``-V``, ``completion``, a bare ``--resume``, near misses."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from walltriage import __version__
from walltriage.cli import main

DOCS = Path(__file__).resolve().parents[3] / "docs"
CASE = DOCS / "worked-example.yaml"


def run(*args, given=None):
    return CliRunner().invoke(main, list(args), input=given)


@pytest.mark.parametrize("flag", ["-V", "--version"])
def test_version(flag):
    assert run(flag).stdout == f"walltriage {__version__}\n"


def test_triage_of_standard_input():
    """The same findings as of the file; the case has a name of its own."""
    text = CASE.read_text(encoding="utf-8")
    assert (
        run("triage", "-", "--json", given=text).stdout == run("triage", str(CASE), "--json").stdout
    )


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ("walls: [", "not readable as YAML"),
        (b"name: \xff\n", "standard input:1:7: not UTF-8 text"),
        (b"#" * (1 << 21), "standard input: more than 1,048,576 bytes"),
        ("", "standard input"),
    ],
)
def test_standard_input_that_is_wrong(given, says):
    done = run("triage", "-", given=given)
    assert done.exit_code == 2
    assert says in done.stderr
    assert done.stdout == ""


@pytest.mark.parametrize(
    ("form", "begins"), [("html", "<!DOCTYPE html>"), ("md", "# "), ("json", "{")]
)
def test_report_on_standard_output(form, begins):
    done = run(
        "report", "-", "--out", "-", "--format", form, given=CASE.read_text(encoding="utf-8")
    )
    assert done.exit_code == 0, done.stderr
    assert done.stdout.startswith(begins)
    assert done.stderr == ""


@pytest.mark.parametrize("args", [["--out", "-"], ["--out", "x.html", "--format", "html"]])
def test_a_format_goes_with_standard_output(args):
    done = run("report", str(CASE), *args)
    assert done.exit_code == 2
    assert "'--out -' and --format go together" in done.stderr


def test_batch_of_standard_input():
    case = json.dumps({"schema": "walltriage/case/1", "walls": [{"id": "w1", "answers": {}}]})
    done = run("batch", "-", "--format", "csv", given=f"{case}\n{case}\n")
    assert done.exit_code == 0, done.stderr
    assert len(done.stdout.splitlines()) == 3


@pytest.mark.parametrize(
    ("shell", "has"),
    [("bash", "complete -o nosort"), ("zsh", "#compdef walltriage"), ("fish", "complete")],
)
def test_completion(shell, has):
    done = run("completion", shell)
    assert done.exit_code == 0
    assert has in done.stdout
    assert "_WALLTRIAGE_COMPLETE" in done.stdout


def test_completion_completes(monkeypatch):
    """What a shell asks when a person types ``walltriage tri`` and the tab key."""
    monkeypatch.setenv("_WALLTRIAGE_COMPLETE", "bash_complete")
    monkeypatch.setenv("COMP_WORDS", "walltriage tri")
    monkeypatch.setenv("COMP_CWORD", "1")
    done = CliRunner().invoke(main, [], prog_name="walltriage")
    assert done.stdout.splitlines() == ["plain,triage"]


def test_a_file_without_a_command(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    Path("house.yaml").write_text("x")
    done = run("house.yaml")
    assert done.exit_code == 2
    assert "To judge it: walltriage triage house.yaml" in done.stderr


def test_a_mistyped_file(tmp_path):
    (tmp_path / "house.yaml").write_text("x")
    done = run("triage", str(tmp_path / "hose.yaml"))
    assert done.exit_code == 2
    assert "no such file or directory (did you mean 'house.yaml'?)" in done.stderr


def test_a_mistyped_option():
    assert "--json" in run("triage", "x", "--jsn").stderr
