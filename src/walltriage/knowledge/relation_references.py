"""Checks of ``rules/relations.yaml``: questions and options that exist, bands that rise."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from walltriage.errors import Problem, QuantityError
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.unknown import answers_at
from walltriage.units import parse_length
from walltriage.yamltree import KeyPath, Tree


def mark(value: str | float) -> float:
    """A band's end or a setting: a length in inches, or a plain number."""
    return parse_length(value) if isinstance(value, str) else float(value)


def relation_problems(base: KnowledgeBase, tree: Tree) -> Iterator[Problem]:
    """Every broken reference, with its place."""
    file = base.relations
    for name, value in file.settings.items():
        try:
            mark(value)
        except QuantityError as error:
            yield tree.problem(("settings", name), str(error))
    checks: list[tuple[KeyPath, str, Iterable[str]]] = []
    for index, entry in enumerate(file.answers):
        where: KeyPath = ("answers", index)
        gives = [*entry.words.values(), *(band.gives for band in entry.bands if band.gives)]
        checks.append((where, entry.question, gives))
        checks += [((*where, "only_with"), q, [v]) for q, v in entry.only_with.items()]
        if sum(map(bool, (entry.measured, entry.bands, entry.words))) != 1:
            expected = "expected one of measured, bands, words"
            yield tree.problem(where, "an answer needs one way to be read", expected)
        try:
            ends = [mark(band.under) for band in entry.bands if band.under is not None]
        except QuantityError as error:
            yield tree.problem((*where, "bands"), str(error))
            continue
        if ends != sorted(set(ends)) or any(band.under is None for band in entry.bands[:-1]):
            yield tree.problem(
                (*where, "bands"), "the bands do not rise", "the last has no 'under'"
            )
    for index, other in enumerate(file.neighbours):
        checks.append((("neighbours", index), other.question, other.words.values()))
        checks.append((("neighbours", index, "words"), other.reads, other.words))
        checks.append((("neighbours", index, "relies"), other.reads, other.relies))
    if file.lines is not None:
        checks.append((("lines",), file.lines.question, file.lines.words.values()))
    for index, verdict in enumerate(file.verdicts):
        checks.append((("verdicts", index), verdict.question, verdict.words.values()))
    for index, clash in enumerate(file.clashes):
        for side, there in (("here", clash.here), ("there", clash.there)):
            checks.append((("clashes", index, side), there.question, there.answers))
    if file.clash is not None:
        words = (file.clash.agrees, file.clash.differs)
        for question in (file.clash.with_plan, file.clash.between_walls):
            checks.append((("clash",), question, words))
    for where, question, options in checks:
        yield from answers_at(tree, where, base.questions, question, options)
