"""``walltriage report``: formats, defaults, and everything that can go wrong with a target."""

from __future__ import annotations

import builtins
import errno
import os
from pathlib import Path

import pytest
from click.testing import CliRunner

from tests.unit.report.conftest import CASES, REPORT_RULES
from walltriage.commands import report
from walltriage.errors import InputError

CASE = CASES / "bungalow.yaml"


def run(target: Path, *more: str, case: Path = CASE, answer: str | None = None):
    """One call of the command; returns what it printed and what it raised."""
    arguments = [str(case), "--out", str(target), "--rules", str(REPORT_RULES), *more]
    return CliRunner().invoke(report.command, arguments, input=answer)


def problem(result) -> str:
    """The one message of bad input."""
    assert isinstance(result.exception, InputError), result.exception
    (only,) = result.exception.problems
    return str(only)


@pytest.mark.parametrize(
    ("name", "begins"),
    [
        ("a.html", b"<!DOCTYPE html>"),
        ("b.HTML", b"<!DOCTYPE html>"),
        ("c.md", b"# Bungalow on Alder Lane"),
        ("d.json", b'{"schema": "walltriage/finding/2"'),
    ],
)
def test_ending_picks_the_format(tmp_path, name, begins):
    """The file is written, only its owner can read it, and the message is on stderr."""
    result = run(tmp_path / name)
    assert result.exit_code == 0
    assert (tmp_path / name).read_bytes().startswith(begins)
    assert (tmp_path / name).stat().st_mode & 0o077 == 0
    assert result.stdout == ""
    assert result.stderr == f"{tmp_path / name}: written\n"
    assert [path.name for path in tmp_path.iterdir()] == [name]


def test_pdf(tmp_path):
    """So is a PDF where its library is there."""
    assert run(tmp_path / "a.pdf").exit_code == 0
    assert (tmp_path / "a.pdf").read_bytes().startswith(b"%PDF-")


def test_reader_and_depth(tmp_path):
    """By default for whom the case says; options say otherwise."""
    target = tmp_path / "a.md"
    run(target)
    assert "For the home buyer." in target.read_text(encoding="utf-8")
    run(target, "--for", "trade", "--force")
    assert "For the trade." in target.read_text(encoding="utf-8")
    assert "Every rule that fired" not in target.read_text(encoding="utf-8")
    run(target, "--for", "trade", "--depth", "3", "--force")
    assert "Every rule that fired" in target.read_text(encoding="utf-8")


@pytest.mark.parametrize("name", ["a.doc", "a", "html", ".html"])
def test_unknown_ending(tmp_path, name):
    """An ending that is no format is refused, naming those that are."""
    told = problem(run(tmp_path / name))
    assert told == (
        f"{tmp_path / name}: no known kind of report; "
        "expected a name ending in .html, .pdf, .md, .json"
    )


def test_existing_file_is_kept(tmp_path):
    """Without a terminal and without --force an existing file stays as it is."""
    target = tmp_path / "a.md"
    target.write_text("mine", encoding="utf-8")
    assert problem(run(target)) == f"{target}: already exists; give --force"
    assert target.read_text(encoding="utf-8") == "mine"
    assert run(target, "--force").exit_code == 0
    assert target.read_text(encoding="utf-8").startswith("# Bungalow")


@pytest.mark.parametrize(("answer", "replaced"), [("y\n", True), ("n\n", False), ("\n", False)])
def test_existing_file_is_asked_about(tmp_path, monkeypatch, answer, replaced):
    """On a terminal the program asks; only a yes replaces the file."""
    monkeypatch.setattr(report, "on_terminal", lambda: True)
    target = tmp_path / "a.md"
    target.write_text("mine", encoding="utf-8")
    result = run(target, answer=answer)
    assert "already exists. Overwrite it? [y/N]" in result.stderr
    assert (target.read_text(encoding="utf-8") != "mine") is replaced
    assert (result.exit_code == 0) is replaced


def test_folder_as_target(tmp_path):
    """A folder is not written over."""
    (tmp_path / "a.md").mkdir()
    assert problem(run(tmp_path / "a.md", "--force")).endswith("is a folder; give a file name")


def test_missing_folder(tmp_path):
    """A folder that is not there is named."""
    told = problem(run(tmp_path / "no" / "a.md"))
    assert told == f"{tmp_path / 'no'}: no such folder; make it first"


@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EACCES, errno.EROFS, errno.EIO])
def test_failing_disk_leaves_no_half_file(tmp_path, monkeypatch, code):
    """Disk full, no right to write, read-only: told plainly, old file whole, nothing left over."""
    target = tmp_path / "a.md"
    target.write_text("mine", encoding="utf-8")

    def fail(*_):
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(os, "fsync", fail)
    told = problem(run(target, "--force"))
    assert told == (f"{target}: cannot be written: {os.strerror(code).lower()}; give another place")
    assert target.read_text(encoding="utf-8") == "mine"
    assert [path.name for path in tmp_path.iterdir()] == ["a.md"]


def test_missing_library_is_named(tmp_path, monkeypatch):
    """Where the PDF library has no package, the way out is told before any work is done."""
    real = builtins.__import__

    def without(name, *rest):
        if name.partition(".")[0] == "typst":
            raise ImportError(name)
        return real(name, *rest)

    monkeypatch.setattr(builtins, "__import__", without)
    told = problem(run(tmp_path / "a.pdf"))
    assert told == (
        f"{tmp_path / 'a.pdf'}: PDF needs a library that is not installed; "
        "run: pip install typst; where it has no package, write .html and print that"
    )
    assert run(tmp_path / "a.html").exit_code == 0


def test_case_without_walls(tmp_path):
    """A case with no wall makes no report."""
    case = tmp_path / "case.yaml"
    case.write_text("schema: walltriage/case/1\nhouse: {}\n", encoding="utf-8")
    told = problem(run(tmp_path / "a.md", case=case))
    assert told == f"{case}: no wall to triage; expected 'walls:' with one wall or more"
    assert not (tmp_path / "a.md").exists()


def test_hostile_file_names(tmp_path):
    """A target whose name holds control and direction marks is written, and told harmlessly."""
    target = tmp_path / "a\x1b[31m\u202e<b>.md"
    result = run(target)
    assert target.exists()
    assert result.stderr.endswith("a\\x1b[31m\\u202e<b>.md: written\n")


def test_help_has_an_example():
    """The help shows a call."""
    told = CliRunner().invoke(report.command, ["--help"]).output
    assert "Example: walltriage report house.yaml --out house.pdf --for firm" in told
