"""How sure somebody was of what they told."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Literal

Sureness = Literal["checked", "confirmed", "certain", "fairly", "guess"]
SURENESS: tuple[Sureness, ...] = ("certain", "fairly", "guess")
"""What people may say of their own answers, surest first."""
CHECKED: Literal["checked"] = "checked"
"""Above certain: a professional has marked the answer by what was sent in.  Only the desk says
so; in a file anybody could have written it, and it is read as the surest other word."""
CONFIRMED: Literal["confirmed"] = "confirmed"
"""Certain, and found the same at a second look."""
SURENESS_IN_FILES: tuple[Sureness, ...] = (*SURENESS, CONFIRMED)
"""What a file may say of an answer."""
DEGREES: tuple[Sureness, ...] = (*SURENESS, CHECKED, CONFIRMED)
"""All degrees; a place here is the code of one where answers are numbers, so that 0, where
nobody said anything, is never the strongest."""
SUREST_FIRST: tuple[Sureness, ...] = (CHECKED, CONFIRMED, *SURENESS)

LESS_SURE: Mapping[str, tuple[Sureness, ...]] = MappingProxyType(
    {"guessed": ("guess",), "doubted": ("fairly", "guess")}
)
"""The degrees that each test of the condition language for less than certain answers holds for."""


def as_said(sure: Sureness) -> Sureness:
    """The word that people chose, before a second look."""
    return SURENESS[0] if sure == CONFIRMED else sure


def found_again(sure: Sureness) -> Sureness:
    """How sure an answer is that a second look has borne out."""
    return CONFIRMED if sure == "certain" else sure


def told_again(first: Sureness, now: Sureness) -> Sureness:
    """How sure an answer is that was told the same at a second look.

    Who looks again is as sure as they are then: a guess that was borne out is none any longer.
    Only what was certain at both looks is confirmed.
    """
    return now if first in LESS_SURE["doubted"] else found_again(now)


def least_sure(degrees: Iterable[Sureness]) -> Sureness:
    """The least sure of several; certain for none."""
    return max(degrees, key=SUREST_FIRST.index, default=SURENESS[0])
