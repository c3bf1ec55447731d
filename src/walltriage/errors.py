"""Mistakes a person can make, each told with its place and its remedy.

Everything a user can get wrong ends in :class:`InputError`; the command line
turns it into one message per problem on stderr and exit status 2.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from difflib import get_close_matches


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

    def __str__(self) -> str:
        place = f"{self.path}:{self.line}:{self.column}" if self.line else self.path
        tail = f"; {self.expected}" if self.expected else ""
        return f"{place}: {self.what}{tail}"


class InputError(Exception):
    """Bad input: one or more :class:`Problem`, reported all at once."""

    def __init__(self, problems: Problem | Iterable[Problem]) -> None:
        found = (problems,) if isinstance(problems, Problem) else tuple(problems)
        self.problems: tuple[Problem, ...] = tuple(sorted(found))
        super().__init__("\n".join(str(problem) for problem in self.problems))

    def __iter__(self) -> Iterator[Problem]:
        return iter(self.problems)


class QuantityError(ValueError):
    """A length, load or stress that cannot be read; the text says what would be."""


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """Return `` (did you mean 'x'?)`` for a near miss, else an empty string."""
    near = get_close_matches(str(word), list(known), n=1, cutoff=0.6)
    return f" (did you mean '{near[0]}'?)" if near else ""
