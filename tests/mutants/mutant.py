"""One fault: a place in one file of the rules, and what stands there instead."""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from tests.mutants.operators import OPERATORS
from tests.mutants.places import changed_tree
from walltriage.yamltree import KeyPath, Tree

Files = Mapping[str, Tree]


@dataclass(frozen=True, slots=True)
class Mutant:
    """``entry`` names the rule that is changed, ``safety`` its class (see ``operators``)."""

    operator: str
    entry: str
    safety: bool
    path: str
    where: KeyPath
    new: Any
    number: int = 0  # tells mutants of one operator at one place apart

    @property
    def key(self) -> str:
        """A name that no other mutant of these rules has."""
        place = ".".join(str(part) for part in self.where)
        return f"{self.operator}: {self.entry} ({self.path}:{place}, {self.number})"

    def of(self, files: Files) -> dict[str, Tree]:
        """The files with the fault put in; the given ones are left alone."""
        return {**files, self.path: changed_tree(files[self.path], self.where, self.new)}


def mutants(files: Files) -> Iterator[Mutant]:
    """Every mutant of every operator that changes anything, in order."""
    for name, operator in OPERATORS.items():
        met: dict[tuple[str, KeyPath], int] = {}
        for path, tree in files.items():
            if not isinstance(tree.data, dict):
                continue
            for change in operator.changes(tree.data):
                if change.where in tree.places and change.new == tree.at(change.where):
                    continue
                number = met[path, change.where] = met.get((path, change.where), -1) + 1
                safety = operator.safety or change.guards
                yield Mutant(name, change.entry, safety, path, change.where, change.new, number)


def sample(files: Files, count: int, seed: int) -> list[Mutant]:
    """At most ``count`` mutants, as many of each operator as there are to be had."""
    draw = random.Random(seed)
    by_operator: dict[str, list[Mutant]] = {}
    for mutant in mutants(files):
        by_operator.setdefault(mutant.operator, []).append(mutant)
    for group in by_operator.values():
        draw.shuffle(group)
    chosen: list[Mutant] = []
    while len(chosen) < count and any(by_operator.values()):
        for group in by_operator.values():
            if group and len(chosen) < count:
                chosen.append(group.pop())
    return chosen


__all__ = ["Files", "Mutant", "mutants", "sample"]
