"""One answer as somebody wrote it, checked against the question it answers."""

from __future__ import annotations

import math
from functools import partial
from typing import Any, Protocol

from walltriage.case.model import NO_ANSWER, Answer, Sureness, least_sure
from walltriage.case.years import parse_years
from walltriage.errors import QuantityError, did_you_mean
from walltriage.units import METRIC, format_length, parse_length


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
) -> Answer:
    """Check a value and return the :class:`Answer`; raises :class:`AnswerError`."""
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
    number = _measured(question_id, question, value, units)
    given = value if isinstance(value, str) else f"{value:g}"
    if kind == "length" and not isinstance(value, str):
        given = f"{value:g} {units}"
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
        span = f"from {least:g} to {most:g}"
        raise AnswerError(f"'{question_id}': {error}", span) from None
    if not least <= years.first <= years.last <= most:
        what = f"'{question_id}': '{value}' is out of range"
        raise AnswerError(what, f"expected {least:g} to {most:g}")
    if years.exact:
        return float(years.first), sure
    one_band = question.band_of(years.first) == question.band_of(years.last)
    number = years.middle if one_band else years.first
    at_most: Sureness = "fairly" if one_band else "guess"
    return float(number), least_sure((sure, at_most))


def _measured(question_id: str, question: AnswerableQuestion, value: Any, units: str) -> float:
    kind = question.entry.answer
    least, most = question.number(question.entry.least), question.number(question.entry.most)
    span = f"{least:g} to {most:g}"
    if kind == "length":
        metric = METRIC.search(str(value)) is not None
        span = f"{format_length(least, metric)} to {format_length(most, metric)}"
    try:
        if isinstance(value, bool) or value is None:
            raise QuantityError(f"{value!r} is not a measured value")
        if kind == "length":
            number = parse_length(value, units)
        else:
            number = float(value)
            if not math.isfinite(number):
                raise QuantityError(f"{value!r} is not a number")
    except QuantityError as error:
        raise AnswerError(f"'{question_id}': {error}", f"from {span}") from None
    except (ValueError, TypeError, OverflowError):
        raise AnswerError(
            f"'{question_id}': {value!r} is not a number", f"expected {span}"
        ) from None
    if not least <= number <= most:
        raise AnswerError(f"'{question_id}': '{value}' is out of range", f"expected {span}")
    return number
