"""The study's own parameters: how houses are built and how people answer."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import yaml

FILE = Path(__file__).with_name("parameters.yaml")


@cache
def parameters() -> dict[str, Any]:
    """The values alone, nested as in the file; :class:`ValueError` for one without a source."""
    values: dict[str, Any] = _values(yaml.safe_load(FILE.read_text(encoding="utf-8")), ())
    return values


def _values(node: Any, where: tuple[str, ...]) -> Any:
    if isinstance(node, dict) and "value" in node:
        if not isinstance(node.get("source"), str) or len(node["source"]) < 3:
            raise ValueError(f"{'.'.join(where)} has no source")
        return node["value"]
    if not isinstance(node, dict):
        raise ValueError(f"{'.'.join(where)} is a bare value; expected value and source")
    return {key: _values(child, (*where, str(key))) for key, child in node.items()}


ERAS = ("before_1920", "y1920_1944", "y1945_1964", "y1965_1984", "since_1985")
_ENDS = (1920, 1945, 1965, 1985)


def era_of(year: int) -> str:
    """The building era of a year."""
    return ERAS[sum(year >= end for end in _ENDS)]
