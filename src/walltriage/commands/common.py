"""What commands share: the rules option, a compiled knowledge base, a progress bar."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from walltriage.errors import InputError, Problem, refuse
from walltriage.garbage import nothing_thrown_away

PATH = click.Path(path_type=Path)
DASH = Path("-")  # standard input, or standard output

if TYPE_CHECKING:
    from walltriage.case.model import Case
    from walltriage.case.read import Catalogue
    from walltriage.inference.triage import Triager
    from walltriage.knowledge.base import KnowledgeBase


def rules_option(function: Callable[..., Any]) -> Callable[..., Any]:
    """``--rules DIR``: another knowledge base than the one shipped."""
    return click.option(
        "--rules", "rules_folder", type=PATH, help="Use the knowledge base in this folder."
    )(function)


def remove_option(function: Callable[..., Any]) -> Callable[..., Any]:
    """``--remove WALLS``: what becomes of a set of walls."""
    return click.option(
        "--remove",
        "removed",
        metavar="WALLS",
        help="What if these walls came out together: wall ids with commas, such as w2,w4.",
    )(function)


def removed_walls(case: Case, given: str | None) -> tuple[str, ...]:
    """The walls that ``--remove`` names, if it was given; :class:`InputError` for no such wall."""
    if given is None:
        return ()
    from walltriage.inference.numbers.removal import check_removed

    return check_removed(case, [w.strip() for w in given.split(",") if w.strip()], "--remove")


def read_case_at(path: Path, questions: Catalogue) -> Case:
    """One case from a file, or from standard input for ``-``; YAML or JSON."""
    from walltriage.case.read import parse_case, read_case
    from walltriage.files import bytes_of
    from walltriage.yamltree import decoded

    if path != DASH:
        return read_case(path, questions)
    name = "standard input"
    data = bytes_of(sys.stdin.buffer, name)
    return parse_case(decoded(data, name), name, questions)


def with_walls(case: Case, path: Path) -> Case:
    """The case, if it has a wall to judge; :class:`InputError` at its file otherwise."""
    if not case.walls:
        raise refuse(path, "no wall to triage", "expected 'walls:' with one wall or more")
    return case


def read_each(paths: Iterable[Path], read: Callable[[Path], Case]) -> list[Case]:
    """A case from each file; :class:`InputError` with the mistakes of all files together."""
    cases: list[Case] = []
    problems: list[Problem] = []
    for path in paths:
        try:
            cases.append(read(path))
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(problems)
    return cases


def load_base(rules_folder: Path | None) -> KnowledgeBase:
    """The knowledge base with every check, in the language in use; read once, then cached."""
    from walltriage.knowledge.load import load_knowledge
    from walltriage.knowledge.rule_cache import cache_folder
    from walltriage.language import say, translating, words
    from walltriage.rules_folder import default_rules_folder

    folder = rules_folder or default_rules_folder()
    return load_knowledge(folder, cache_folder(), say if translating() else None, words())


def load_triager(rules_folder: Path | None) -> Triager:
    """Read and compile the knowledge base."""
    with nothing_thrown_away():
        # First, while few calls are open: with many, CPython 3.11 takes and gives back a piece of
        # its stack for each of numpy's thousands of names of types, half of the time of its import.
        import numpy  # noqa: F401

        from walltriage.inference.triage import Triager

        return Triager(load_base(rules_folder))


@contextmanager
def progress(label: str, total: int) -> Iterator[Callable[[], object]]:
    """A progress bar on stderr, on a terminal only; yields what to call at each step."""
    if not sys.stderr.isatty():
        yield lambda: None
        return
    with click.progressbar(length=total, label=label, file=sys.stderr) as bar:
        yield lambda: bar.update(1)
