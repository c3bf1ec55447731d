"""One answer as somebody wrote it, checked against the question it answers."""

from __future__ import annotations

import math
import re
from functools import partial
from typing import Any, Protocol

from walltriage.case.model import NO_ANSWER, Answer, Sureness, least_sure
from walltriage.case.years import parse_years
from walltriage.errors import QuantityError, did_you_mean
from walltriage.language import say
from walltriage.units import METRIC, format_length, parse_length

_BARE = re.compile(r"[\d\s./,]+")  # a length typed without its unit


class AnswerableQuestion(Protocol):
    """What this room needs to know of a question."""

    @property
    def entry(self) -> Any: ...
    @property
    def scope(self) -> str: ...
    @property
    def values(self) -> tuple[str, ...]: ...
    def number(self, limit: str | float) -> float: ...
    def band_of(self, number: float) -> str: ...


class AnswerError(ValueError):
    """A value that does not fit its question: what is wrong, and what was expected."""

    def __init__(self, what: str, expected: str) -> None:
        self.what, self.expected = what, expected
        super().__init__(f"{what}; {expected}")


def make_answer(
    question_id: str,
    question: AnswerableQuestion,
    value: Any,
    *,
    units: str = "ft",
    sure: Sureness = "certain",
    by: str = "",
    seen_on: str = "",
    note: str = "",
    metric: bool = False,
) -> Answer:
    """Check a value and return the :class:`Answer`; raises :class:`AnswerError`.

    ``metric`` has a refusal name its limits in meters, whatever was typed.
    """
    answered = partial(Answer, sure=sure, by=by, seen_on=seen_on, note=note)
    if value in NO_ANSWER:
        return answered(value, None, value)
    kind = question.entry.answer
    if kind == "choice":
        if value not in question.values:
            options = ", ".join((*question.values, *NO_ANSWER))
            near = did_you_mean(str(value), question.values)
            raise AnswerError(
                f"'{value}' is not an answer to '{question_id}'{near}", f"expected one of {options}"
            )
        return answered(value, None, value)
    if kind == "text":
        if isinstance(value, dict | list) or value is None:
            raise AnswerError(f"the answer to '{question_id}' is not text", "expected some words")
        return answered(str(value), None, str(value))
    if getattr(question.entry, "years", False):
        number, at_most = _year(question_id, question, value, sure)
        given = value if isinstance(value, str) else f"{value:g}"
        return answered(question.band_of(number), number, given, sure=at_most)
    number = _measured(question_id, question, value, units, metric)
    given = value if isinstance(value, str) else f"{value:g}"
    if kind == "length" and _BARE.fullmatch(given):
        given = f"{given.strip()} {units}"
    return answered(question.band_of(number), number, given)


def _year(
    question_id: str, question: AnswerableQuestion, value: Any, sure: Sureness
) -> tuple[float, Sureness]:
    """The year that counts, and how sure it can be at most.

    Of a stretch within one band the middle is taken, as "fairly" sure.  Where the stretch could
    be in two bands its earliest year counts, as a guess: what is older asks for more care.
    """
    least, most = question.number(question.entry.least), question.number(question.entry.most)
    try:
        years = parse_years(value)
    except QuantityError as error:
        span = say(
            "from {span}", span=say("{least} to {most}", least=f"{least:g}", most=f"{most:g}")
        )
        raise AnswerError(f"'{question_id}': {error}", span) from None
    if not least <= years.first <= years.last <= most:
        span = say("{least} to {most}", least=f"{least:g}", most=f"{most:g}")
        raise _out_of_range(question_id, value, span)
    if years.exact:
        return float(years.first), sure
    one_band = question.band_of(years.first) == question.band_of(years.last)
    number = years.middle if one_band else years.first
    at_most: Sureness = "fairly" if one_band else "guess"
    return float(number), least_sure((sure, at_most))


def _measured(
    question_id: str, question: AnswerableQuestion, value: Any, units: str, metric: bool
) -> float:
    kind = question.entry.answer
    least, most = question.number(question.entry.least), question.number(question.entry.most)

    def span() -> str:
        ends = [f"{least:g}", f"{most:g}"]
        if kind == "length":
            meters = metric or units not in ("ft", "in") or METRIC.search(str(value)) is not None
            ends = [format_length(end, meters) for end in (least, most)]
        return say("{least} to {most}", least=ends[0], most=ends[1])

    try:
        if isinstance(value, bool) or value is None:
            raise QuantityError(say("{value} is not a measured value", value=repr(value)))
        if kind == "length":
            number = parse_length(value, units)
        else:
            number = float(value)
            if not math.isfinite(number):
                raise QuantityError(say("{value} is not a number", value=repr(value)))
    except QuantityError as error:
        raise AnswerError(f"'{question_id}': {error}", say("from {span}", span=span())) from None
    except (ValueError, TypeError, OverflowError):
        what = say("{value} is not a number", value=repr(value))
        expected = say("expected {span}", span=span())
        raise AnswerError(f"'{question_id}': {what}", expected) from None
    if not least <= number <= most:
        told = span()
        if kind == "length" and _in_inches(value, least, most):
            told = say("{span}; for inches, type {value} in", span=told, value=value)
        raise _out_of_range(question_id, value, told)
    return number


def _in_inches(value: object, least: float, most: float) -> bool:
    """Whether a length without a unit would fit if it was meant in inches."""
    try:
        return least <= parse_length(f"{value} in") <= most
    except QuantityError:
        return False


def _out_of_range(question_id: str, value: Any, span: str) -> AnswerError:
    what = say("'{value}' is out of range", value=value)
    return AnswerError(f"'{question_id}': {what}", say("expected {span}", span=span))
