"""Files read and written so that nothing hangs, nothing grows without end and nothing is lost.

Only regular files are read and replaced: a pipe, a device or a folder is refused at once.
A file is replaced in one step, by way of a temporary one beside it; those that a killed
program left are taken away when the same file is written next.
"""

from __future__ import annotations

import atexit
import contextlib
import errno
import os
import re
import shutil
import stat
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import islice
from pathlib import Path
from typing import BinaryIO

from walltriage.errors import InputError, Problem, did_you_mean, refuse

try:
    import fcntl
except ImportError:  # Windows: there a file that is open cannot be taken away anyhow
    fcntl = None  # type: ignore[assignment]

MOST_BYTES = 1 << 20  # of one file that is read whole; a case of 500 walls takes half
_SUFFIX = ".unfinished"
_LOCK = ".held"
_TRIES = 5
_LOOKED_AT = 500  # names in a folder among which a mistyped one is sought


@contextmanager
def opened(path: Path) -> Iterator[BinaryIO]:
    """A regular file to read; :class:`OSError` for anything else, and it never waits."""
    # without O_NONBLOCK a pipe would wait for somebody to write into it
    flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
    try:
        handle = os.open(path, flags)
    except ValueError:  # a NUL in the name
        raise OSError(0, "no name of a file") from None
    with os.fdopen(handle, "rb", closefd=True) as file:
        what = not_regular(os.fstat(file.fileno()))
        if what:
            raise OSError(0, f"is {what}, not a regular file")
        yield file


def read_bytes(path: Path, most: int = MOST_BYTES) -> bytes:
    """All bytes of a regular file; :class:`InputError` for any other, or for more than ``most``."""
    try:
        with opened(path) as file:
            return bytes_of(file, str(path), most)
    except OSError as error:
        what = reason(error, "cannot be read") + _near(path, error)
        raise refuse(path, what, "expected a readable file") from None


def bytes_of(file: BinaryIO, name: str, most: int = MOST_BYTES) -> bytes:
    """All bytes of an open file called ``name``; :class:`InputError` for more than ``most``."""
    data = file.read(most + 1)
    if len(data) > most:
        raise refuse(name, f"more than {most:,} bytes", "expected a file of a few kilobytes")
    return data


def _near(path: Path, error: OSError) -> str:
    """A file of nearly that name in the same folder, where there is none of this name."""
    if not isinstance(error, FileNotFoundError):
        return ""
    try:
        with os.scandir(path.parent) as there:
            names = [entry.name for entry in islice(there, _LOOKED_AT)]
    except OSError:
        return ""
    return did_you_mean(path.name, names)


def not_regular(status: os.stat_result) -> str:
    """What a thing is that is no regular file; an empty text for one that is."""
    kinds = {
        stat.S_IFREG: "", stat.S_IFDIR: "a folder", stat.S_IFIFO: "a pipe",
        stat.S_IFCHR: "a device", stat.S_IFBLK: "a device", stat.S_IFSOCK: "a socket",
    }  # fmt: skip
    return kinds.get(stat.S_IFMT(status.st_mode), "something else")


def reason(error: OSError, otherwise: str = "cannot be written") -> str:
    """Why a file could not be used, in lower case."""
    return (error.strerror or otherwise).lower()


def write_text(path: Path, text: str) -> None:
    """:func:`write_bytes` of the text in UTF-8."""
    write_bytes(path, text.encode("utf-8"))


def write_bytes(path: Path, content: bytes) -> None:
    """Replace ``path`` with ``content`` in one step, readable by the owner alone.

    Raises :class:`InputError` when the folder is missing or not writable, when the disk is
    full, and where something stands that is not a regular file; the old file then stays as
    it was.
    """
    with replacing(path) as file:
        file.write(content)


@contextmanager
def replacing(path: Path) -> Iterator[BinaryIO]:
    """A new file to write, put in the place of ``path`` at the end; errors as for write_bytes."""
    temporary = ""
    try:
        target = _target(path)
        if target not in _CLEARED:
            _CLEARED.add(target)
            clear_leftovers(target)
        file, temporary = _temporary(target)
        with file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        Path(temporary).replace(target)
        temporary = ""
        _settle(target.parent)
    except OSError as error:
        problem = Problem.about(path, f"cannot be written: {reason(error)}", _ELSEWHERE)
        raise InputError(problem) from None
    finally:
        if temporary:
            with contextlib.suppress(OSError):
                Path(temporary).unlink()


_ELSEWHERE = "give another place"
_CLEARED: set[Path] = set()  # looked after once in a run of the program


def _target(path: Path) -> Path:
    """Where the file itself is, behind any links; :class:`OSError` for what is no regular file."""
    try:
        target = path.resolve()
        what = not_regular(target.stat())
    except FileNotFoundError:
        return target
    except RuntimeError:  # links in a circle, as Python 3.11 and 3.12 tell it
        raise OSError(errno.ELOOP, os.strerror(errno.ELOOP)) from None
    except ValueError:  # a NUL in the name
        raise OSError(0, "no name of a file") from None
    if what:
        raise OSError(0, f"is {what}, not a regular file")
    return target


def _settle(folder: Path) -> None:
    """Have the folder on disk too, where that can be asked for."""
    if fcntl is None:
        return
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _prefix(target: Path) -> str:
    """How temporary files for ``target`` begin; short enough for any file system."""
    return f".{os.fsencode(target.name)[:60].decode(errors='ignore')}."


def _temporary(target: Path) -> tuple[BinaryIO, str]:
    """A new file beside ``target``, locked for as long as it is open."""
    return _locked(_prefix(target), _SUFFIX, str(target.parent))


def _locked(prefix: str, suffix: str, folder: str) -> tuple[BinaryIO, str]:
    """A new file with a name of its own, locked for as long as it is open."""
    for _ in range(_TRIES):
        handle, name = tempfile.mkstemp(prefix=prefix, suffix=suffix, dir=folder)
        file = os.fdopen(handle, "wb")
        if fcntl is None:
            return file, name
        with contextlib.suppress(OSError):  # a file system without locks
            fcntl.flock(file, fcntl.LOCK_EX)
        if os.fstat(file.fileno()).st_nlink:  # else it was taken for a leftover in between
            return file, name
        file.close()
    raise OSError(0, "another program takes our files away")


def clear_leftovers(target: Path) -> None:
    """Take away what a killed program left beside ``target``; what is still being written stays."""
    # what tempfile puts between
    ours = re.compile(re.escape(_prefix(target)) + "[a-z0-9_]{8}" + re.escape(_SUFFIX))
    with contextlib.suppress(OSError):
        for name in os.listdir(target.parent):
            if ours.fullmatch(name):
                _take_away(target.with_name(name))


def clear_folder(folder: Path) -> None:
    """:func:`clear_leftovers` of every file in a folder that is this program's own."""
    with contextlib.suppress(OSError):
        for name in os.listdir(folder):
            if name.startswith(".") and name.endswith(_SUFFIX):
                _take_away(folder / name)


def _take_away(path: Path) -> None:
    with contextlib.suppress(OSError):
        if fcntl is None:
            path.unlink()
            return
        with opened(path) as file:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
            path.unlink()


@contextmanager
def scratch_folder() -> Iterator[Path]:
    """A folder that goes away; those of killed programs go now."""
    folder = held_folder()
    try:
        yield folder
    finally:
        _release(folder)


_HELD: dict[Path, BinaryIO] = {}  # open, and so locked, until the folder goes
_SCRATCH = "walltriage-"


def held_folder() -> Path:
    """A new temporary folder, known to be in use until the program ends; then it goes away.

    The lock beside it is there before the folder, so that a program killed at any moment
    leaves nothing that the next one would not know for a leftover.
    """
    _clear_scratch()
    file, name = _locked(_SCRATCH, _LOCK, tempfile.gettempdir())
    folder = Path(name.removesuffix(_LOCK))
    _HELD[folder] = file
    atexit.register(_release, folder)
    folder.mkdir(mode=0o700)
    return folder


def _release(folder: Path) -> None:
    shutil.rmtree(folder, ignore_errors=True)
    file = _HELD.pop(folder, None)
    if file is not None:
        file.close()
        with contextlib.suppress(OSError):
            folder.with_name(folder.name + _LOCK).unlink()


def _clear_scratch() -> None:
    if fcntl is None:
        return
    with contextlib.suppress(OSError):
        for name in os.listdir(tempfile.gettempdir()):
            if not (name.startswith(_SCRATCH) and name.endswith(_LOCK)):
                continue
            with contextlib.suppress(OSError):
                lock = Path(tempfile.gettempdir(), name)
                if lock.lstat().st_uid == os.getuid():
                    with opened(lock) as file:
                        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
                        shutil.rmtree(str(lock).removesuffix(_LOCK), ignore_errors=True)
                        lock.unlink()
