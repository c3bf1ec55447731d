"""Lengths and loads as people write them, turned into inches and pounds.

Inside the program lengths are inches, areas square feet, loads pounds; names
carry the unit (``span_in``, ``line_load_plf``).  Outside, a person may write
``12 ft 6 in``, ``12'-6"``, ``12.5 ft``, ``3.81 m`` or ``40 psf``, ``1.9 kPa``.
"""

from __future__ import annotations

import math
import re
from fractions import Fraction

from walltriage.errors import QuantityError
from walltriage.language import say

IN_PER_M = 1 / 0.0254  # exact by definition (international yard and pound, 1959)
LB_PER_KN = 1000 / 4.4482216152605  # exact by definition of the pound-force
LENGTH_HELP = "a length such as 12 ft 6 in, 12'-6\", 12.5 ft, 3.81 m or 381 cm"

_IN_PER = {"ft": 12.0, "in": 1.0, "m": IN_PER_M, "cm": IN_PER_M / 100, "mm": IN_PER_M / 1000}
_UNIT_WORDS = {
    "'": "ft", "ft": "ft", "foot": "ft", "feet": "ft",
    '"': "in", "in": "in", "inch": "in", "inches": "in",
    "m": "m", "meter": "m", "meters": "m", "metre": "m", "metres": "m",
    "cm": "cm", "mm": "mm",
}  # fmt: skip
LENGTH_UNITS = tuple(_IN_PER)
MOST_LETTERS = 60  # of a length or load; nobody measures longer

_NUMBER = r"(?:\d+\s+\d+/\d+|\d+-\d+/\d+|\d+/\d+|\d+\.?\d*|\.\d+)"
_UNIT = r"(?:feet|foot|ft|inches|inch|in|met(?:er|re)s?|mm|cm|m|'|\")"
_PIECE = re.compile(rf"\s*({_NUMBER})\s*({_UNIT})?\.?\s*[-,]?\s*", re.IGNORECASE)
_TYPOGRAPHIC = str.maketrans({"′": "'", "’": "'", "″": '"', "”": '"', "“": '"', "‐": "-", "–": "-"})

METRIC = re.compile(
    r"\d\s*(?:[cm]?m|met(?:er|re)s?|kpa|mpa|kn(?:/m[2²]?)?)(?![a-z0-9])", re.IGNORECASE
)
"""Finds a metric unit of length or load behind a number."""

_LOADS = {
    "psf": {"psf": 1.0, "kpa": LB_PER_KN * 0.3048**2, "kn/m2": LB_PER_KN * 0.3048**2},
    "plf": {"plf": 1.0, "lb/ft": 1.0, "kn/m": LB_PER_KN * 0.3048},
    "lb": {"lb": 1.0, "lbs": 1.0, "kip": 1000.0, "kips": 1000.0, "kn": LB_PER_KN},
    "psi": {"psi": 1.0, "mpa": LB_PER_KN * 1000 * 0.0254**2},
}


_TOLD_METRIC = {
    "psf": ("kPa", 2), "plf": ("kN/m", 2), "lb": ("kN", 1), "psi": ("MPa", 2),
}  # fmt: skip


def format_quantity(value: float, unit: str, metric: bool = False) -> str:
    """A load, stress, area or small length with its unit, as people of either measure write it.

    ``unit`` is ``psf``, ``plf``, ``lb``, ``psi``, ``sq ft`` or ``in``; any other is kept.
    """
    if metric and unit in _TOLD_METRIC:
        shown, digits = _TOLD_METRIC[unit]
        return f"{value / _LOADS[unit][shown.lower()]:,.{digits}f} {shown}"
    if metric and unit == "sq ft":
        return f"{value * 144 / IN_PER_M**2:.2f} sq m"
    if metric and unit == "in":
        return f"{value / IN_PER_M * 1000:.1f} mm"
    digits = {"sq ft": 1, "in": 2}.get(unit, 0)
    return f"{value:,.{digits}f} {unit}".rstrip()


def _number(text: str) -> float:
    if "/" not in text:
        return float(text)
    parts = re.split(r"[\s-]+", text.strip())
    return float(sum(Fraction(part) for part in parts))


def parse_length(value: str | float | int, default_unit: str = "ft") -> float:
    """Return inches.

    ``value`` is a text with units, or a bare number in ``default_unit`` (one of
    :data:`LENGTH_UNITS`).  Raises :class:`QuantityError` for anything else:
    no number, an unknown unit, a negative or non-finite value, feet after inches.
    """
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise _no_length(repr(value))
    if not isinstance(value, str):
        if not _finite(value) or value < 0:
            raise _no_length(repr(value))
        return float(value) * _IN_PER[default_unit]
    if len(value) > MOST_LETTERS:
        raise QuantityError(
            say("{count} letters are not a length", count=f"{len(value):,}") + _expected_length()
        )
    text = value.strip().translate(_TYPOGRAPHIC).replace("''", '"')
    pieces, position = [], 0
    while position < len(text):
        match = _PIECE.match(text, position)
        if match is None or match.end() == position:
            raise _no_length(f"'{value}'")
        try:
            pieces.append((_number(match[1]), (match[2] or "").lower()))
        except ZeroDivisionError:
            raise QuantityError(
                say("'{value}' divides by zero", value=value) + _expected_length()
            ) from None
        position = match.end()
    units = [_UNIT_WORDS.get(unit, "") for _, unit in pieces]
    if len(pieces) == 1:
        units = [units[0] or default_unit]
    elif len(pieces) == 2 and units[0] == "ft" and units[1] in ("in", ""):
        units = ["ft", "in"]
    else:
        raise _no_length(f"'{value}'")
    return sum(number * _IN_PER[unit] for (number, _), unit in zip(pieces, units, strict=True))


def _no_length(value: str) -> QuantityError:
    return QuantityError(say("{value} is not a length", value=value) + _expected_length())


def _expected_length() -> str:
    return say("; expected {length}", length=say(LENGTH_HELP))


def _finite(value: float | int) -> bool:
    """Whether a number is one that can be reckoned with."""
    try:
        return math.isfinite(value)
    except OverflowError:  # a whole number too large for a float
        return False


def parse_load(value: str | float | int, unit: str) -> float:
    """Return the load in ``unit``: ``psf``, ``plf``, ``lb`` or ``psi``.

    Metric equivalents (kPa, kN/m, kN, MPa) are converted; a bare number is taken
    to be in ``unit``.  Raises :class:`QuantityError`, naming the accepted units.
    """
    accepted = _LOADS[unit]
    wanted = f"expected a number in {unit}, or in " + " or ".join(u for u in accepted if u != unit)
    if isinstance(value, bool):
        raise QuantityError(f"{value!r} is not a load; {wanted}")
    if isinstance(value, str) and len(value) > MOST_LETTERS:
        raise QuantityError(f"{len(value):,} letters are not a load; {wanted}")
    if isinstance(value, int | float) and not _finite(value):
        raise QuantityError(f"{value!r} is not a load; {wanted}")
    if isinstance(value, int | float):
        number, written = float(value), unit
    else:
        match = re.fullmatch(r"\s*([-+]?\d*\.?\d+)\s*([a-zA-Z/2²]*)\s*", str(value))
        if match is None:
            raise QuantityError(f"'{value}' is not a load; {wanted}")
        number, written = float(match[1]), (match[2] or unit).lower().replace("²", "2")
    if written not in accepted or not math.isfinite(number) or number < 0:
        raise QuantityError(f"'{value}' is not a load in {unit}; {wanted}")
    return number * accepted[written]


def format_length(inches: float, metric: bool = False) -> str:
    """Return ``12 ft 6 in`` (to the nearest inch), or ``3.81 m``."""
    if metric:
        return f"{inches / IN_PER_M:.2f} m"
    whole = round(inches)
    feet, rest = divmod(whole, 12)
    if feet and rest:
        return f"{feet} ft {rest} in"
    return f"{feet} ft" if feet else f"{rest} in"
