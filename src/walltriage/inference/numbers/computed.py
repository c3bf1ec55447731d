"""Answers that are worked out from measurements instead of being asked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from walltriage.case.model import Answer, least_sure
from walltriage.errors import InputError
from walltriage.inference.numbers.measured_span import measured_span
from walltriage.inference.numbers.measures import Measured
from walltriage.knowledge.base import KnowledgeBase
from walltriage.language import forgets

if TYPE_CHECKING:
    from walltriage.structure.span_need import SpanNeed, SpanState

SPAN_INPUTS = ("one_side", "other_side")
IF_HELD = "easily_if_held"
SPAN_HELD = ("held_one_side", "held_other_side")
SPAN_HELPS = ("size", "spacing", "use", "year", "not_sawn", "run", "ground_snow")


def computed_answers(base: KnowledgeBase, answers: Mapping[str, Answer]) -> dict[str, Answer]:
    """Answers to the computed questions for which the measurements suffice."""
    found = _span_answer(base, answers)
    ratio = base.measures.span_ratio
    if ratio is not None and has_distances(base, answers):
        compared = measured_span(base, answers)
        if compared is not None:
            found[ratio] = compared
    return found


def _span_answer(base: KnowledgeBase, answers: Mapping[str, Answer]) -> dict[str, Answer]:
    question = base.measures.span_need
    need = None if question is None else wall_span_need(base, answers)
    if question is None or need is None:
        return {}
    measured = Measured(base, answers)
    used = [answers[q] for q in measured.questions(SPAN_INPUTS + SPAN_HELD) if q in answers]
    # the result is no surer than the least sure answer it comes from
    sure = least_sure(a.sure for a in used)
    held = [measured.word(name) for name in SPAN_HELD]
    return {question: Answer(span_word(need.state, held), None, need.sentence, sure)}


def span_word(state: SpanState, held: Sequence[str | None]) -> str:
    """The answer that a span state gives, by whether joists are held where it was measured to.

    ``held`` has a word for each side: yes, no, or None where nobody has looked.  The next wall
    may hold nothing, and then the joists cross more than was measured.  So "easily" needs both
    supports known, is conditional while one is not, and is not said where joists are known to
    run on past the place measured to.  A span too long stays too long.
    """
    if state.value != "easily" or all(word == "yes" for word in held):
        return state.value
    return "marginal" if "no" in held else IF_HELD


def has_distances(base: KnowledgeBase, answers: Mapping[str, Answer]) -> bool:
    """Whether both distances are known, without which nothing at all can be worked out.

    Most walls have none, and are spared the arithmetic's modules and tables.
    """
    measured = Measured(base, answers)
    return all(measured.number(name) is not None for name in SPAN_INPUTS)


def wall_span_need(base: KnowledgeBase, answers: Mapping[str, Answer]) -> SpanNeed | None:
    """Whether the members over a wall could span without it; None where that is no question.

    It is none when a distance is missing, when the members are known to run along the wall or
    to be of a kind whose spans no lumber table gives, and when a measurement is out of what
    the arithmetic accepts.
    """
    measured = Measured(base, answers)
    one, other = (measured.number(name) for name in SPAN_INPUTS)
    if one is None or other is None:
        return None
    return _need(base, measured, one, other)


@dataclass(frozen=True, slots=True)
class SpanCuts:
    """What decides a span need for any distances, with the members over a wall as they are.

    Spans from ``least_in`` to ``most_in`` are accepted.
    """

    easily_under_in: float
    could_not_over_in: float
    least_in: float
    most_in: float


def span_cuts(base: KnowledgeBase, answers: Mapping[str, Answer]) -> SpanCuts | None:
    """The cuts that :func:`wall_span_need` uses; None where it would give None at any distance."""
    from walltriage.structure.tables import load_tables

    least, most = load_tables(base.folder).accepted("span_in")
    need = _need(base, Measured(base, answers), least, least)
    if need is None:
        return None
    return SpanCuts(need.easily_under_in, need.could_not_over_in, least, most)


def _need(base: KnowledgeBase, measured: Measured, one: float, other: float) -> SpanNeed | None:
    if measured.word("run") == "along" or measured.word("not_sawn") is not None:
        return None
    era = _era(base, measured)
    if era is None:
        return None
    use = measured.word("use") or "floor"
    spacing, snow = measured.number("spacing"), _snow(measured, use)
    return _span_need(base.folder, one, other, measured.word("size"), spacing, use, era, snow)


def _snow(measured: Measured, use: str) -> float | None:
    """The ground snow in psf; None where it is not known or does not lie on these members."""
    return measured.number("ground_snow") if use == "rafter" else None


def _era(base: KnowledgeBase, measured: Measured) -> str | None:
    """The era in which the house was built; None for a year that nobody can mean."""
    from walltriage.structure.joist_capacity import era_of
    from walltriage.structure.tables import load_tables

    year = measured.number("year")
    try:
        return era_of(load_tables(base.folder), None if year is None else int(year))
    except InputError:
        return None


@forgets
@lru_cache(maxsize=256)
def _span_need(
    folder: Path,
    one_side_in: float,
    other_side_in: float,
    size: str | None,
    spacing_in: float | None,
    use: str,
    era: str,
    snow_psf: float | None,
) -> SpanNeed | None:
    from walltriage.structure.span_need import span_need
    from walltriage.structure.tables import load_tables

    tables = load_tables(folder)
    try:
        return span_need(
            tables,
            span_without_in=one_side_in + other_side_in,
            span_with_in=max(one_side_in, other_side_in),
            size=size,
            spacing_in=spacing_in,
            use=use,
            era=era,
            snow_psf=snow_psf,
        )
    except InputError:
        return None


def reach_cuts(
    base: KnowledgeBase, answers: Mapping[str, Answer], use: str
) -> tuple[float, float] | None:
    """Inches that joists of the house span easily, and beyond which they could not.

    Old houses are overspanned, and the second allows for that.
    """
    measured = Measured(base, answers)
    era = _era(base, measured)
    if era is None:
        return None
    # any span will do: the cuts do not depend on it
    snow = _snow(measured, use)
    need = _span_need(base.folder, 60.0, 60.0, None, None, use, era, snow)
    return None if need is None else (need.easily_under_in, need.could_not_over_in)
