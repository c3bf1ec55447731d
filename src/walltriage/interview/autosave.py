"""Where an interview is kept while it runs, and how an unfinished one is found again."""

from __future__ import annotations

import hashlib
import os
import re
import unicodedata
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from walltriage.case.model import Case
from walltriage.case.write import write_case
from walltriage.errors import InputError, Problem
from walltriage.files import clear_folder, read_bytes
from walltriage.folders import user_folder

if TYPE_CHECKING:
    from walltriage.case.read import Catalogue

_MOST_OFFERED = 8
_DEVICE = re.compile("con|prn|aux|nul|com[0-9]|lpt[0-9]")  # no names of files on Windows


@dataclass(frozen=True, slots=True)
class Unfinished:
    """An interview that was left before its end."""

    keeper: Keeper
    case: Case
    saved: float

    @property
    def path(self) -> Path:
        return self.keeper.path


def state_folder() -> Path:
    """``$XDG_STATE_HOME/walltriage``, else under ``~/.local/state``."""
    return user_folder("XDG_STATE_HOME", ".local", "state")


def any_kept(folder: Path) -> bool:
    """Whether there is anything to look through for unfinished interviews."""
    return folder.is_dir() and any(folder.glob("*.yaml"))


def unfinished(folder: Path, questions: Catalogue) -> tuple[list[Unfinished], list[InputError]]:
    """Unfinished interviews, newest first, and what is wrong with files that cannot be read."""
    from walltriage.case.read import read_case

    clear_folder(folder)
    found, wrong = [], []
    for path in sorted(folder.glob("*.yaml")) if any_kept(folder) else ():
        try:
            status = path.stat()
            if status.st_size == 0:  # ended before the first page was answered
                continue
            keeper = Keeper(path)
            case, saved = read_case(path, questions), status.st_mtime
        except FileNotFoundError:  # finished elsewhere meanwhile
            continue
        except InputError as error:
            wrong.append(error)
        else:
            if case.outcome is None:
                found.append(Unfinished(keeper, case, saved))
    found.sort(key=lambda item: (-item.saved, item.path.name))
    return found[:_MOST_OFFERED], wrong


def check_place(path: Path) -> None:
    """:class:`InputError` when no file could be made at ``path``."""
    folder = path.parent
    if not folder.is_dir() or not os.access(folder, os.W_OK):
        what = "not a folder that can be written to"
        raise InputError(Problem(str(folder), 0, 0, what, "give another place to --save"))


class ChangedElsewhere(InputError):  # noqa: N818 - told as what happened
    """The file was written by another program since this one last read or wrote it."""

    def __init__(self, path: Path) -> None:
        self.path = path
        what = "was changed by another program in the meantime"
        super().__init__(Problem(str(path), 0, 0, what, "give another name"))


class Keeper:
    """Writes one case to one file, again and again; never over somebody else's file.

    Made before the case is read: what another program writes from then on is not lost.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self._known = _digest(path)

    @classmethod
    def new(cls, path: Path) -> Keeper:
        """Keep a new interview at ``path``; :class:`InputError` when something is there."""
        try:
            os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
        except FileExistsError:
            expected = f"give another name, or pick it up: --resume {path}"
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

    @classmethod
    def beside(cls, path: Path) -> Keeper:
        """Keep an interview in a new file in the same folder, under a name much like this one."""
        return cls.new(free_name(path.parent, path.stem))

    def save(self, case: Case) -> None:
        """Write the case in one step.

        Raises :class:`InputError` when that fails, :class:`ChangedElsewhere` when the file is
        no longer as this program left it; the old file then stays.  A file that has gone is
        written anew.
        """
        if _digest(self.path) not in (self._known, None):
            raise ChangedElsewhere(self.path)
        write_case(self.path, case)
        self._known = _digest(self.path)

    def discard(self) -> None:
        """Remove the file."""
        self.path.unlink(missing_ok=True)


def _digest(path: Path) -> bytes | None:
    """Of what a file holds; None when there is none."""
    try:
        return hashlib.sha256(read_bytes(path)).digest()
    except InputError:
        return None


def free_name(folder: Path, name: str) -> Path:
    """A ``.yaml`` file in ``folder`` that does not exist yet, named after the case.

    Letters of any script stay, those with accents without them, so that the name can be typed.
    """
    apart = unicodedata.normalize("NFKD", name.lower())
    plain = "".join(letter for letter in apart if not unicodedata.combining(letter))
    slug = re.sub(r"[\W_]+", "-", plain).strip("-")[:40] or "house"
    if _DEVICE.fullmatch(slug):
        slug = f"{slug}-house"
    path, number = folder / f"{slug}.yaml", 2
    while path.exists():
        path, number = folder / f"{slug}-{number}.yaml", number + 1
    return path
