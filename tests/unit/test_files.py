"""Files: only regular ones are read and replaced, in one step, and nothing is left lying about."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time

import pytest

from walltriage import files
from walltriage.errors import InputError
from walltriage.files import MOST_BYTES, clear_leftovers, read_bytes, replacing, write_bytes


@pytest.fixture(autouse=True)
def _looked_after_once_more(monkeypatch):
    monkeypatch.setattr(files, "_CLEARED", set())


@pytest.fixture(params=["pipe", "device", "folder", "socket", "loop", "missing folder", "nul"])
def odd(request, tmp_path):
    """A place that holds something else than a regular file."""
    path = tmp_path / "x.yaml"
    if request.param == "pipe":
        os.mkfifo(path)
    elif request.param == "device":
        path.symlink_to("/dev/zero")
    elif request.param == "folder":
        path.mkdir()
    elif request.param == "socket":
        with socket.socket(socket.AF_UNIX) as made:
            made.bind(str(path))
    elif request.param == "loop":
        path.symlink_to(path)
    elif request.param == "nul":
        return tmp_path / "a\0b"
    else:
        return tmp_path / "none" / "x.yaml"
    return path


def test_what_is_no_regular_file_is_refused_at_once(odd, request):
    """Neither read nor written over, and nobody waits for the other end of a pipe."""
    started = time.monotonic()
    with pytest.raises(InputError):
        read_bytes(odd)
    with pytest.raises(InputError, match="cannot be written") as refused:
        write_bytes(odd, b"new")
    assert ("symbolic links" in str(refused.value)) == (request.node.callspec.id == "loop")
    assert time.monotonic() - started < 1


def test_too_large_a_file_is_refused(tmp_path):
    path = tmp_path / "x"
    path.write_bytes(b" " * MOST_BYTES)
    assert len(read_bytes(path)) == MOST_BYTES
    path.write_bytes(b" " * (MOST_BYTES + 1))
    with pytest.raises(InputError, match=r"more than 1,048,576 bytes"):
        read_bytes(path)


def test_a_link_stays_and_its_file_is_replaced(tmp_path):
    (tmp_path / "real").write_bytes(b"old")
    (tmp_path / "link").symlink_to("real")
    write_bytes(tmp_path / "link", b"new")
    assert (tmp_path / "link").is_symlink()
    assert (tmp_path / "real").read_bytes() == b"new"


@pytest.mark.parametrize("call", ["write", "fsync", "replace", "mkstemp"])
def test_an_error_at_any_step_leaves_the_old_file(tmp_path, monkeypatch, call):
    """A disk that fills up while writing costs nothing that was there, and leaves nothing."""
    path = tmp_path / "x"
    path.write_bytes(b"old")

    def full(*_, **__):
        raise OSError(28, "No space left on device")

    if call == "fsync":
        monkeypatch.setattr(os, "fsync", full)
    elif call == "mkstemp":
        monkeypatch.setattr(files.tempfile, "mkstemp", full)
    elif call == "replace":
        monkeypatch.setattr(files.Path, "replace", full)

    def write():
        with replacing(path) as file:
            if call == "write":
                full()
            file.write(b"new")

    with pytest.raises(InputError, match="no space left on device"):
        write()
    assert path.read_bytes() == b"old"
    assert [p.name for p in tmp_path.iterdir()] == ["x"]


WRITER = """
import sys, time
from pathlib import Path
from walltriage.files import replacing
with replacing(Path(sys.argv[1])) as file:
    file.write(b"half")
    file.flush()
    print("writing", flush=True)
    time.sleep(60)
"""


def test_what_a_killed_writer_left_goes_and_what_is_being_written_stays(tmp_path):
    path = tmp_path / "x.yaml"
    made = []
    for _ in range(2):
        made.append(
            subprocess.Popen([sys.executable, "-c", WRITER, str(path)], stdout=subprocess.PIPE)
        )
        assert made[-1].stdout.readline() == b"writing\n"
    (tmp_path / ".x.yaml.mine.unfinished").write_bytes(b"somebody else's")
    assert len(list(tmp_path.iterdir())) == 3
    made[0].send_signal(signal.SIGKILL)
    made[0].wait()
    clear_leftovers(path)
    assert len(list(tmp_path.iterdir())) == 2
    made[1].kill()
    made[1].wait()
    write_bytes(path, b"whole")
    assert sorted(p.name for p in tmp_path.iterdir()) == [".x.yaml.mine.unfinished", "x.yaml"]
    for one in made:
        one.stdout.close()


def test_scratch_folders_of_killed_programs_go(tmp_path, monkeypatch):
    """Only those nobody holds any more, and nothing that is not ours."""
    monkeypatch.setattr(files.tempfile, "tempdir", str(tmp_path))
    script = (
        "import time; from walltriage.files import held_folder; print(held_folder(), flush=True);"
        " time.sleep(60)"
    )
    environment = os.environ | {"TMPDIR": str(tmp_path)}
    made = subprocess.Popen(
        [sys.executable, "-c", script], stdout=subprocess.PIPE, env=environment, text=True
    )
    (tmp_path / "walltriage-of-mine").mkdir()
    theirs = made.stdout.readline().strip()
    with files.scratch_folder() as ours:
        assert os.path.isdir(theirs)
        made.kill()
        made.wait()
        made.stdout.close()
        assert ours.is_dir()
        with files.scratch_folder():
            assert not os.path.isdir(theirs)
            assert ours.is_dir()
    assert [p.name for p in tmp_path.iterdir()] == ["walltriage-of-mine"]


@pytest.mark.parametrize("at", ["before the lock", "before the folder", "with files in it"])
def test_a_scratch_folder_given_up_at_any_moment_goes(tmp_path, monkeypatch, at):
    """Killed anywhere in the making of its folder, a program leaves nothing for good."""
    monkeypatch.setattr(files.tempfile, "tempdir", str(tmp_path))
    script = f"""
import os, signal, tempfile
from pathlib import Path
from walltriage import files
def dies(*_, **__):
    os.kill(os.getpid(), signal.SIGKILL)
if {at == "before the lock"}:
    files.fcntl.flock = dies
elif {at == "before the folder"}:
    Path.mkdir = dies
folder = files.held_folder()
(folder / "x").write_text("y")
dies()
"""
    done = subprocess.run(
        [sys.executable, "-c", script], env=os.environ | {"TMPDIR": str(tmp_path)}, check=False
    )
    assert done.returncode == -signal.SIGKILL
    assert any(tmp_path.iterdir())
    with files.scratch_folder():
        pass
    assert list(tmp_path.iterdir()) == []
