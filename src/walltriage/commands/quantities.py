"""Option values with units, read for the arithmetic commands."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from functools import wraps
from typing import Any

from walltriage.errors import InputError, QuantityError, refuse
from walltriage.language import say
from walltriage.report.metric import in_metric
from walltriage.structure.steps import CalcStep, Check
from walltriage.units import LENGTH_HELP, METRIC, format_quantity, parse_length, parse_load


def length_option(option: str, value: str, default_unit: str) -> float:
    """Inches; :class:`InputError` at the option's name."""
    try:
        return parse_length(value, default_unit)
    except QuantityError as error:
        raise refuse(option, str(error)) from None


def load_option(
    option: str, value: str, unit: str, accepted: tuple[float, float] | None = None
) -> float:
    """The load in ``unit``; :class:`InputError` at the option's name, with the ``accepted`` range.

    Whether a load that can be read lies in it is for the arithmetic to say.
    """
    try:
        return parse_load(value, unit)
    except QuantityError as error:
        range_words = f"; accepted: {accepted[0]:g} to {accepted[1]:,g} {unit}" if accepted else ""
        raise refuse(option, f"{error}{range_words}") from None


def deflection_option(option: str, value: str | None) -> int | None:
    """The divisor of ``360`` or ``L/360``."""
    if value is None:
        return None
    match = re.fullmatch(r"\s*(?:[lL]\s*/\s*)?(\d+)\s*", value)
    if match is None:
        expected = "expected the divisor of the span, such as 360 or L/360"
        raise refuse(option, f"'{value}' is not a deflection limit", expected)
    return int(match[1])


def point_option(option: str, value: str, accepted: tuple[float, float]) -> tuple[float, float]:
    """Pounds and inches from ``1200 lb @ 4 ft``; see :func:`load_option` for ``accepted``."""
    load, mark, place = value.partition("@")
    if not mark:
        expected = "expected a load and its place, such as '1200 lb @ 4 ft'"
        raise refuse(option, f"'{value}' is not a point load", expected)
    pounds = load_option(option, load.strip(), "lb", accepted)
    return pounds, length_option(option, place, "ft")


def is_metric(*values: str | None) -> bool:
    """Whether any of the values of options is in metric units: then the answers are as well."""
    return any(METRIC.search(value) is not None for value in values if value)


def refuses_in_same_measure(command: Callable[..., None]) -> Callable[..., None]:
    """A command that, asked in metric, tells in metric too what is out of range."""

    @wraps(command)
    def in_same_measure(**options: Any) -> None:
        try:
            command(**options)
        except InputError as error:
            values = (v if isinstance(v, tuple) else (v,) for v in options.values())
            if not is_metric(*(v for each in values for v in each if isinstance(v, str))):
                raise
            raise InputError(
                replace(problem, what=_metric(problem.what), expected=_metric(problem.expected))
                for problem in error
            ) from None

    return in_same_measure


def _metric(text: str) -> str:
    """What is said of a value in metric; how lengths are written is left as it is."""
    return text if LENGTH_HELP in text else in_metric(text)


def demand_of_limit(check: Check, metric: bool) -> str:
    """Demand and limit of a check, each with its unit."""
    demand, limit = (format_quantity(x, check.unit, metric) for x in (check.demand, check.limit))
    return say("{demand} of {limit}", demand=f"{demand:>11}", limit=limit)


def step_line(step: CalcStep, metric: bool) -> str:
    """One step of the arithmetic, which goes by inches and pounds, with its result in both."""
    result = format_quantity(step.result, step.unit, metric)
    changed = metric and not result.endswith(f" {step.unit}".rstrip())
    return f"{step} ({result})" if changed else str(step)


def check_data(check: Check, *more: str) -> dict[str, Any]:
    """One check as plain data for JSON; ``more`` of its fields follow those that all have."""
    return {
        "name": check.name,
        "demand": round(check.demand, 4),
        "limit": round(check.limit, 4),
        "unit": check.unit,
        "ratio": round(check.ratio, 4),
        **{field: getattr(check, field) for field in more},
    }


def step_data(step: CalcStep) -> dict[str, Any]:
    """One step of the arithmetic as plain data for JSON."""
    return {
        "symbol": step.symbol,
        "formula": step.formula,
        "numbers": step.numbers,
        "result": round(step.result, 4),
        "unit": step.unit,
        "source": step.source,
    }
