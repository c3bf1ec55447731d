"""Data of a rule file with one part of it changed, and where its parts stand."""

from __future__ import annotations

from typing import Any, Final

from walltriage.yamltree import KeyPath, Tree

DROP: Final = object()  # in place of a new value: the part is taken out


def changed_tree(tree: Tree, where: KeyPath, new: Any) -> Tree:
    """A file with the part at ``where`` changed; untouched parts are shared with the old one.

    Parts that the old file does not have are given the place of what is around them.
    """
    data = _changed(tree.data, where, new)
    places: dict[KeyPath, tuple[int, int]] = {}
    _walk(data, (), tree, places)
    return Tree(tree.path, data, places)


def _changed(data: Any, where: KeyPath, new: Any) -> Any:
    if not where:
        return new
    first, rest = where[0], where[1:]
    if isinstance(data, list):
        index = int(first)
        inner = [] if new is DROP and not rest else [_changed(data[index], rest, new)]
        return [*data[:index], *inner, *data[index + 1 :]]
    if new is DROP and not rest:
        return {key: value for key, value in data.items() if key != first}
    if first not in data:
        return {**data, first: new}
    return {
        key: _changed(value, rest, new) if key == first else value for key, value in data.items()
    }


def _walk(data: Any, where: KeyPath, tree: Tree, places: dict[KeyPath, tuple[int, int]]) -> None:
    places[where] = tree.place(where)
    if isinstance(data, dict):
        for key, value in data.items():
            _walk(value, (*where, key), tree, places)
    elif isinstance(data, list):
        for index, value in enumerate(data):
            _walk(value, (*where, index), tree, places)
