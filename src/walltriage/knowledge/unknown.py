"""Names in rules that stand for nothing: told with what is nearest, and what there is."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from walltriage.errors import Problem, did_you_mean
from walltriage.yamltree import KeyPath, Tree


def unknown(what: str, name: str, known: Any) -> tuple[str, str] | None:
    """What is wrong with a name that is not among those known, as (what, expected), or None."""
    names = list(known)
    if name in names:
        return None
    shown = ", ".join(names[:12]) + (" ..." if len(names) > 12 else "")
    return f"unknown {what} '{name}'{did_you_mean(name, names)}", f"expected one of {shown}"


def unknown_at(
    tree: Tree, where: KeyPath, what: str, name: str, known: Iterable[str]
) -> Iterator[Problem]:
    """At a place of a file, that there is no such thing; nothing where there is."""
    message = unknown(what, name, known)
    if message:
        yield tree.problem(where, *message)


def answers_at(
    tree: Tree, where: KeyPath, questions: Mapping[str, Any], name: str, options: Iterable[str]
) -> Iterator[Problem]:
    """At a place of a file, that there is no such question, or what is no answer to it."""
    yield from unknown_at(tree, where, "question", name, questions)
    known = questions[name].values if name in questions else ()
    for option in options:
        if name in questions and option not in known:
            what = f"'{option}' is not an answer to '{name}'{did_you_mean(option, known)}"
            yield tree.problem(where, what, "expected one of " + ", ".join(known))
