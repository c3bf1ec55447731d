"""How sure somebody was of what they told."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Literal

Sureness = Literal["checked", "certain", "fairly", "guess"]
SURENESS: tuple[Sureness, ...] = ("certain", "fairly", "guess")
"""What people may say of their own answers, surest first."""
CHECKED: Literal["checked"] = "checked"
"""Above certain: a professional has marked the answer by what was sent in.  Only the desk says
so; in a file anybody could have written it, and it is read as the surest other word."""
DEGREES: tuple[Sureness, ...] = (*SURENESS, CHECKED)
"""All degrees; a place here is the code of one where answers are numbers, so that 0, where
nobody said anything, is never the strongest."""
SUREST_FIRST: tuple[Sureness, ...] = (CHECKED, *SURENESS)

LESS_SURE: Mapping[str, tuple[Sureness, ...]] = MappingProxyType(
    {"guessed": ("guess",), "doubted": ("fairly", "guess")}
)
"""The degrees that each test of the condition language for less than certain answers holds for."""


def least_sure(degrees: Iterable[Sureness]) -> Sureness:
    """The least sure of several; certain for none."""
    return max(degrees, key=SUREST_FIRST.index, default=SURENESS[0])
