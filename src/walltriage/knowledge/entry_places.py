"""Where each entry of the rules stands: file, line and column by id, and the tree it is in."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import cached_property
from pathlib import Path

from walltriage.errors import Problem
from walltriage.yamltree import KeyPath, Tree


def id_places(trees: list[Tree]) -> tuple[dict[str, tuple[str, int, int]], list[Problem]]:
    """Where each id is defined, and a problem for each id defined twice."""
    places: dict[str, tuple[str, int, int]] = {}
    problems = []
    for tree in trees:
        for where in tree.places:
            if len(where) < 3 or where[-1] != "id" or "options" in where or "bands" in where:
                continue
            if "uses" in where:
                continue
            name = tree.at(where)
            if name in places:
                first = "{}:{}:{}".format(*places[name])
                problems.append(tree.problem(where, f"id '{name}' is taken", f"first at {first}"))
            else:
                places[name] = (tree.path, *tree.place(where))
    return places, problems


class LateAnchors(Mapping[str, tuple[Tree, KeyPath]]):
    """Anchors of rules that were not parsed this time; ``parse`` does, when somebody asks."""

    def __init__(self, parse: Callable[[], Mapping[str, tuple[Tree, KeyPath]]]) -> None:
        self._parse = parse

    @cached_property
    def _found(self) -> Mapping[str, tuple[Tree, KeyPath]]:
        return self._parse()

    def __getitem__(self, name: str) -> tuple[Tree, KeyPath]:
        return self._found[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._found)

    def __len__(self) -> int:
        return len(self._found)


def anchors_in(trees: list[Tree], folder: Path) -> dict[str, tuple[Tree, KeyPath]]:
    """The file and key path of every entry: by id, source key, load path, trade word.

    An id met under ``options`` or ``bands`` belongs to its question, one under ``uses`` to
    the path that defines the condition.
    """
    found: dict[str, tuple[Tree, KeyPath]] = {}
    for tree in trees:
        if tree.path == str(folder / "sources.yaml") or tree.path == str(folder / "glossary.yaml"):
            found |= {name: (tree, (name,)) for name in tree.data}
            continue
        if "path" in tree.data:
            found[tree.data["path"]] = (tree, ())
        for where in tree.places:
            if len(where) == 3 and where[-1] == "id" and where[0] != "uses":
                found[tree.at(where)] = (tree, where[:-1])
    return found
