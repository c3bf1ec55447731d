"""Mistakes a person can make, each told with its place and its remedy.

Everything a user can get wrong ends in :class:`InputError`; the command line
turns it into one message per problem on stderr and exit status 2.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from difflib import get_close_matches
from functools import lru_cache

from walltriage.language import say
from walltriage.plaintext import printable

LONGEST_NAME = 80  # nobody misspells a name that long
MOST_TOLD = 20  # mistakes of one file; who reads more has the wrong file
MOST_SHOWN = 400  # letters of a message that repeats what somebody wrote
FEW_NAMES = 40  # up to this many every name is compared with what was written


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One mistake at one place.

    ``line`` and ``column`` count from 1; 0 means that the place within the
    file is not known (a file that cannot be opened, a command-line option).
    """

    path: str
    line: int
    column: int
    what: str
    expected: str = ""

    @classmethod
    def about(cls, path: object, what: str, expected: str = "") -> Problem:
        """A mistake in a file, folder or option as a whole: there is no place within it."""
        return cls(str(path), 0, 0, what, expected)

    def __str__(self) -> str:
        place = f"{self.path}:{self.line}:{self.column}" if self.line else self.path
        what = self.what
        if len(what) > MOST_SHOWN:
            what = f"{what[: MOST_SHOWN // 2]} ... {what[-MOST_SHOWN // 2 :]}"
        tail = f"; {self.expected}" if self.expected else ""
        return printable(f"{place}: {what}{tail}")


class InputError(Exception):
    """Bad input: one or more :class:`Problem`, reported all at once."""

    def __init__(self, problems: Problem | Iterable[Problem]) -> None:
        found = (problems,) if isinstance(problems, Problem) else tuple(problems)
        self.problems: tuple[Problem, ...] = tuple(_first_of_each(sorted(found)))
        super().__init__("\n".join(str(problem) for problem in self.problems))

    def __iter__(self) -> Iterator[Problem]:
        return iter(self.problems)


def refuse(path: object, what: str, expected: str = "") -> InputError:
    """For ``raise``: one mistake in a file, folder, option or input as a whole."""
    return InputError(Problem.about(path, what, expected))


def _first_of_each(problems: list[Problem]) -> Iterator[Problem]:
    """The first mistakes of each file, and how many more there are."""
    every, shown = Counter(problem.path for problem in problems), Counter[str]()
    for problem in problems:
        shown[problem.path] += 1
        more = every[problem.path] - MOST_TOLD
        if shown[problem.path] <= MOST_TOLD or more == 1:  # one more, or how many, is as long
            yield problem
        elif shown[problem.path] == MOST_TOLD + 1:
            what = f"{more:,} more mistakes from here on"
            yield Problem(problem.path, problem.line, problem.column, what)


class QuantityError(ValueError):
    """A length, load or stress that cannot be read; the text says what would be."""


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """Return `` (did you mean 'x'?)`` for a near miss, else an empty string."""
    near = _nearest(str(word), tuple(known)) if len(str(word)) <= LONGEST_NAME else ""
    return say(" (did you mean '{near}'?)", near=near) if near else ""


@lru_cache(maxsize=4096)
def _nearest(word: str, known: tuple[str, ...]) -> str:
    # comparing with each of hundreds of names takes too long when hundreds are misspelt
    if len(known) > FEW_NAMES:
        slips, parts = _index(known)
        for cut in _cuts(word):
            if cut in slips:
                return slips[cut]
        shared = Counter(name for part in word.split("_") for name in parts.get(part, ()))
        known = tuple(name for name, _ in shared.most_common(FEW_NAMES // 4))
    return next(iter(get_close_matches(word, known, n=1, cutoff=0.6)), "")


@lru_cache(maxsize=8)
def _index(known: tuple[str, ...]) -> tuple[dict[str, str], dict[str, list[str]]]:
    """Names by each form they take with one letter or none left out, and by their parts."""
    slips: dict[str, str] = {}
    parts: dict[str, list[str]] = {}
    for name in known:
        for cut in _cuts(name):
            slips.setdefault(cut, name)
        for part in name.split("_"):
            parts.setdefault(part, []).append(name)
    return slips, parts


def _cuts(word: str) -> list[str]:
    return [word, *(word[:i] + word[i + 1 :] for i in range(len(word)))]
