"""Inputs checked before anything is computed: known names, values within range.

Every refusal is an :class:`InputError` whose place is the input's name and whose text says
what is accepted.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable

from walltriage.errors import InputError, did_you_mean, refuse
from walltriage.structure.tables import Size, Species, Tables
from walltriage.units import format_length


def _shown(value: float, unit: str) -> str:
    return format_length(value) if unit == "in" and value >= 24 else f"{value:g} {unit}".strip()


def within(
    tables: Tables, key: str, value: float | int | None, *, name: str = "", zero: bool = True
) -> float:
    """``value`` if it lies in the accepted range of ``key``, else :class:`InputError`.

    ``key`` ends in its unit (``spacing_in``); ``zero=False`` refuses 0 where the range has it.
    """
    low, high = tables.accepted(key)
    stem, _, unit = key.rpartition("_")
    if unit not in ("in", "psf", "plf", "lb", "deg"):
        stem, unit = key, ""
    label = name or stem.replace("_", " ")
    least = "more than 0" if not low and not zero else _shown(low, unit)
    accepted = f"accepted: {least} to {_shown(high, unit)}"
    if value is None:
        raise refuse(label, "is missing", accepted)
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise refuse(label, f"{value!r} is not a number", accepted)
    if not low <= value <= high or (value == 0 and not zero):
        raise refuse(label, f"{_shown(float(value), unit)} is out of range", accepted)
    return float(value)


def one_of(name: str, word: str, known: Iterable[str]) -> str:
    """``word`` if it is known, else :class:`InputError` with the nearest known word."""
    words = list(known)
    if word not in words:
        raise refuse(
            name, f"unknown '{word}'{did_you_mean(word, words)}", "known: " + ", ".join(words)
        )
    return word


def find_size(tables: Tables, size: str) -> Size:
    """The lumber size called ``size``: ``2x10``, ``rough 2x8``, ``old 2x6``."""
    if not isinstance(size, str):
        raise refuse("size", f"{size!r} is not a size", "expected a size such as 2x10")
    word = " ".join(size.lower().replace("×", "x").replace(" x ", "x").split())
    if word in tables.sizes:
        return tables.sizes[word]
    known = ", ".join(tables.sizes)
    raise refuse("size", f"unknown '{size}'{_near_size(word, tables.sizes)}", f"known: {known}")


def _near_size(word: str, known: Iterable[str]) -> str:
    # By the numbers, not the letters: 2x11 is nearest to 2x10 and 2x12, not to 2x14.
    parts = re.fullmatch(r"(\D*)(\d+)x(\d+)", word)
    if parts is None:
        return did_you_mean(word, known)
    stem = f"{parts[1]}{parts[2]}x"
    depths = sorted(int(name.removeprefix(stem)) for name in known if name.startswith(stem))
    if not depths:
        return did_you_mean(word, known)
    asked = int(parts[3])
    near = {max((d for d in depths if d <= asked), default=depths[0]),
            min((d for d in depths if d >= asked), default=depths[-1])}  # fmt: skip
    names = " or ".join(f"'{stem}{depth}'" for depth in sorted(near))
    return f" (did you mean {names}?)"


def find_species(tables: Tables, species: str) -> Species:
    """The species group by key, name or alias, in any case."""
    if not isinstance(species, str):
        raise refuse("species", f"{species!r} is not a species", "expected a name such as SPF")
    words: dict[str, Species] = {}
    for key, group in tables.species.items():
        for word in (key, group.name, *group.aliases):
            words[word.lower()] = group
    word = " ".join(species.lower().split())
    if word not in words:
        hint = did_you_mean(species, [w for g in tables.species.values() for w in (g.key, g.name)])
        listed = ", ".join(f"{key} ({group.name})" for key, group in tables.species.items())
        raise refuse("species", f"unknown '{species}'{hint}", f"known: {listed}")
    return words[word]


def find_grade(tables: Tables, species: Species, grade: str) -> str:
    """The grade's name as the tables write it."""
    if not isinstance(grade, str):
        raise refuse("grade", f"{grade!r} is not a grade", "expected a name such as No.2")
    words = {name.lower(): name for name in species.grade_names}
    for name, aliases in tables.grade_aliases.items():
        if name in species.grade_names:
            words.update({alias.lower(): name for alias in aliases})
    word = " ".join(grade.lower().split())
    if word not in words:
        known = f"known for {species.name}: " + ", ".join(species.grade_names)
        hint = did_you_mean(grade, species.grade_names)
        raise refuse("grade", f"unknown '{grade}'{hint}", known)
    return words[word]


def graded(tables: Tables, groups: list[Species], grade: str) -> list[Species]:
    """The groups that have this grade: one that lacks it is not the group that is meant.

    Raises :class:`InputError` when none has it.
    """
    found = []
    for group in groups:
        try:
            find_grade(tables, group, grade)
        except InputError as error:
            refused = error
        else:
            found.append(group)
    if not found:
        raise refused
    return found
