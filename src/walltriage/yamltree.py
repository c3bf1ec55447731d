"""YAML read safely, with the place of every key and value kept.

Plain data comes out (dict, list, str, int, float, bool, None) together with a
map from a path of keys and indexes to ``(line, column)``, so that any later
check can say where in the file a mistake stands.  Duplicate keys, tags, anchors
that loop and unreadable bytes are refused here.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

from walltriage.errors import InputError, Problem
from walltriage.files import read_bytes
from walltriage.json_escapes import join_pairs, moved_back

Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
KeyPath = tuple[str | int, ...]
Wrong = Callable[[KeyPath, str, str], None]  # told where, what is wrong, what was expected
MOST_NODES = 100_000  # a case of 500 walls has half as many
MOST_DEPTH = 40  # rules need 12
MOST_DIGITS = 100  # of a number written out
LONG_TEXT = 50_000  # letters; a shorter one cannot hold too many parts


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
        """The file as if these entries of lists, and these keys, did not stand in it; all else
        keeps its place."""
        around = _around(entries)
        places = {}
        for where, place in self.places.items():
            moved = self._moved(where, entries) if where[: len(around)] == around else where
            if moved is not None:
                places[moved] = place
        return Tree(self.path, _pruned(self.data, (), around, entries), places)

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


def _around(entries: set[KeyPath]) -> KeyPath:
    """The innermost part that all of these are in."""
    first, last = min(entries, key=str), max(entries, key=str)
    shared = 0
    for one, other in zip(first[:-1], last[:-1], strict=False):
        if one != other:
            break
        shared += 1
    return first[:shared]


def _pruned(data: Any, here: KeyPath, around: KeyPath, entries: set[KeyPath]) -> Any:
    if here[: len(around)] != around[: len(here)]:
        return data
    if isinstance(data, dict):
        return {
            key: _pruned(value, (*here, key), around, entries)
            for key, value in data.items()
            if (*here, key) not in entries
        }
    if isinstance(data, list):
        items = [(item, (*here, index)) for index, item in enumerate(data)]
        return [_pruned(item, at, around, entries) for item, at in items if at not in entries]
    return data


class _PlainLoader(Loader):  # type: ignore[misc, valid-type]
    """Safe constructor for which dates and ``yes`` and ``no`` stay the words they are."""


_KEPT_TAGS = ("int", "float", "null", "merge")
_PlainLoader.yaml_implicit_resolvers = {
    first: [(tag, regexp) for tag, regexp in resolvers if tag.rpartition(":")[2] in _KEPT_TAGS]
    for first, resolvers in Loader.yaml_implicit_resolvers.items()
}
_PlainLoader.add_implicit_resolver(
    "tag:yaml.org,2002:bool", re.compile(r"^(?:true|false)$"), list("tf")
)


def read_text(path: Path) -> str:
    """The file's text; :class:`InputError` when it is missing, too large or not UTF-8."""
    return decoded(read_bytes(path), str(path))


def decoded(data: bytes, name: str) -> str:
    """The bytes as text; :class:`InputError`, at the place in ``name``, if they are not UTF-8."""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = error.object.count(b"\n", 0, error.start) + 1
        column = error.start - error.object.rfind(b"\n", 0, error.start)
        what = f"not UTF-8 text (byte {error.start})"
        raise InputError(Problem(name, line, column, what, "save it as UTF-8")) from None


def parse(text: str, path: str) -> Tree:
    """Parse one YAML (or JSON) document; :class:`InputError` with every problem found."""
    builder = None
    try:
        text, joined = join_pairs(text)
        _check_size(text, path)
        builder = _PlainLoader(text)
        node = builder.get_single_node()
        places: dict[KeyPath, tuple[int, int]] = {}
        problems: list[Problem] = []
        _walk(node, (), places, problems, path, [])
        if problems:
            raise InputError(problems)
        data = None if node is None else _constructed(builder, node, path)
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
    return Tree(path, data, moved_back(places, joined) if joined else places)


_UNFIT = (ValueError, LookupError, AttributeError, TypeError)


def _constructed(builder: Any, node: yaml.Node, path: str) -> Any:
    """The data of a node.  A tag that does not fit its value, such as ``!!bool x``, is told."""
    try:
        return builder.construct_document(node)
    except _UNFIT:
        pass
    line, column = 1, 1
    builder.recursive_objects.clear()  # what was left unfinished would look like a loop
    for scalar in _scalars(node):
        try:
            builder.construct_object(scalar)
        except _UNFIT:
            line, column = scalar.start_mark.line + 1, scalar.start_mark.column + 1
            break
    what = "not readable as YAML: a value that does not fit its tag"
    raise InputError(Problem(path, line, column, what, "leave the tag out"))


def _scalars(node: yaml.Node) -> Iterator[yaml.ScalarNode]:
    if isinstance(node, yaml.ScalarNode):
        yield node
    elif isinstance(node, yaml.MappingNode):
        for pair in node.value:
            yield from _scalars(pair[1])
    else:
        for item in node.value:
            yield from _scalars(item)


def load(path: Path) -> Tree:
    """Read and parse a file."""
    return parse(read_text(path), str(path))


def _check_size(text: str, path: str) -> None:
    """Refuse what would take long to read, before any of it is built."""
    if len(text) < LONG_TEXT and sum(map(text.count, "[{-:?")) < MOST_DEPTH:
        return
    count = depth = 0
    for event in yaml.parse(text, Loader):
        if isinstance(event, yaml.CollectionStartEvent):
            depth += 1
        elif isinstance(event, yaml.CollectionEndEvent):
            depth -= 1
            continue
        count += 1
        if depth > MOST_DEPTH or count > MOST_NODES:
            what = "nested too deeply to be read" if depth > MOST_DEPTH else _TOO_MANY
            expected = f"expected {MOST_DEPTH} levels at most" if depth > MOST_DEPTH else ""
            mark = event.start_mark
            line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
            raise InputError(Problem(path, line, column, what, expected))


_TOO_MANY = f"more than {MOST_NODES:,} entries"
_NUMBER_TAGS = frozenset(f"tag:yaml.org,2002:{name}" for name in ("int", "float"))


def _walk(
    node: yaml.Node | None,
    where: KeyPath,
    places: dict[KeyPath, tuple[int, int]],
    problems: list[Problem],
    path: str,
    open_nodes: list[yaml.Node],
) -> None:
    if node is None:
        return
    line, column = node.start_mark.line + 1, node.start_mark.column + 1
    if len(places) > MOST_NODES:  # anchors repeated inside anchors grow without end
        raise InputError(Problem(path, line, column, _TOO_MANY))
    places[where] = (line, column)
    if isinstance(node, yaml.ScalarNode):
        if node.tag in _NUMBER_TAGS and len(node.value) > MOST_DIGITS:
            what = f"a number of {len(node.value):,} digits"
            problems.append(
                Problem(path, line, column, what, f"expected {MOST_DIGITS} at most, or quotes")
            )
        return
    if any(node is outer for outer in open_nodes):
        problems.append(Problem(path, line, column, "an anchor that contains itself"))
        return
    open_nodes.append(node)
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
                    Problem(path, key_line, key_column, f"duplicate key '{key}'", first)
                )
            seen[key] = key_line
            _walk(value_node, (*where, key), places, problems, path, open_nodes)
            places[(*where, key)] = (key_line, key_column)
    elif isinstance(node, yaml.SequenceNode):
        for index, item in enumerate(node.value):
            _walk(item, (*where, index), places, problems, path, open_nodes)
    open_nodes.pop()
