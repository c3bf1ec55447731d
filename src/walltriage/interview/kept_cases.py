"""Saved interviews: what there is, found by a word, put away in the archive."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from walltriage.case.model import Case
from walltriage.case.read import Catalogue, read_case
from walltriage.errors import InputError, Problem
from walltriage.interview.autosave import free_name

ARCHIVE = "archive"


@dataclass(frozen=True, slots=True)
class KeptCase:
    """One saved interview."""

    path: Path
    case: Case
    saved: float

    @property
    def day(self) -> str:
        """The day it was saved, as YYYY-MM-DD."""
        return time.strftime("%Y-%m-%d", time.localtime(self.saved))

    @property
    def verdicts(self) -> tuple[str, ...]:
        """What came out for each wall, where it was finished."""
        walls = (self.case.outcome or {}).get("walls", ())
        return tuple(str(w.get("verdict", "")) for w in walls) if isinstance(walls, list) else ()

    def holds(self, word: str) -> bool:
        """Whether a word stands in its name, its walls' names or its file's name."""
        told = [self.case.name, self.path.stem, *(wall.name for wall in self.case.walls)]
        return any(word.casefold() in text.casefold() for text in told)


def kept_cases(folder: Path, questions: Catalogue, word: str = "") -> Iterator[KeptCase]:
    """Saved interviews that hold the word, newest first; files that cannot be read are left out."""
    found = []
    for path in sorted(folder.glob("*.yaml")) if folder.is_dir() else ():
        try:
            if path.stat().st_size:
                found.append(KeptCase(path, read_case(path, questions), path.stat().st_mtime))
        except (InputError, FileNotFoundError):
            continue
    found.sort(key=lambda kept: (-kept.saved, kept.path.name))
    return (kept for kept in found if kept.holds(word))


def kept_file(folder: Path, name: str) -> Path:
    """The file of a saved interview; :class:`InputError` when there is none."""
    path = folder / (name if name.endswith(".yaml") else f"{name}.yaml")
    if path.parent.resolve() != folder.resolve() or not path.is_file():
        expected = "expected the name of a file that 'walltriage cases' lists"
        raise InputError(Problem(name, 0, 0, "no saved interview of this name", expected))
    return path


def archive(folder: Path, name: str) -> Path:
    """Put one saved interview away; its new place.  :class:`InputError` when there is none."""
    path = kept_file(folder, name)
    away = folder / ARCHIVE
    away.mkdir(mode=0o700, exist_ok=True)
    target = free_name(away, path.stem)
    path.rename(target)
    return target
