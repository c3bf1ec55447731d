"""Metric beside every length, area and load of a report, for a house that was measured in metric.

Whatever is said of a wall is put in feet, inches and pounds: by the rules, by the arithmetic, by
drawings.  So the metric is added in one place, where a report is all made and not yet rendered,
and nothing that is ever said can be left out.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from fractions import Fraction
from functools import cache

from walltriage.case.measure import is_metric
from walltriage.case.model import Case
from walltriage.report.blocks import Part, mapped
from walltriage.units import IN_PER_M, LB_PER_KN, METRIC

M_FROM_IN = 36.0
"""From here lengths are told in meters, below in millimeters, as on a tape."""
KN_FROM_LB = 225.0
"""From here forces are told in kilonewtons, below in newtons."""

_NUMBER = r"(?:\d+[ -]\d+/\d+|\d+/\d+|\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d+(?:\.\d+)?|\.\d+)"
_UNITS = {
    "lb/ft": r"lbs?/ft|lbs? (?:a|per) foot|plf|pounds (?:a|per) foot",
    "psf": r"psf|lb/sq ft|(?:lbs?|pounds) (?:a|per) square foot",
    "psi": r"psi|lb/sq in|(?:lbs?|pounds) (?:a|per) square inch",
    "ft-lb": r"ft-lb|lb-ft|foot-pounds",
    "in-lb": r"in-lb|lb-in|inch-pounds",
    "sq ft": r"sq ft|square f(?:ee|oo)t",
    "sq in": r"sq in|square inch(?:es)?",
    "in3": r"in3|in\^3|cu in",
    "in4": r"in4|in\^4",
    "lb": r"lbs?|pounds?",
    "kips": r"kips?",
    "ft": r"ft|f(?:ee|oo)t",
    "in": r"inch(?:es)?|in(?![a-z])",
}
_UNIT = "|".join(f"(?P<u{index}>{words})" for index, words in enumerate(_UNITS.values()))
_BLANKS = {"ft in": "m", "in": "mm", "ft": "m"}
"""Units behind a line to fill in by hand."""
_NO_INCH = re.compile(r"\s+(?:\d|the\b|an?\b|this\b|that\b|each\b|every\b|all\b|any\b|one\b|it\b)")
"""What follows where "in" is no inch: "3 in 100", "2 in the attic"."""
_YEAR = re.compile(r"(?:1[789]|20)\d\d")
_BESIDE = re.compile(r"\s?\([\d,. a-z]*\d (?:m|mm|N|kN|kN m|kN/m|kPa|MPa|sq c?m|cm[34])\)")


@cache
def _quantity() -> re.Pattern[str]:
    """A number or more of them with their unit; made when the first metric house comes."""
    return re.compile(
        rf"(?<![\w.,/])(?P<first>{_NUMBER})"
        rf"(?:(?P<list>, {_NUMBER})*(?P<link> to | or | and | by | x |-|–)(?P<last>{_NUMBER}))?"
        rf"(?P<gap>[ -]?)(?:{_UNIT})(?![\w/^-])"
        rf"(?:(?<=ft)[ -]+(?P<inches>{_NUMBER}) in(?![\w/]))?\.?(?=\W|$)",
        re.IGNORECASE,
    )


def in_measure_of(case: Case, part: Part) -> Part:
    """Blocks, or a text, with metric beside every quantity where this house is a metric one.

    In a drawing, where there is no room for both, it stands in place of feet and inches.
    """
    return mapped(part, with_metric, in_metric) if is_metric(case) else part


def where_missing(text: str) -> str:
    """As :func:`with_metric`, but a text that tells metric of its own is left as it is."""
    return text if METRIC.search(text) else with_metric(text)


def with_metric(text: str) -> str:
    """The text with the metric in parentheses behind every length, area, load and stress."""
    if text in _BLANKS:
        return _BLANKS[text]
    return _quantity().sub(_beside, text) if any(sign.isdigit() for sign in text) else text


def in_metric(text: str) -> str:
    """The text with metric in place of every length, area, load and stress."""
    return _quantity().sub(_instead, text)


def _instead(found: re.Match[str]) -> str:
    both = re.fullmatch(r".* \((.*)\)(\.?)", _beside(found))
    return f"{both[1]}{both[2]}" if both is not None else found[0]


def _beside(found: re.Match[str]) -> str:
    text, whole = found.string, found[0]
    unit = next(name for index, name in enumerate(_UNITS) if found[f"u{index}"] is not None)
    after = text[found.end() :]
    written = found[f"u{list(_UNITS).index(unit)}"]
    if written.lower() == "in" and (_NO_INCH.match(after) or _YEAR.fullmatch(found["first"])):
        return whole
    if _BESIDE.match(after):
        return whole
    dot = "." if whole.endswith(".") and not re.match(r"[,;]|\s+[a-z]", after) else ""
    values = [_value(number) for number in _numbers(found)]
    if found["inches"]:
        values[-1] += _value(found["inches"]) / 12
    metric = _told(values, unit, (found["link"] or "").replace("-", " to ").replace("–", " to "))
    return f"{whole.removesuffix(dot)} ({metric}){dot}"


def _numbers(found: re.Match[str]) -> Iterator[str]:
    """All numbers that the unit belongs to."""
    yield found["first"]
    if found["last"]:
        middle = found.string[found.end("first") : found.start("link")]
        yield from re.findall(_NUMBER, middle)
        yield found["last"]


def _value(number: str) -> float:
    whole = number.replace(",", "")
    return float(sum(Fraction(part) for part in re.split(r"[ -]", whole)))


def _told(values: Iterable[float], unit: str, link: str) -> str:
    """Numbers of one unit in metric, with the unit behind the last."""
    listed = list(values)
    factor, digits, name = _metric_of(unit, max(listed))
    numbers = [f"{value * factor:,.{digits}f}" for value in listed]
    *first, last = numbers
    joined = f"{', '.join(first)}{link}{last}" if first else last
    return f"{joined} {name}"


def _metric_of(unit: str, largest: float) -> tuple[float, int, str]:
    """Factor, digits and name of what a unit is told in."""
    if unit in ("ft", "in"):
        inches = 12.0 if unit == "ft" else 1.0
        if largest * inches >= M_FROM_IN:
            return inches / IN_PER_M, 2, "m"
        return inches / IN_PER_M * 1000, 0 if largest * inches >= 1 else 1, "mm"
    if unit in ("lb", "kips"):
        pounds = 1.0 if unit == "lb" else 1000.0
        if largest * pounds >= KN_FROM_LB:
            return pounds / LB_PER_KN, 2, "kN"
        return pounds / LB_PER_KN * 1000, 0, "N"
    return {
        "lb/ft": (IN_PER_M / 12 / LB_PER_KN, 2, "kN/m"),
        "psf": ((IN_PER_M / 12) ** 2 / LB_PER_KN, 2, "kPa"),
        "psi": (IN_PER_M**2 / LB_PER_KN / 1000, 2, "MPa"),
        "ft-lb": (12 / IN_PER_M / LB_PER_KN, 2, "kN m"),
        "in-lb": (1 / IN_PER_M / LB_PER_KN, 2, "kN m"),
        "sq ft": ((12 / IN_PER_M) ** 2, 2, "sq m"),
        "sq in": ((100 / IN_PER_M) ** 2, 0, "sq cm"),
        "in3": ((100 / IN_PER_M) ** 3, 0, "cm3"),
        "in4": ((100 / IN_PER_M) ** 4, 0, "cm4"),
    }[unit]
