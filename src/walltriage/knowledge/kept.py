"""Rules already read and checked, kept so that a command need not parse them again.

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
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

FORM = "walltriage/kept-rules/1"
MOST_KEPT = 4  # files; the oldest goes first
_PACKAGE = Path(__file__).resolve().parents[1]


@dataclass(frozen=True, slots=True)
class Kept:
    """Data of every rule file by its name in the folder, and where each id is defined."""

    files: dict[str, Any]
    places: dict[str, tuple[str, int, int]]


def cache_folder() -> Path:
    """Where kept rules lie: ``$XDG_CACHE_HOME/walltriage``, else under ``~/.cache``."""
    given = os.environ.get("XDG_CACHE_HOME", "")
    home = Path(given) if os.path.isabs(given) else Path.home() / ".cache"
    return home / "walltriage"


def key(folder: Path, rules_sha256: str) -> str:
    """The digest under which the rules in ``folder`` are kept by this very program."""
    digest = hashlib.sha256(f"{FORM}\0{rules_sha256}\0{folder}\0{sys.version}\0".encode())
    for path in sorted([*_PACKAGE.glob("*.py"), *(_PACKAGE / "knowledge").rglob("*.py")]):
        digest.update(path.read_bytes())
    return digest.hexdigest()


def read(place: Path, name: str) -> Kept | None:
    """What is kept under a key; None when nothing is, or nothing that can be trusted."""
    try:
        with (place / f"{name}.json").open("rb") as file:
            about = os.fstat(file.fileno())
            if about.st_uid != os.getuid() or about.st_mode & (stat.S_IWGRP | stat.S_IWOTH):
                return None
            data = json.loads(file.read())
        if data["form"] != FORM or data["key"] != name or not isinstance(data["files"], dict):
            return None
        places = {
            str(entry): (str(path), int(line), int(column))
            for entry, (path, line, column) in data["places"].items()
        }
        return Kept(data["files"], places)
    except (OSError, ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return None


def write(place: Path, name: str, kept: Kept) -> None:
    """Keep checked rules, if the folder lets us; data that JSON would change is not kept."""
    text = json.dumps({"form": FORM, "key": name, "files": kept.files, "places": kept.places})
    if json.loads(text)["files"] != kept.files:
        return
    with contextlib.suppress(OSError):
        place.mkdir(mode=0o700, parents=True, exist_ok=True)
        handle, temporary = tempfile.mkstemp(prefix=".", dir=place)  # readable by the owner alone
        try:
            with os.fdopen(handle, "w", encoding="utf-8") as file:
                file.write(text)
            Path(temporary).replace(place / f"{name}.json")
        finally:
            Path(temporary).unlink(missing_ok=True)
        found = sorted(place.glob("*.json"), key=lambda path: path.stat().st_mtime)
        for old in found[:-MOST_KEPT]:
            old.unlink(missing_ok=True)
