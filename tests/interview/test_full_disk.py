"""A disk that is really full, at each page of each write in turn: told, and nothing lost.

The disk is a small tmpfs where one may mount it; elsewhere the kernel refuses each file to grow
beyond a limit, which fails the same write calls.
"""

from __future__ import annotations

import re
import resource
import shutil
import subprocess
import sys
from contextlib import contextmanager
from pathlib import Path

import pytest
import yaml

from tests import forked
from tests.interview.person import SMALL_RULES
from tests.kill import RELATIONS, TYPED, ForkedPerson, environment
from walltriage.bulk import blocks

PAGE, SECTOR = 4096, 512
PAGES = 64
NO_ROOM = re.compile(r"no\s+space\s+left\s+on\s+device|file\s+too\s+large")


class Disk:
    """A folder where only so much more can be written."""

    def __init__(self, folder: Path, real: bool) -> None:
        self.folder, self.real = folder, real
        self.filler = folder / "filler"
        self.least = 0 if real else 1  # what is said is itself in a file that may grow so far

    @contextmanager
    def room(self, pages: int, of: int = 0):
        """Only so many pages are left, or a file of that process may have so many sectors."""
        if self.real:
            with self.filler.open("wb", buffering=0) as file:
                while True:
                    try:
                        file.write(bytes(PAGE))
                    except OSError:
                        break
                file.truncate((file.tell() // PAGE - pages) * PAGE)
            try:
                yield
            finally:
                self.filler.unlink()
            return
        soft, hard = resource.prlimit(of, resource.RLIMIT_FSIZE)
        resource.prlimit(of, resource.RLIMIT_FSIZE, (pages * SECTOR, hard))
        try:
            yield
        finally:
            resource.prlimit(of, resource.RLIMIT_FSIZE, (soft, hard))


@pytest.fixture
def disk(tmp_path):
    folder = tmp_path / "disk"
    folder.mkdir()
    mount = ("mount", "-t", "tmpfs", "-o", f"size={PAGES * PAGE}", "tmpfs", str(folder))
    real = bool(shutil.which("mount")) and not subprocess.run(
        mount, capture_output=True, check=False
    ).returncode  # fmt: skip
    try:
        yield Disk(folder, real)
    finally:
        if real:
            subprocess.run(("umount", str(folder)), check=True)


@pytest.fixture
def home(tmp_path):
    forked.warm_up()
    (tmp_path / "home" / "tmp").mkdir(parents=True)
    return tmp_path / "home"


def run(home, *arguments, fresh=False):
    """The program's exit status, and all it said; ``fresh`` in a process of its own."""
    if fresh:
        with (home / "said").open("w") as said:
            ended = subprocess.run(
                (sys.executable, "-m", "walltriage", *arguments, "--rules", str(SMALL_RULES)),
                cwd=home, env=environment(home), stdin=subprocess.DEVNULL, stdout=said,
                stderr=said, timeout=60, check=False,
            )  # fmt: skip
        return ended.returncode, (home / "said").read_text()
    pid = forked.start(home, environment(home), *arguments, "--rules", str(SMALL_RULES))
    return forked.ended_within(pid, 60), (home / "said").read_text()


def left_in(disk):
    return sorted(path.name for path in disk.folder.iterdir() if path != disk.filler)


def test_a_batch_on_a_full_disk_goes_on_when_there_is_room(disk, home, monkeypatch):
    """Refused, wherever the room ends; the old table stays; resumed, the same bytes come."""
    monkeypatch.setattr(blocks, "BLOCK_BYTES", 4 << 10)
    lines = (
        f'{{"schema": "walltriage/case/1", "name": "c{n}", "walls": [{{"id": "w1", "answers":'
        f' {{"above_wall": "attic"}}}}]}}\n'
        for n in range(240)
    )
    (home / "c.jsonl").write_text("".join(lines))
    whole, out = home / "whole.csv", disk.folder / "o.csv"
    assert run(home, "batch", "c.jsonl", "--out", str(whole))[0] == 0
    refused = 0
    for pages in range(disk.least, PAGES // 2):
        out.write_bytes(b"old")
        with disk.room(pages):
            status, said = run(home, "batch", "c.jsonl", "--out", str(out))
        if status == 0:
            break
        refused += 1
        assert status == 2, said
        assert NO_ROOM.search(said), said
        assert "Traceback" not in said
        assert out.read_bytes() == b"old"
        status, said = run(home, "batch", "c.jsonl", "--out", str(out), "--resume")
        assert status == 0, said
        assert out.read_bytes() == whole.read_bytes()
        assert left_in(disk) == ["o.csv"]
    assert refused >= 3
    assert out.read_bytes() == whole.read_bytes()


@pytest.mark.parametrize("form", ["html", "pdf", "md", "json"])
def test_a_report_on_a_full_disk_leaves_the_old_one(disk, home, form):
    (home / "c.yaml").write_text("schema: walltriage/case/1\nname: a\nwalls: [{id: w1}]\n")
    out = disk.folder / f"c.{form}"
    pages = disk.least
    while True:
        out.write_bytes(b"old")
        with disk.room(pages):
            # the threads that set a PDF do not live on in a fork
            words = ("report", "c.yaml", "--force", "--out", str(out))
            status, said = run(home, *words, fresh=form == "pdf")
        assert left_in(disk) == [out.name]
        if status == 0:
            break
        assert status == 2, said
        assert NO_ROOM.search(said), said
        assert out.read_bytes() == b"old"
        pages += 1 if pages < 3 else 8
    assert pages > disk.least


def test_an_interview_on_a_full_disk_tells_and_catches_up(disk, home):
    """Each answer that could not be kept is told; all are kept as soon as there is room."""
    rules = home / "planned"
    shutil.copytree(SMALL_RULES, rules)
    (rules / "relations.yaml").write_text(RELATIONS)
    path = disk.folder / "a.yaml"
    person = ForkedPerson(home, "--for", "trade", "--save", str(path), rules=rules)
    person.at_prompt()
    for line in TYPED[:4]:
        person.type("a" if line == "?" else line)
    before = path.read_bytes()
    with disk.room(0, person.child.pid):
        for line in TYPED[4:6]:
            assert NO_ROOM.search(person.type(line)), person.shown
            assert path.read_bytes() == before
    person.type(TYPED[6])
    assert len(yaml.safe_load(path.read_text())["drawing"]["replies"]) == 4
    assert left_in(disk) == ["a.yaml"]
    person.kill()
    person.child.close(force=True)
