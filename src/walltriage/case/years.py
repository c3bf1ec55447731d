"""Years as people say them: 1955, about 1955, the 1950s, mid fifties, early 1900s, 1952 to 1956."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Any

from walltriage.errors import QuantityError
from walltriage.language import say

YEAR_HELP = "a year such as 1955, about 1955, the 1950s, mid fifties, or 1950 to 1955"
ABOUT = 5  # "about 1955" is five years either way

_DECADES = {
    "twenties": 20, "thirties": 30, "forties": 40, "fifties": 50, "sixties": 60, "seventies": 70,
    "eighties": 80, "nineties": 90,
}  # fmt: skip
# of ten years, counted from the first: which are early, in the middle, late
_PARTS = {"early": (0, 3), "mid": (4, 6), "late": (7, 9)}
_ABOUT = r"(?:about|around|roughly|approximately|approx\.?|circa|ca\.?|c\.|maybe|probably|~)"
_PART = r"(?:(?P<part>early|mid|middle|late)(?:\s*-\s*|\s+)(?:of\s+)?(?:the\s+)?)?"
_YEAR = re.compile(
    rf"(?P<about>{_ABOUT}\s*)?(?P<year>\d{{4}})(?:\.0)?(?P<ish>\s*-?\s*ish|\s+or\s+so)?"
)
_STRETCH = re.compile(r"(?:between\s+)?(?P<first>\d{4})\s*(?:-|to|or|and)\s*(?P<last>\d{4})")
_DECADE = re.compile(
    rf"(?:{_ABOUT}\s*)?(?:in\s+)?(?:the\s+)?{_PART}(?:the\s+)?(?P<year>\d{{3}}0)\s*'?s"
)
_WORDS = re.compile(
    rf"(?:{_ABOUT}\s*)?(?:in\s+)?(?:the\s+)?{_PART}(?:the\s+)?"
    rf"(?:(?P<short>'?(?P<two>\d0)\s*'?s)|(?P<century>nineteen\s+)?(?P<word>{'|'.join(_DECADES)}))"
)
_TYPOGRAPHIC = str.maketrans({"’": "'", "‘": "'", "–": "-", "—": "-"})


@dataclass(frozen=True, slots=True)
class Years:
    """A stretch of years, both ends in it; one year where the same year stands twice."""

    first: int
    last: int

    @property
    def exact(self) -> bool:
        return self.first == self.last

    @property
    def middle(self) -> int:
        """The year in the middle, the earlier of two."""
        return (self.first + self.last) // 2


def parse_years(value: Any) -> Years:
    """What years somebody means; raises :class:`QuantityError` for anything else.

    Decades without a century are of the 20th, from the thirties on; ``the twenties`` and ``the
    1900s`` could be two things, and are asked about.
    """
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise _no_year(value)
    if not isinstance(value, str):
        if not math.isfinite(value) or value != int(value):
            raise _no_year(value)
        return Years(int(value), int(value))
    text = " ".join(value.translate(_TYPOGRAPHIC).lower().split()).strip(" .")
    if match := _YEAR.fullmatch(text):
        year, off = int(match["year"]), ABOUT if match["about"] or match["ish"] else 0
        return Years(year - off, year + off)
    if (match := _STRETCH.fullmatch(text)) and int(match["first"]) <= int(match["last"]):
        return Years(int(match["first"]), int(match["last"]))
    if match := _DECADE.fullmatch(text):
        return _decade(value, int(match["year"]), match["part"])
    if match := _WORDS.fullmatch(text):
        ten = int(match["two"]) if match["short"] else _DECADES[match["word"]]
        if ten < 30 and not match["century"]:
            told = say(
                "{value} could be 1920s or 2020s; expected all four figures", value=repr(value)
            )
            raise QuantityError(told)
        return _decade(value, 1900 + ten, match["part"])
    raise _no_year(value)


def _no_year(value: Any) -> QuantityError:
    told = say("{value} is not a year; expected {year}", value=repr(value), year=say(YEAR_HELP))
    return QuantityError(told)


def _decade(value: str, start: int, part: str | None) -> Years:
    if start % 100 == 0 and start < 2000:
        if part is None:
            told = say(
                "{value} could be ten years or a hundred; expected a year", value=repr(value)
            )
            raise QuantityError(told)
        third = {"early": (0, 33), "mid": (34, 66), "late": (67, 99)}[_short(part)]
        return Years(start + third[0], start + third[1])
    first, last = _PARTS[_short(part)] if part else (0, 9)
    return Years(start + first, start + last)


def _short(part: str) -> str:
    return "mid" if part == "middle" else part
