"""Where an interview is kept while it runs, and how an unfinished one is found again."""

from __future__ import annotations

import os
import re
from dataclasses import dataclass
from pathlib import Path

from walltriage.case.model import Case
from walltriage.case.read import Catalogue, read_case
from walltriage.case.write import write_case
from walltriage.errors import InputError, Problem

_MOST_OFFERED = 8


@dataclass(frozen=True, slots=True)
class Unfinished:
    """An interview that was left before its end."""

    path: Path
    case: Case
    saved: float


def state_folder() -> Path:
    """``$XDG_STATE_HOME/walltriage``; a relative value is ignored, as that standard asks."""
    given = Path(os.environ.get("XDG_STATE_HOME", ""))
    home = given if given.is_absolute() else Path.home() / ".local" / "state"
    return home / "walltriage"


def any_kept(folder: Path) -> bool:
    """Whether there is anything to look through for unfinished interviews."""
    return folder.is_dir() and any(folder.glob("*.yaml"))


def unfinished(folder: Path, questions: Catalogue) -> tuple[list[Unfinished], list[InputError]]:
    """Unfinished interviews, newest first, and what is wrong with files that cannot be read."""
    found, wrong = [], []
    for path in sorted(folder.glob("*.yaml")) if any_kept(folder) else ():
        try:
            status = path.stat()
            if status.st_size == 0:  # ended before the first page was answered
                continue
            case, saved = read_case(path, questions), status.st_mtime
        except FileNotFoundError:  # finished elsewhere meanwhile
            continue
        except InputError as error:
            wrong.append(error)
        else:
            if case.outcome is None:
                found.append(Unfinished(path, case, saved))
    found.sort(key=lambda item: (-item.saved, item.path.name))
    return found[:_MOST_OFFERED], wrong


def check_place(path: Path) -> None:
    """:class:`InputError` when no file could be made at ``path``."""
    folder = path.parent
    if not folder.is_dir() or not os.access(folder, os.W_OK):
        what = "not a folder one can write to"
        raise InputError(Problem(str(folder), 0, 0, what, "give another place to --save"))


class Keeper:
    """Writes one case to one file, again and again; never over somebody else's file."""

    def __init__(self, path: Path) -> None:
        self.path = path

    @classmethod
    def new(cls, path: Path) -> Keeper:
        """Keep a new interview at ``path``; :class:`InputError` when something is there."""
        try:
            os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
        except FileExistsError:
            expected = f"give another name, or go on with it: --resume {path}"
            raise InputError(Problem(str(path), 0, 0, "already there", expected)) from None
        except OSError as error:
            reason = (error.strerror or "not writable").lower()
            problem = Problem(str(path), 0, 0, f"cannot be written: {reason}", "give --save FILE")
            raise InputError(problem) from None
        return cls(path)

    @classmethod
    def new_in(cls, folder: Path, name: str) -> Keeper:
        """Keep a new interview in the state folder, under a file name of its own."""
        try:
            folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        except OSError as error:
            reason = (error.strerror or "not writable").lower()
            problem = Problem(str(folder), 0, 0, f"cannot be made: {reason}", "give --save FILE")
            raise InputError(problem) from None
        return cls.new(free_name(folder, name))

    def save(self, case: Case) -> None:
        """Write the case in one step; :class:`InputError` when that fails, the old file stays."""
        write_case(self.path, case)

    def discard(self) -> None:
        """Remove the file."""
        self.path.unlink(missing_ok=True)


def free_name(folder: Path, name: str) -> Path:
    """A ``.yaml`` file in ``folder`` that does not exist yet, named after the case."""
    slug = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:40] or "house"
    path, number = folder / f"{slug}.yaml", 2
    while path.exists():
        path, number = folder / f"{slug}-{number}.yaml", number + 1
    return path
