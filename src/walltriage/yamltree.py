"""YAML read safely, with the place of every key and value kept.

Plain data comes out (dict, list, str, int, float, bool, None) together with a
map from a path of keys and indexes to ``(line, column)``, so that any later
check can say where in the file a mistake stands.  Duplicate keys, tags, anchors
that loop and unreadable bytes are refused here.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

from walltriage.errors import InputError, Problem

Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
KeyPath = tuple[str | int, ...]
MOST_NODES = 500_000


@dataclass(frozen=True, slots=True)
class Tree:
    """One parsed file: its plain data and the place of each part of it."""

    path: str
    data: Any
    places: dict[KeyPath, tuple[int, int]] = field(repr=False)

    def place(self, where: KeyPath) -> tuple[int, int]:
        """Line and column of the part, or of the nearest part around it that exists."""
        while where not in self.places and where:
            where = where[:-1]
        return self.places.get(where, (1, 1))

    def at(self, where: KeyPath) -> Any:
        """The data at a key path; :class:`KeyError` or :class:`IndexError` when there is none."""
        data = self.data
        for part in where:
            data = data[part]
        return data

    def without(self, entries: set[KeyPath]) -> Tree:
        """The file as if these entries of lists did not stand in it; all else keeps its place."""
        moved = ((self._moved(where, entries), place) for where, place in self.places.items())
        places = {where: place for where, place in moved if where is not None}
        return Tree(self.path, _pruned(self.data, (), entries), places)

    def _moved(self, where: KeyPath, entries: set[KeyPath]) -> KeyPath | None:
        """Where a part comes to stand; None for one that goes."""
        moved: list[str | int] = []
        for at, part in enumerate(where):
            here = where[:at]
            if (*here, part) in entries:
                return None
            before = isinstance(part, int) and sum((*here, i) in entries for i in range(part))
            moved.append(part - before if isinstance(part, int) else part)
        return tuple(moved)

    def problem(self, where: KeyPath, what: str, expected: str = "") -> Problem:
        """A :class:`Problem` at the place of ``where``."""
        line, column = self.place(where)
        return Problem(self.path, line, column, what, expected)


def _pruned(data: Any, here: KeyPath, entries: set[KeyPath]) -> Any:
    if isinstance(data, dict):
        return {key: _pruned(value, (*here, key), entries) for key, value in data.items()}
    if isinstance(data, list):
        items = [(item, (*here, index)) for index, item in enumerate(data)]
        return [_pruned(item, at, entries) for item, at in items if at not in entries]
    return data


class _Builder(Loader):  # type: ignore[misc, valid-type]
    """Safe constructor for which dates and ``yes`` and ``no`` stay the words they are."""


_KEPT_TAGS = ("int", "float", "null", "merge")
_Builder.yaml_implicit_resolvers = {
    first: [(tag, regexp) for tag, regexp in resolvers if tag.rpartition(":")[2] in _KEPT_TAGS]
    for first, resolvers in Loader.yaml_implicit_resolvers.items()
}
_Builder.add_implicit_resolver(
    "tag:yaml.org,2002:bool", re.compile(r"^(?:true|false)$"), list("tf")
)


def read_text(path: Path) -> str:
    """The file's text; :class:`InputError` when it is missing or not UTF-8."""
    try:
        return path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise InputError(
            Problem(str(path), 0, 0, f"not UTF-8 text (byte {error.start})", "save it as UTF-8")
        ) from None
    except OSError as error:
        reason = (error.strerror or "cannot be read").lower()
        raise InputError(Problem(str(path), 0, 0, reason, "expected a readable file")) from None


def parse(text: str, path: str) -> Tree:
    """Parse one YAML (or JSON) document; :class:`InputError` with every problem found."""
    builder = None
    try:
        builder = _Builder(text)
        node = builder.get_single_node()
        places: dict[KeyPath, tuple[int, int]] = {}
        problems: list[Problem] = []
        _walk(node, (), places, problems, path, set())
        if problems:
            raise InputError(problems)
        data = None if node is None else builder.construct_document(node)
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
        what = f"not readable as YAML: {error.problem or error.context}"
        raise InputError(
            Problem(path, line, column, what, "check indentation, quotes and colons here")
        ) from None
    except (yaml.YAMLError, ValueError) as error:
        what = f"not readable as YAML: {str(error).splitlines()[0]}"
        raise InputError(Problem(path, 1, 1, what, "expected plain text in YAML")) from None
    except RecursionError:
        raise InputError(Problem(path, 1, 1, "nested too deeply to be read")) from None
    finally:
        if builder is not None:
            builder.dispose()
    return Tree(path, data, places)


def load(path: Path) -> Tree:
    """Read and parse a file."""
    return parse(read_text(path), str(path))


def _walk(
    node: yaml.Node | None,
    where: KeyPath,
    places: dict[KeyPath, tuple[int, int]],
    problems: list[Problem],
    path: str,
    open_nodes: set[int],
) -> None:
    if node is None:
        return
    line, column = node.start_mark.line + 1, node.start_mark.column + 1
    if len(places) > MOST_NODES:  # anchors repeated inside anchors grow without end
        raise InputError(Problem(path, line, column, f"more than {MOST_NODES} entries"))
    places[where] = (line, column)
    if id(node) in open_nodes:
        problems.append(Problem(path, line, column, "an anchor that contains itself"))
        return
    inner = open_nodes | {id(node)}
    if isinstance(node, yaml.MappingNode):
        seen: dict[Any, int] = {}
        for key_node, value_node in node.value:
            key_line, key_column = key_node.start_mark.line + 1, key_node.start_mark.column + 1
            if not isinstance(key_node, yaml.ScalarNode):
                problems.append(
                    Problem(path, key_line, key_column, "a key that is not a word", "expected text")
                )
                continue
            key = key_node.value
            if key in seen:
                first = f"first at line {seen[key]}; keep one"
                problems.append(
                    Problem(path, key_line, key_column, f"key '{key}' stands twice", first)
                )
            seen[key] = key_line
            _walk(value_node, (*where, key), places, problems, path, inner)
            places[(*where, key)] = (key_line, key_column)
    elif isinstance(node, yaml.SequenceNode):
        for index, item in enumerate(node.value):
            _walk(item, (*where, index), places, problems, path, inner)
