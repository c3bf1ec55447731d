"""Could the joists reach without this wall?  Evidence, not proof.

Joists in old houses are commonly overspanned: chosen by habit, for lighter loads, or for
bending alone, they stand where a table of today would refuse them.  So ``could_not`` is said
only of a span that passes both the greatest calculated span of the lumber that may be there and
*the overspan factor of its time* (``rules/members/spans.yaml``, ``eras``) times the span of the
usual grade under usual load, or that passes the longest joist sold in one piece.  ``easily`` is
said only under a fraction of the smallest calculated span.  All between is ``marginal``.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from walltriage.errors import refuse
from walltriage.language import say
from walltriage.structure.inputs import within
from walltriage.structure.joist_capacity import capacity
from walltriage.structure.steps import NOTE, CalcStep, Range
from walltriage.structure.tables import Tables
from walltriage.units import format_length


class SpanState(StrEnum):
    """How the joists stand without the wall."""

    COULD_NOT = "could_not"
    MARGINAL = "marginal"
    EASILY = "easily"


@dataclass(frozen=True, slots=True)
class SpanNeed:
    """Whether joists could span without a wall, in one word and one sentence.

    ``capacity_in`` is the calculated range; ``could_not_over_in`` and ``easily_under_in`` are
    the two cuts used.  ``doubts`` names what does not fit (joists already overspanned with the
    wall standing, say).
    """

    state: SpanState
    sentence: str
    span_without_in: tuple[float, float]
    span_with_in: tuple[float, float] | None
    capacity_in: Range
    lowest: str
    highest: str
    overspan: float
    could_not_over_in: float
    easily_under_in: float
    doubts: tuple[str, ...]
    steps: tuple[CalcStep, ...]
    note: str = NOTE


def _interval(tables: Tables, name: str, value: Any) -> tuple[float, float]:
    low, high = (value, value) if isinstance(value, int | float) else value
    first, last = (within(tables, "span_in", end, name=name) for end in (low, high))
    if first > last:
        raise refuse(name, f"{first:g} to {last:g} in runs backward", "give the shorter first")
    return first, last


def _said(low: float, high: float) -> str:
    short, long = format_length(low), format_length(high)
    return short if short == long else say("{short} to {long}", short=short, long=long)


def span_need(
    tables: Tables,
    *,
    span_without_in: float | tuple[float, float],
    span_with_in: float | tuple[float, float] | None = None,
    size: str | None = None,
    spacing_in: float | None = None,
    use: str = "floor",
    era: str | None = None,
    species: str | None = None,
    grade: str | None = None,
    live_psf: float | None = None,
    dead_psf: float | None = None,
    snow_psf: float | None = None,
) -> SpanNeed:
    """Could joists span ``span_without_in`` (shortest, longest; inches) if the wall went?

    Unknown lumber, spacing and loads run over what is common in the era.  With the size
    unknown, spans under about 5 ft always count as easy and spans over about 15 ft never do
    (both figures in the span rules).  ``snow_psf`` is the ground snow of the place, for rafters.
    Raises :class:`InputError` for unknown names and for spans outside the accepted range.
    """
    without = _interval(tables, say("span without the wall"), span_without_in)
    beside = None
    if span_with_in is not None:
        beside = _interval(tables, say("span with the wall"), span_with_in)
        if beside[0] > without[1]:
            text = "is longer than the span without it"
            raise refuse("span with the wall", text, "expected the shorter of the two")
    when = era or "unknown"
    can = capacity(
        tables, use=use, size=size, spacing_in=spacing_in, species=species, grade=grade, era=when,
        live_psf=live_psf, dead_psf=dead_psf, snow_psf=snow_psf,
    )  # fmt: skip
    reach, rule, times = can.span, tables.spans["span_need"], tables.spans["eras"][when]
    overspan = times["overspan"]
    # joists of a named size are sawn; those nobody has seen may be I-joists in a later house
    longest = times["longest_in"] if size is None else rule["longest_sawn_in"]
    easily_under = rule["easily_fraction"] * reach.low
    could_not_over = min(max(overspan * can.usual_best_in, reach.high), longest)
    if size is None:
        # A hall's width is no span question whatever is up there, and a big room always is one.
        easily_under = max(easily_under, rule["no_question_under_in"])
        easily_under = min(easily_under, rule["question_over_in"])
    if without[0] > could_not_over:
        state = SpanState.COULD_NOT
    elif without[1] <= easily_under:
        state = SpanState.EASILY
    else:
        state = SpanState.MARGINAL
    steps = (
        CalcStep("L_could_not",
                 "min(max(overspan factor x usual span, highest span), longest piece)",
                 f"min(max({overspan:g} x {can.usual_best_in:.1f}, {reach.high:.1f}), {longest:g})",
                 could_not_over, "in", "common practice"),
        CalcStep("L_easily", "fraction x lowest capacity", f"{rule['easily_fraction']:g} x "
                 f"{reach.low:.1f}" + ("" if size else ", kept between the two fixed bounds"),
                 easily_under, "in", "common practice"),
    )  # fmt: skip
    doubts: tuple[str, ...] = ()
    if beside and beside[0] > could_not_over:
        doubts = (
            say(
                "even with the wall they would span {what}, more than any likely joist: "
                "check the size, the direction and the distances",
                what=_said(*beside),
            ),
        )
    shown = Range(min(reach.low, longest), min(reach.usual, longest), min(reach.high, longest))
    return SpanNeed(
        state, _sentence(without, size, spacing_in, use, shown, state), without, beside, reach,
        can.lowest, can.highest, overspan, could_not_over, easily_under, doubts, steps,
    )  # fmt: skip


COMMON_WORDS = {
    "ceiling": "the ceiling joists common at the time",
    "floor": "the floor joists common at the time",
    "rafter": "the rafters common at the time",
}


def _sentence(
    without: tuple[float, float],
    size: str | None,
    spacing_in: float | None,
    use: str,
    reach: Range,
    state: SpanState,
) -> str:
    members = say("rafters") if use == "rafter" else say("joists")
    named = size or say(COMMON_WORDS.get(use, "the joists common at the time"))
    spaced = say(" at {spacing_in:g} in", spacing_in=spacing_in) if spacing_in is not None else ""
    several = size is None or spacing_in is not None
    verb = say("manage") if several else say("manages")
    tail = {
        SpanState.COULD_NOT: say("too far, even allowing for how old houses are overspanned"),
        SpanState.MARGINAL: say("the span alone does not settle it"),
        SpanState.EASILY: say("well within reach"),
    }[state]
    return say(
        "if this wall went, the {members} would have to span {span}; {named}{spaced} "
        "{verb} {reach}: {tail}",
        members=members,
        span=_said(*without),
        named=named,
        spaced=spaced,
        verb=verb,
        reach=_said(reach.low, reach.high),
        tail=tail,
    )
