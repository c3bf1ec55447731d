"""What a lint is, and how a list of them is run."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from types import ModuleType
from typing import Literal

from walltriage.errors import Problem
from walltriage.knowledge.base import KnowledgeBase

Severity = Literal["error", "warning"]
Check = Callable[[KnowledgeBase], Iterable[Problem]]


@dataclass(frozen=True, slots=True)
class Lint:
    """One check.

    ``check`` yields a problem for each finding and needs to say only what is wrong and
    where; the lint's id and its remedy are added to what it yields.
    """

    id: str
    severity: Severity
    remedy: str
    check: Check

    def run(self, base: KnowledgeBase) -> list[Problem]:
        """The findings in the order of their places."""
        return sorted(
            replace(problem, what=f"{problem.what} [{self.id}]", expected=self.remedy)
            for problem in self.check(base)
        )


def lint(severity: Severity, remedy: str) -> Callable[[Check], Lint]:
    """A check as a lint whose id is the function's name."""
    return lambda check: Lint(check.__name__, severity, remedy, check)


def lints_in(*modules: ModuleType) -> tuple[Lint, ...]:
    """The lints of each module, in their order there."""
    every = (value for module in modules for value in vars(module).values())
    return tuple(value for value in every if isinstance(value, Lint))


def run_lints(lints: Iterable[Lint], base: KnowledgeBase) -> tuple[list[Problem], list[Problem]]:
    """Errors and warnings of all the lints."""
    found: dict[Severity, list[Problem]] = {"error": [], "warning": []}
    for lint in lints:
        found[lint.severity] += lint.run(base)
    return sorted(found["error"]), sorted(found["warning"])


def at(base: KnowledgeBase, what: str, name: str, *keys: str | int) -> Problem:
    """A finding about one entry, or about the part of it that ``keys`` lead to."""
    return Problem(*base.place(name, *keys), what)
