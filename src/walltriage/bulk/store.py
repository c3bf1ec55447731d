"""Rows kept on disk in sorted runs, merged at the end: any number of rows in little memory.

Every run is also a point to resume from: its folder holds the runs and a note of how
many tasks they cover, of which inputs and rules.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import shutil
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from dataclasses import asdict, dataclass, field, fields
from functools import partial
from pathlib import Path
from typing import Any, BinaryIO

from walltriage.bulk.blocks import Task
from walltriage.bulk.forms import FormName
from walltriage.bulk.runs import runs_of
from walltriage.errors import InputError, Problem
from walltriage.files import MOST_BYTES, opened

RUN_ROWS = 100_000
MOST_OPEN = 64  # runs merged at a time; far below what a process may open
NOTE = "progress.json"


@dataclass(slots=True)
class RunProgress:
    """How far a run has come.

    ``settings`` tells rules and options apart; ``digest`` is of all blocks done, so that
    changed inputs are noticed.
    """

    settings: str
    tasks: int = 0
    runs: int = 0
    cases: int = 0
    walls: int = 0
    bad: int = 0
    digest: str = ""
    moves: dict[str, int] = field(default_factory=dict)


class RunStore:
    """Sorted runs in a folder of their own, of rows in some form."""

    def __init__(self, folder: Path, note: RunProgress, form: FormName = "cells") -> None:
        self.folder, self.note = folder, note
        self.runs = runs_of(form)
        self._rows: list[Any] = []

    @classmethod
    def start(cls, folder: Path, settings: str, form: FormName = "cells") -> RunStore:
        """A new store, in place of any old one; :class:`InputError` if it cannot be written."""
        try:
            _only_ours(folder)
            shutil.rmtree(folder, ignore_errors=True)
            folder.mkdir(parents=False)
        except OSError as error:
            raise _unwritable(folder, error) from None
        return cls(folder, RunProgress(settings), form)

    @classmethod
    def resume(cls, folder: Path, settings: str, form: FormName = "cells") -> RunStore:
        """The store an interrupted run left; :class:`InputError` if it does not fit."""
        try:
            note = _note(folder)
        except FileNotFoundError:
            return cls.start(folder, settings, form)  # interrupted before the first run was kept
        except (OSError, ValueError, TypeError, RecursionError):
            what = "the record of the interrupted run is damaged"
            raise InputError(Problem(str(folder / NOTE), 1, 1, what, _AFRESH)) from None
        if note.settings != settings:
            what = "the interrupted run had other rules or options"
            raise InputError(Problem(str(folder / NOTE), 0, 0, what, _AFRESH))
        return cls(folder, note, form)

    def add(self, rows: Iterable[Any]) -> None:
        """Take rows in; they are safe only after :meth:`keep`."""
        self._rows.extend(rows)

    @property
    def waiting(self) -> int:
        """Rows taken in and not yet kept."""
        return self.runs.count(self._rows)

    def keep(self, tasks: int, digest: str) -> None:
        """Put all rows waiting on disk as one run, and note what is done."""
        try:
            if self._rows:
                path = self._run(self.note.runs)
                _write(path, partial(self.runs.write, self.runs.ordered(self._rows)))
                self.note.runs += 1
            self.note.tasks, self.note.digest = tasks, digest
            self._rows = []
            note = json.dumps(asdict(self.note)).encode()
            _write(self.folder / NOTE, lambda file: file.write(note))
        except OSError as error:
            raise _unwritable(self.folder, error) from None

    def merged(self, most: int | None = None) -> Iterator[Any]:
        """All rows kept, or so many of them, in order; equal keys in the order they came in."""
        runs = [self._run(index) for index in range(self.note.runs)]
        level = 0
        while len(runs) > MOST_OPEN:
            level += 1
            merged = []
            for start in range(0, len(runs), MOST_OPEN):
                path = self.folder / f"level{level}_{start:06d}"
                some = self.runs.merged(runs[start : start + MOST_OPEN])
                _write(path, partial(self.runs.write, some))
                merged.append(path)
            runs = merged
        return self.runs.first(self.runs.merged(runs), most)

    def remove(self) -> None:
        """Take the folder away; the rows have been written elsewhere.

        The note goes first: what is cut short here was no interrupted run, and is done anew.
        """
        with suppress(OSError):
            (self.folder / NOTE).unlink(missing_ok=True)
        shutil.rmtree(self.folder, ignore_errors=True)

    def _run(self, index: int) -> Path:
        return self.folder / f"run{index:06d}"


def _note(folder: Path) -> RunProgress:
    """What an interrupted run noted; :class:`ValueError` or the like when that cannot be."""
    with opened(folder / NOTE) as file:
        note = RunProgress(**json.loads(file.read(MOST_BYTES)))
    for one in fields(RunProgress):
        if type(getattr(note, one.name)) is not type(getattr(RunProgress(""), one.name)):
            raise ValueError(one.name)
    counts = (note.tasks, note.runs, note.cases, note.walls, note.bad, *note.moves.values())
    if not all(type(count) is int and count >= 0 for count in counts):
        raise ValueError("count")
    if not all((folder / f"run{index:06d}").is_file() for index in range(note.runs)):
        raise ValueError("run")
    return note


def _only_ours(folder: Path) -> None:
    """:class:`InputError` when a folder holds anything that no run of a batch left."""
    for name in sorted(os.listdir(folder)) if folder.is_dir() else ():
        if not _OURS.fullmatch(name):
            what = f"holds '{name}', which no batch left"
            raise InputError(Problem(str(folder), 0, 0, what, "give another name to --out"))


_OURS = re.compile(r"progress\.(json|unfinished)|(run|level\d+_)\d{6}(\.unfinished)?")
_AFRESH = "start again without --resume"


def task_digest(before: str, task: Task) -> str:
    """A digest of a task's blocks and all that came before."""
    found = hashlib.blake2b(before.encode(), digest_size=16)
    for block in task:
        # a checksum is four times as quick as a digest of every byte
        place = f"{block.path}\0{block.line}\0{block.size}\0{block.check}\0"
        found.update(place.encode(errors="surrogateescape"))  # a file name need not be text
    return found.hexdigest()


def _write(path: Path, put: Callable[[BinaryIO], object]) -> None:
    """Write a file so that it is either there whole or not at all."""
    unfinished = path.with_suffix(".unfinished")
    with unfinished.open("wb") as file:
        put(file)
        file.flush()
        os.fsync(file.fileno())
    unfinished.replace(path)


def _unwritable(folder: Path, error: OSError) -> InputError:
    reason = (error.strerror or "cannot be written").lower()
    return InputError(Problem(str(folder), 0, 0, f"cannot be written: {reason}", "another place"))
