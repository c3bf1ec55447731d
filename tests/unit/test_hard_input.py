"""Input that once ended in a traceback, hung, or took minutes: one message, at once."""

from __future__ import annotations

import json
import os
import resource
import subprocess
import sys
from pathlib import Path

import pytest

from walltriage.folders import user_folder

SMALL_RULES = Path(__file__).resolve().parents[1] / "small_rules"
HEAD = "schema: walltriage/case/1\n"


def run(*arguments, cwd, seconds=20, **more):
    """The program as a person starts it."""
    environment = {
        "PATH": os.environ["PATH"], "HOME": str(cwd), "PYTHONPATH": os.pathsep.join(sys.path),
        "PYTHONUTF8": "1", "XDG_CACHE_HOME": os.environ["XDG_CACHE_HOME"],
    }  # fmt: skip
    environment |= more.pop("environment", {})
    return subprocess.run(
        [sys.executable, "-m", "walltriage", *arguments],
        capture_output="stdout" not in more, text=True, cwd=cwd, env=environment,
        timeout=seconds, check=False, **more,
    )  # fmt: skip


def processor_seconds() -> float:
    """Of all that was started here and has ended."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def triage(tmp_path, text, name="c.yaml"):
    path = tmp_path / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return run("triage", name, "--rules", str(SMALL_RULES), cwd=tmp_path)


CASES = {
    "number of 400 digits": "walls: [{id: w1, answers: {wall_length: " + "9" * 400 + "}}]",
    "hexadecimal number": "walls: [{id: w1, answers: {wall_length: 0x" + "9" * 5000 + "}}]",
    "length of 5,000 digits": "plan: {levels: [a], parts: [{id: m, width: " + "9" * 5000 + " ft}]}",
    "number of 99 digits": "walls: [{id: w1, answers: {wall_length: " + "9" * 99 + "}}]",
    "text of many ones": "walls: [{id: w1, answers: {wall_length: " + "1 " * 400_000 + "}}]",
    "tag that does not fit": "name: !!bool x\nwalls: [{id: w1}]",
    "tag deeper in": "walls: [{id: w1, answers: {above_wall: !!bool x}}]",
    "time that is none": "name: !!timestamp x\nwalls: [{id: w1}]",
    "unknown questions": "house: {" + ", ".join(f"q{i}: 1" for i in range(20_000)) + "}",
    "deep nesting": "name: " + "[" * 300 + "]" * 300,
    "far too large": "# " + "x" * (1 << 20),
    "many entries": "name: [" + "[]," * 340_000 + "]",
}


@pytest.mark.parametrize("name", CASES)
def test_a_case_that_is_too_much_is_refused_at_once(tmp_path, name):
    """Refused with its place soon after the start, in 21 messages at most.

    Soon is told in processor time, which other work on the machine does not lengthen.
    """
    before = processor_seconds()
    idle = run("--version", cwd=tmp_path)
    start = processor_seconds() - before
    before = processor_seconds()
    done = triage(tmp_path, HEAD + CASES[name] + "\n")
    assert processor_seconds() - before < start + 3  # the rules are read meanwhile
    assert idle.returncode == 0
    assert done.returncode == 2, done.stderr
    assert "Traceback" not in done.stderr
    lines = done.stderr.splitlines()
    assert 1 <= len(lines) <= 21
    assert all(line.startswith("c.yaml") for line in lines), lines
    if "tag" in name:
        assert "a value that does not fit its tag" in lines[0]
    if name == "unknown questions":
        assert lines[-1].endswith("19,980 more mistakes from here on")


def test_a_case_as_a_standard_encoder_writes_it(tmp_path):
    """Letters beyond the first plane are two escapes in JSON; places behind them stay right."""
    text = json.dumps({"schema": "walltriage/case/1", "name": "x😀y", "walls": [{"id": "w1"}]})
    done = triage(tmp_path, text, "c.json")
    assert done.returncode == 0, done.stderr
    assert "x😀y" in done.stdout
    wrong = text.replace('"id": "w1"', '"id": "w 1"')
    done = triage(tmp_path, wrong, "c.json")
    column = wrong.index('"id"') + 1
    assert done.stderr.startswith(f"c.json:1:{column}: "), done.stderr


def test_pipes_and_devices_as_cases(tmp_path):
    """Neither waits for a writer nor reads without end."""
    os.mkfifo(tmp_path / "pipe.yaml")
    (tmp_path / "zero.yaml").symlink_to("/dev/zero")
    rules = ("--rules", str(SMALL_RULES))
    done = run("triage", "pipe.yaml", "zero.yaml", *rules, cwd=tmp_path)
    assert done.returncode == 2
    assert done.stderr.splitlines() == [
        "pipe.yaml: is a pipe, not a regular file; expected a readable file",
        "zero.yaml: is a device, not a regular file; expected a readable file",
    ]
    done = run("batch", ".", *rules, cwd=tmp_path)
    assert done.returncode == 2
    assert "pipe.yaml: is a pipe" in done.stderr
    assert "zero.yaml: is a device" in done.stderr


def test_a_pipe_in_a_rules_folder(tmp_path):
    """It is told like any other file that cannot be read."""
    (tmp_path / "rules" / "load_paths").mkdir(parents=True)
    os.mkfifo(tmp_path / "rules" / "load_paths" / "a.yaml")
    done = run("rules", "check", "--rules", "rules", cwd=tmp_path)
    assert done.returncode == 2
    assert "a.yaml: is a pipe, not a regular file" in done.stderr


@pytest.mark.parametrize(
    "arguments",
    [
        ("span", "--spacing", "9" * 400),
        ("span", "--spacing", "9" * 5000 + " in"),
        ("beam", "--opening", "9" * 400),
        ("beam", "--opening", "1 " * 4000),
    ],
)
def test_sizes_on_the_command_line(tmp_path, arguments):
    done = run(*arguments, cwd=tmp_path)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr


def test_without_a_home(monkeypatch):
    """A user number that no account has, as in a container, gets a folder all the same."""

    def nobody():
        raise RuntimeError("Could not determine home directory.")

    monkeypatch.delenv("XDG_STATE_HOME", raising=False)
    monkeypatch.setattr(Path, "home", nobody)
    found = user_folder("XDG_STATE_HOME", ".local", "state")
    assert found.is_absolute()
    assert f"walltriage-of-{os.getuid()}" in found.parts


def test_output_that_goes_nowhere(tmp_path):
    """A full disk behind stdout is told."""
    with open("/dev/full", "w") as full:
        done = run(
            "span", "--help", cwd=tmp_path, stdout=full, stderr=subprocess.PIPE,
        )  # fmt: skip
    assert done.returncode == 2
    assert done.stderr == "output: no space left on device; give another place\n"


@pytest.mark.parametrize(
    ("command", "closed"),
    [
        ("triage c.yaml", ">&-"),
        ("triage c.yaml", "<&- >&- 2>&-"),
        ("batch c.yaml", ">&- 2>&-"),
        ("report c.yaml --out r.md", ">&-"),
    ],
)
def test_a_closed_stream(tmp_path, command, closed):
    """A stream that the shell closed is no traceback, and no file is written into in its place."""
    case = "schema: walltriage/case/1\nwalls: [{id: w1, answers: {}}]\n"
    (tmp_path / "c.yaml").write_text(case)
    done = subprocess.run(
        ["sh", "-c", f"'{sys.executable}' -m walltriage {command} {closed}"],
        capture_output=True, text=True, cwd=tmp_path, check=False,
        env={name: os.environ[name] for name in ("PATH", "XDG_CACHE_HOME")}
        | {"PYTHONPATH": os.pathsep.join(sys.path)},
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert "Traceback" not in done.stderr
    assert (tmp_path / "c.yaml").read_text() == case


LONG = "x" * 300


@pytest.mark.parametrize(
    "arguments",
    [
        ("report", "c.yaml", "--out", f"{LONG}.html"),
        ("batch", "c.yaml", "--out", f"{LONG}.csv"),
        ("batch", "c.yaml", "--out", f"{'x' * 250}.csv"),
        ("triage", f"{LONG}.yaml"),
        ("rules", "check", "--rules", LONG),
        ("rules", "catalogue", "--out", LONG),
    ],
)
def test_names_too_long_for_a_file(tmp_path, arguments):
    (tmp_path / "c.yaml").write_text(HEAD + "walls: [{id: w1}]\n")
    done = run(*arguments, cwd=tmp_path)
    assert done.returncode == 2
    assert "name too long" in done.stderr
    assert "Traceback" not in done.stderr
