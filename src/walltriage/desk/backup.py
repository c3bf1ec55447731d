"""Copies of a running desk's database, and putting one back."""

from __future__ import annotations

import contextlib
import os
import sqlite3
import tempfile
from collections.abc import Iterator
from pathlib import Path

from sqlalchemy import make_url

from walltriage.desk.store import Store
from walltriage.errors import InputError, Problem, refuse
from walltriage.files import reason

_PAGES = 512  # copied at a time, so that clients are not kept waiting


def sqlite_path(url: str) -> Path:
    """The file of an SQLite URL; :class:`InputError` for another kind of database."""
    parts = make_url(url)
    if parts.get_backend_name() != "sqlite" or not parts.database:
        what = "is not a SQLite file"
        expected = "back up PostgreSQL with pg_dump and restore it with pg_restore"
        raise refuse("--database", what, expected)
    return Path(parts.database)


def back_up(url: str, target: Path) -> None:
    """Copy the database to ``target`` while the desk runs, whole or not at all."""
    source = sqlite_path(url)
    if not source.is_file():
        raise refuse(source, "no such database", "give --data FOLDER")
    if target.exists():
        raise refuse(target, "already exists", "give another name")
    with _copied(source, target.parent) as made:
        os.link(made, target)  # fails where another program was faster


def restore(copy: Path, url: str) -> None:
    """Put a copy in the place where no database is yet, and bring it to the current form."""
    target = sqlite_path(url)
    if target.exists():
        raise refuse(target, "already exists", "give a new folder with --data")
    if not copy.is_file():
        raise refuse(copy, "no such file", "expected a backup of a desk")
    with _copied(copy, target.parent) as made:
        store = Store(f"sqlite:///{made}")
        try:
            store.bring_up_to_date()
        finally:
            store.close()
        os.link(made, target)


@contextlib.contextmanager
def _copied(source: Path, folder: Path) -> Iterator[Path]:
    """A checked copy of a database in ``folder``, for as long as the block runs."""
    made = Path()
    try:
        handle, name = tempfile.mkstemp(prefix=".desk-", dir=folder)
        os.close(handle)
        made = Path(name)
        _copy(source, made)
        yield made
    except OSError as error:
        problem = Problem.about(folder, reason(error), "give another place")
        raise InputError(problem) from None
    except sqlite3.Error as error:
        raise refuse(source, f"cannot be copied: {error}", "expected a desk's database") from None
    finally:
        for ending in ("", "-wal", "-shm"):
            with contextlib.suppress(OSError):
                Path(f"{made}{ending}").unlink()


def _copy(source: Path, made: Path) -> None:
    with (
        contextlib.closing(sqlite3.connect(f"{source.resolve().as_uri()}?mode=ro", uri=True)) as a,
        contextlib.closing(sqlite3.connect(made)) as b,
    ):
        a.backup(b, pages=_PAGES)
        (said,) = b.execute("PRAGMA integrity_check").fetchone()
        if said != "ok":
            raise sqlite3.DatabaseError(f"damaged ({said})")
        if not b.execute("SELECT 1 FROM sqlite_master WHERE name = 'houses'").fetchone():
            raise sqlite3.DatabaseError("not a desk database")
    with open(made, "r+b") as file:  # Windows has nothing to bring to the disk of a file only read
        os.fsync(file.fileno())
