"""Checked reading of the value files: shapes that turn YAML parts into plain values.

A shape is a function ``(reader, where, value)`` that returns the checked value, or notes a
problem at its place and returns ``None``.  All problems of a file are reported at once.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType
from typing import Any

from walltriage.errors import InputError, Problem, did_you_mean
from walltriage.yamltree import KeyPath, Tree, load

COMMON_PRACTICE = "common practice"
PUBLISHED = ("seen", "memory")
PROVENANCES = (*PUBLISHED, COMMON_PRACTICE)


@dataclass(slots=True)
class ValueReader:
    """One file being read; collects the problems found in it."""

    tree: Tree
    sources: frozenset[str]
    problems: list[Problem] = field(default_factory=list)

    def note(self, where: KeyPath, what: str, expected: str = "") -> None:
        self.problems.append(self.tree.problem(where, what, expected))


Shape = Callable[[ValueReader, KeyPath, Any], Any]


@dataclass(frozen=True, slots=True)
class ValueBlock:
    """Values that share a source key, a provenance and a unit."""

    name: str
    source: str
    provenance: str
    unit: str
    values: Any

    def __getitem__(self, key: str) -> Any:
        return self.values[key]


def number(low: float, high: float) -> Shape:
    """A number from ``low`` to ``high``."""

    def shape(reader: ValueReader, where: KeyPath, value: Any) -> float | None:
        usable = isinstance(value, int | float) and not isinstance(value, bool)
        if not usable or not math.isfinite(value) or not low <= value <= high:
            expected = f"expected a number {low:g} to {high:g}"
            reader.note(where, f"{value!r} is out of range", expected)
            return None
        return float(value)

    return shape


def numbers(low: float, high: float, count: int | None = None, rising: bool = False) -> Shape:
    """A list of numbers: ``count`` of them, or any count; ``rising`` = never falling."""
    one = number(low, high)

    def shape(reader: ValueReader, where: KeyPath, value: Any) -> tuple[float, ...] | None:
        wanted = f"expected a list of {count or 'one or more'} numbers"
        if not isinstance(value, list) or not value or (count and len(value) != count):
            reader.note(where, f"{value!r} does not fit", wanted)
            return None
        found = tuple(one(reader, (*where, index), item) for index, item in enumerate(value))
        if None in found:
            return None
        if rising and list(found) != sorted(found):
            reader.note(where, f"{value!r} is not in rising order", "expected lowest first")
            return None
        return found

    return shape


def text(*allowed: str) -> Shape:
    """A text; one of ``allowed`` when any are given."""

    def shape(reader: ValueReader, where: KeyPath, value: Any) -> str | None:
        if not isinstance(value, str):
            reader.note(where, f"{value!r} is not a text", "expected a text; put it in quotes")
            return None
        if allowed and value not in allowed:
            hint = did_you_mean(value, allowed)
            reader.note(where, f"unknown '{value}'{hint}", "expected one of " + ", ".join(allowed))
            return None
        return value

    return shape


def texts(*allowed: str) -> Shape:
    """A list of texts."""
    one = text(*allowed)

    def shape(reader: ValueReader, where: KeyPath, value: Any) -> tuple[str, ...] | None:
        if not isinstance(value, list) or not value:
            reader.note(where, f"{value!r} does not fit", "expected a list of texts")
            return None
        found = tuple(one(reader, (*where, index), item) for index, item in enumerate(value))
        return None if None in found else found

    return shape


def _mapping(reader: ValueReader, where: KeyPath, value: Any) -> dict[str, Any] | None:
    if not isinstance(value, dict) or not value:
        reader.note(where, f"{value!r} does not fit", "expected entries of the form 'key: value'")
        return None
    plain = {}
    for key, item in value.items():
        if not isinstance(key, str):  # a bare 4 or 2e3 would be read as a number
            reader.note(where, f"the key {key!r} is not a text", "put the key in quotes")
            continue
        plain[key] = item
    return plain


def each(shape_of_value: Shape) -> Shape:
    """A mapping with any keys, every value of one shape."""

    def shape(reader: ValueReader, where: KeyPath, value: Any) -> Mapping[str, Any] | None:
        found = _mapping(reader, where, value)
        if found is None:
            return None
        return MappingProxyType(
            {key: shape_of_value(reader, (*where, key), item) for key, item in found.items()}
        )

    return shape


def fixed(optional: Mapping[str, Shape] = MappingProxyType({}), /, **shapes: Shape) -> Shape:
    """A mapping with exactly the keys of ``shapes``, and any of the ``optional`` ones."""

    def shape(reader: ValueReader, where: KeyPath, value: Any) -> Mapping[str, Any] | None:
        found = _mapping(reader, where, value)
        if found is None:
            return None
        known = {**shapes, **optional}
        for key in found:
            if key not in known:
                what = f"unknown key '{key}'{did_you_mean(key, known)}"
                reader.note((*where, key), what, "known: " + ", ".join(known))
        for key in shapes:
            if key not in found:
                reader.note(where, f"'{key}' is missing")
        return MappingProxyType(
            {key: known[key](reader, (*where, key), found[key]) for key in known if key in found}
        )

    return shape


def source(reader: ValueReader, where: KeyPath, value: Any) -> str | None:
    """A key of ``sources.yaml``, or common practice for what no publication says."""
    key: str | None = text(*sorted(reader.sources), COMMON_PRACTICE)(reader, where, value)
    return key


BLOCK_HEAD: Mapping[str, Shape] = {
    "source": source,
    "provenance": text(*PROVENANCES),
    "unit": text(),
}


def block(values: Shape) -> Shape:
    """Values under a source, a provenance and a unit: gives a :class:`ValueBlock`."""
    whole = fixed(**BLOCK_HEAD, values=values)

    def shape(reader: ValueReader, where: KeyPath, value: Any) -> ValueBlock | None:
        found = whole(reader, where, value)
        if found is None or len(found) != len(BLOCK_HEAD) + 1:
            return None
        head = {key: found[key] for key in BLOCK_HEAD}
        return ValueBlock(str(where[-1]), **head, values=found["values"])

    return shape


def read_file(path: Path, shape: Shape, sources: frozenset[str]) -> tuple[Any, ValueReader]:
    """Read one file by its shape; :class:`InputError` with every mistake in it."""
    reader = ValueReader(load(path), sources)
    found = shape(reader, (), reader.tree.data)
    if reader.problems:
        raise InputError(reader.problems)
    return found, reader
