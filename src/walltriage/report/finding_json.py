"""The result as JSON, in the form ``walltriage/finding/2``; same answers, same bytes.

Both the data and their schema are made from the types of the finding; this module only rounds.
"""

from __future__ import annotations

import json
from functools import cache
from typing import Any

from pydantic import TypeAdapter

from walltriage.inference.finding import FINDING_SCHEMA, Finding

DIGITS = 6
"""Of chances and of whatever has no unit below."""
DIGITS_BY_UNIT = {
    "decibans": 3, "in": 2, "ft": 2, "plf": 1, "psf": 1, "lb": 1, "sqft": 2, "lb_ft": 1, "psi": 1,
}  # fmt: skip
"""By the end of a key; more would be noise, and differ between machines."""


def finding_data(finding: Finding) -> dict[str, Any]:
    """The finding as plain data."""
    data: dict[str, Any] = _rounded(_adapter().dump_python(finding, mode="json"))
    return data


def finding_line(finding: Finding) -> str:
    """One line of JSON."""
    return json.dumps(finding_data(finding), ensure_ascii=True, separators=(", ", ": "))


def finding_schema() -> dict[str, Any]:
    """The JSON schema of results; each key is always there, and there are no others."""
    made = _adapter().json_schema(mode="serialization")
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": FINDING_SCHEMA}
    return head | {key: _closed(value) for key, value in made.items() if key != "title"}


@cache
def _adapter() -> TypeAdapter[Finding]:
    # most findings have no numbers and no looks; here their types have to be known by name
    from walltriage.case.looks import WallLooks  # noqa: F401
    from walltriage.inference.numbers.measured_span import ComparedSpan  # noqa: F401
    from walltriage.inference.numbers.removal import Removal  # noqa: F401
    from walltriage.inference.numbers.results import HouseNumbers, WallNumbers  # noqa: F401
    from walltriage.structure.bracing import LineGap  # noqa: F401
    from walltriage.structure.house_lines import LineClass  # noqa: F401
    from walltriage.structure.load_path import LoadPathToGround  # noqa: F401
    from walltriage.structure.members import MemberResult  # noqa: F401
    from walltriage.structure.new_point import PointBelow  # noqa: F401
    from walltriage.structure.shoring import Shoring  # noqa: F401
    from walltriage.structure.span_need import SpanNeed  # noqa: F401
    from walltriage.structure.supports import EndSupport  # noqa: F401
    from walltriage.structure.takedown import Takedown  # noqa: F401
    from walltriage.structure.wall_load import WallLoad  # noqa: F401

    return TypeAdapter(Finding)


def _closed(part: Any) -> Any:
    if isinstance(part, list):
        return [_closed(item) for item in part]
    if not isinstance(part, dict):
        return part
    kept = {key: _closed(value) for key, value in part.items() if not _is_title(key, value)}
    if isinstance(kept.get("properties"), dict):
        kept |= {"additionalProperties": False, "required": list(kept["properties"])}
    return kept


def _is_title(key: str, value: Any) -> bool:
    """Titles only say the name of a type again."""
    return key == "title" and isinstance(value, str)


def _rounded(part: Any, digits: int = DIGITS) -> Any:
    if isinstance(part, float):
        return round(part, digits) + 0.0
    if isinstance(part, dict):
        return {key: _rounded(value, _digits(key, digits)) for key, value in part.items()}
    if isinstance(part, list):
        return [_rounded(item, digits) for item in part]
    return part


@cache
def _digits(key: str, around: int) -> int:
    """By the unit at a key's end; a range's low and high take the unit of the range."""
    ends = (unit for unit in DIGITS_BY_UNIT if key == unit or key.endswith(f"_{unit}"))
    longest = max(ends, key=len, default="")
    return DIGITS_BY_UNIT.get(longest, around)
