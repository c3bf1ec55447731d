"""A cache of knowledge bases already read and checked, so that a command need not do it again.

A pickle in the user's cache folder, under a name that is a digest of everything it depends
on: the rules' bytes, their place, the language they are in, and the code that reads and checks
them.  Nothing but the classes of a knowledge base can come out of it, whatever stands there.  A
file that is damaged, of another form, or writable by somebody else is as good as none.  One
forged with its digest, which takes the user's own rights, can at worst keep the program waiting.
"""

from __future__ import annotations

import contextlib
import hashlib
import io
import os
import pickle
import stat
import sys
from dataclasses import is_dataclass, replace
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from walltriage.entries import Entry
from walltriage.errors import InputError
from walltriage.files import clear_folder, opened, write_bytes
from walltriage.folders import user_folder
from walltriage.knowledge.base import KnowledgeBase

FORM = b"walltriage/kept-rules/3"
MOST_CACHED = 4  # files; the one not used for longest goes first
SUFFIX = ".rules"
_PACKAGE = Path(__file__).resolve().parents[1]
_OURS = "walltriage.knowledge."


def cache_folder() -> Path:
    """Where the cache is: ``$XDG_CACHE_HOME/walltriage``, else under ``~/.cache``."""
    return user_folder("XDG_CACHE_HOME", ".cache")


def key(folder: Path, rules_sha256: str, words: str = "") -> str:
    """The digest under which the rules in ``folder`` are cached by this very program.

    ``words`` tell the language that their texts were put into.
    """
    about = f"{rules_sha256}\0{folder}\0{sys.version}\0{_checker()}\0{words}\0"
    digest = hashlib.sha256(FORM + about.encode())
    for path in sorted([*_PACKAGE.glob("*.py"), *(_PACKAGE / "knowledge").rglob("*.py")]):
        digest.update(path.read_bytes())
    return digest.hexdigest()


def _checker() -> str:
    """The version of what checks the forms, which is not imported to be asked for it."""
    found = find_spec("pydantic")
    assert found is not None
    assert found.origin is not None  # it is installed with this program
    return Path(found.origin).with_name("version.py").read_text(encoding="utf-8")


class _Unpickler(pickle.Unpickler):
    """Knows the classes of a knowledge base, and nothing else that could be called."""

    def find_class(self, module: str, name: str) -> Any:
        found = None
        if module.startswith(_OURS) and "." not in name:
            found = super().find_class(module, name)
        if not isinstance(found, type) or not (issubclass(found, Entry) or is_dataclass(found)):
            raise pickle.UnpicklingError(f"no part of a knowledge base: {module}.{name}")
        return found


def read(place: Path, name: str, folder: Path) -> KnowledgeBase | None:
    """The rules of ``folder`` cached under a key, without anchors; None when nothing is, or
    nothing that can be trusted."""
    try:
        with opened(place / f"{name}{SUFFIX}") as file:
            if not _ours_alone(os.fstat(file.fileno())):
                return None
            first_line, data = file.readline(200), file.read()
        if first_line != head(name, data):
            return None
        with contextlib.suppress(OSError):  # used last, so that it stays
            os.utime(place / f"{name}{SUFFIX}")
        base = _Unpickler(io.BytesIO(data)).load()
        return replace(base, folder=folder) if isinstance(base, KnowledgeBase) else None
    # a pickle that is none can end in anything
    except Exception:
        return None


def head(name: str, data: bytes) -> bytes:
    """The first line: the form, the key, and a digest of what follows."""
    return b"%s %s %s\n" % (FORM, name.encode(), hashlib.sha256(data).hexdigest().encode())


def _ours_alone(about: os.stat_result) -> bool:
    """Whether nobody else can have written a file; where files have no owner, that is not asked."""
    if not hasattr(os, "getuid"):  # Windows: a profile folder is closed to other users
        return True
    return about.st_uid == os.getuid() and not about.st_mode & (stat.S_IWGRP | stat.S_IWOTH)


def write(place: Path, name: str, base: KnowledgeBase) -> None:
    """Cache checked rules, if the folder lets us; where they stand on disk is left out."""
    plain = replace(base, anchors={}, places=dict(base.places), folder=None)  # type: ignore[arg-type]
    data = pickle.dumps(plain, pickle.HIGHEST_PROTOCOL)
    with contextlib.suppress(OSError, InputError):
        place.mkdir(mode=0o700, parents=True, exist_ok=True)
        clear_folder(place)
        write_bytes(place / f"{name}{SUFFIX}", head(name, data) + data)
        found = sorted(place.glob(f"*{SUFFIX}"), key=lambda path: path.stat().st_mtime)
        for old in [*found[:-MOST_CACHED], *place.glob("*.json")]:  # and those of earlier editions
            old.unlink(missing_ok=True)
