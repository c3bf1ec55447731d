"""A cache of rules already read and checked, so that a command need not parse them again.

Plain JSON in the user's cache folder, under a name that is a digest of everything it
depends on: the rules' bytes, their place, and the code that reads and checks them.  A
file that is damaged, of another form, or writable by somebody else is as good as none.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import stat
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from walltriage.errors import InputError
from walltriage.files import clear_folder, opened, write_text
from walltriage.folders import user_folder

FORM = "walltriage/kept-rules/1"
MOST_CACHED = 4  # files; the oldest goes first
_PACKAGE = Path(__file__).resolve().parents[1]


@dataclass(frozen=True, slots=True)
class CachedRules:
    """Data of every rule file by its name in the folder, and where each id is defined."""

    files: dict[str, Any]
    places: dict[str, tuple[str, int, int]]


def cache_folder() -> Path:
    """Where the cache is: ``$XDG_CACHE_HOME/walltriage``, else under ``~/.cache``."""
    return user_folder("XDG_CACHE_HOME", ".cache")


def key(folder: Path, rules_sha256: str) -> str:
    """The digest under which the rules in ``folder`` are cached by this very program."""
    digest = hashlib.sha256(f"{FORM}\0{rules_sha256}\0{folder}\0{sys.version}\0".encode())
    for path in sorted([*_PACKAGE.glob("*.py"), *(_PACKAGE / "knowledge").rglob("*.py")]):
        digest.update(path.read_bytes())
    return digest.hexdigest()


def read(place: Path, name: str) -> CachedRules | None:
    """What is cached under a key; None when nothing is, or nothing that can be trusted."""
    try:
        with opened(place / f"{name}.json") as file:
            if not _ours_alone(os.fstat(file.fileno())):
                return None
            data = json.loads(file.read())
        if data["form"] != FORM or data["key"] != name or not isinstance(data["files"], dict):
            return None
        places = {
            str(entry): (str(path), int(line), int(column))
            for entry, (path, line, column) in data["places"].items()
        }
        return CachedRules(data["files"], places)
    except (OSError, ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return None


def _ours_alone(about: os.stat_result) -> bool:
    """Whether nobody else can have written a file; where files have no owner, that is not asked."""
    if not hasattr(os, "getuid"):  # Windows: a profile folder is closed to other users
        return True
    return about.st_uid == os.getuid() and not about.st_mode & (stat.S_IWGRP | stat.S_IWOTH)


def write(place: Path, name: str, rules: CachedRules) -> None:
    """Cache checked rules, if the folder lets us; data that JSON would change is left out."""
    text = json.dumps({"form": FORM, "key": name, "files": rules.files, "places": rules.places})
    if json.loads(text)["files"] != rules.files:
        return
    with contextlib.suppress(OSError, InputError):
        place.mkdir(mode=0o700, parents=True, exist_ok=True)
        clear_folder(place)
        write_text(place / f"{name}.json", text)
        found = sorted(place.glob("*.json"), key=lambda path: path.stat().st_mtime)
        for old in found[:-MOST_CACHED]:
            old.unlink(missing_ok=True)
