"""What Windows lacks is not asked for.

Nothing here was run on Windows: the code is read for what only exists elsewhere, and runs with
those things taken away, as Python's own documentation says they are missing there.
"""

from __future__ import annotations

import ast
import os
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from walltriage import files, folders
from walltriage.cli import main
from walltriage.interview import autosave
from walltriage.interview.autosave import Keeper, free_name
from walltriage.knowledge import rule_cache

CODE = Path(__file__).resolve().parents[2] / "src" / "walltriage"
CASE = Path(__file__).resolve().parents[2] / "docs" / "worked-example.yaml"
# "Availability: Unix" in the documentation of Python 3.11
UNIX_MODULES = {
    "fcntl",
    "termios",
    "tty",
    "pty",
    "pwd",
    "grp",
    "resource",
    "posix",
    "syslog",
    "curses",
}
UNIX_NAMES = {
    "getuid", "geteuid", "getgid", "fork", "forkpty", "setsid", "killpg", "fchmod", "fchown",
    "chown", "mkfifo", "mknod", "nice", "wait", "O_NONBLOCK", "O_NOFOLLOW", "O_DIRECTORY",
    "O_CLOEXEC", "SIGHUP", "SIGKILL", "SIGALRM", "SIGUSR1", "alarm", "setitimer",
    "sched_getaffinity", "uname", "getloadavg", "statvfs", "openpty",
}  # fmt: skip


def modules():
    return sorted(CODE.rglob("*.py"))


def test_modules_that_are_missing_there_are_tried_only():
    """Each such import stands in a ``try`` that goes on without it."""
    for path in modules():
        tree = ast.parse(path.read_text(encoding="utf-8"))
        tried = {
            id(node)
            for attempt in ast.walk(tree)
            if isinstance(attempt, ast.Try)
            for node in ast.walk(attempt)
        }
        for node in ast.walk(tree):
            names = []
            if isinstance(node, ast.Import):
                names = [alias.name for alias in node.names]
            elif isinstance(node, ast.ImportFrom):
                names = [node.module or ""]
            if UNIX_MODULES & set(names):
                assert id(node) in tried, f"{path}:{node.lineno}"


def test_names_that_are_missing_there_are_asked_for_first():
    """A function that uses one leaves before it does, or asks whether it is there."""
    used = 0
    for path in modules():
        source = path.read_text(encoding="utf-8")
        for function in ast.walk(ast.parse(source)):
            if not isinstance(function, ast.FunctionDef):
                continue
            text = ast.get_source_segment(source, function) or ""
            for node in ast.walk(function):
                if not (isinstance(node, ast.Attribute) and node.attr in UNIX_NAMES):
                    continue
                if not (isinstance(node.value, ast.Name) and node.value.id in ("os", "signal")):
                    continue
                used += 1
                asks = ("hasattr(", "getattr(", "fcntl is None")
                assert any(ask in text for ask in asks), f"{path}:{node.lineno}"
    assert used >= 2


@pytest.fixture
def windows(monkeypatch, tmp_path):
    """What the code can see of Windows; its paths and console cannot be shown elsewhere."""
    for name in ("getuid", "geteuid", "O_NONBLOCK"):
        monkeypatch.delattr(os, name, raising=False)
    monkeypatch.setattr(files, "fcntl", None)
    monkeypatch.setattr(sys, "platform", "win32")
    for name in ("XDG_STATE_HOME", "XDG_CACHE_HOME", "XDG_DATA_HOME", "HOME", "TERM"):
        monkeypatch.delenv(name, raising=False)
    local = tmp_path / "AppData" / "Local"
    local.mkdir(parents=True)
    monkeypatch.setenv("LOCALAPPDATA", str(local))
    return local


def test_folders_are_those_of_local_application_data(windows):
    assert autosave.state_folder() == windows / "walltriage" / "state"
    assert rule_cache.cache_folder() == windows / "walltriage" / ".cache"
    assert (
        folders.user_folder("XDG_DATA_HOME", ".local", "share") == windows / "walltriage" / "share"
    )


def test_a_user_without_any_folder(windows, monkeypatch):
    monkeypatch.delenv("LOCALAPPDATA")
    monkeypatch.setattr(Path, "home", lambda: (_ for _ in ()).throw(RuntimeError))
    assert folders.user_folder("XDG_STATE_HOME", "state").name == "state"


def test_files_are_replaced_and_leftovers_go(windows, tmp_path):
    target = tmp_path / "case.yaml"
    left = tmp_path / ".case.yaml.abcdefgh.unfinished"
    left.write_bytes(b"half")
    files.write_bytes(target, b"one")
    files.write_bytes(target, b"two")
    assert target.read_bytes() == b"two"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["AppData", "case.yaml"]


def test_a_scratch_folder_goes(windows):
    with files.scratch_folder() as folder:
        assert folder.is_dir()
    assert not folder.exists()


@pytest.mark.parametrize("name", ["Con", "aux", "LPT1", "nul"])
def test_a_house_named_like_a_device(windows, tmp_path, name):
    """Windows opens a printer by these names, whatever the ending."""
    assert free_name(tmp_path, name).stem == f"{name.lower()}-house"
    assert free_name(tmp_path, "Connor").stem == "connor"


def test_an_interview_is_kept(windows, small):
    from walltriage.case.model import Case, Wall

    keeper = Keeper.new_in(autosave.state_folder(), "Larch Road")
    keeper.save(Case(name="Larch Road", walls=(Wall("w1"),)))
    keeper.save(Case(name="Larch Road", walls=(Wall("w1", "hall"),)))
    found, wrong = autosave.unfinished(autosave.state_folder(), small.base.questions)
    assert [item.case.walls[0].name for item in found] == ["hall"]
    assert wrong == []


def test_triage_report_and_batch(windows, tmp_path):
    """From a case file to a page and a table, with the rules kept in the cache between."""
    runner = CliRunner()
    for args in (
        ["triage", str(CASE)],
        ["triage", str(CASE), "--json"],
        ["report", str(CASE), "--out", str(tmp_path / "page.html")],
        ["batch", str(CASE), "--out", str(tmp_path / "walls.csv")],
    ):
        done = runner.invoke(main, args)
        assert done.exit_code == 0, done.output
    assert (tmp_path / "page.html").stat().st_size > 10_000
    assert (windows / "walltriage" / ".cache").is_dir()


@pytest.mark.parametrize("encoding", ["cp1252", "cp437"])
@pytest.mark.parametrize(
    "command",
    [
        ["checklist"],
        ["rules", "show", "attic_joists_at_wall"],
        ["triage", "-v", str(CASE.parents[1] / "tests/demo_houses/plan_knee_walls.yaml")],
        ["no such command ─ 柱"],
    ],
    ids=lambda words: words[0],
)
def test_what_is_piped_there(encoding, command):
    """Encodings of Windows' pipes and files: what they lack is printed as a look-alike."""
    done = subprocess.run(
        [sys.executable, "-m", "walltriage", *command],
        env=os.environ | {"PYTHONIOENCODING": encoding, "PYTHONPATH": str(CODE.parent)},
        capture_output=True,
        check=False,
    )
    said = (done.stdout + done.stderr).decode(encoding)
    assert done.returncode == (2 if "no such" in command[0] else 0), said
    assert "Traceback" not in said
    assert "\\u25" not in said  # no code of a drawing's letter
