"""The measured span over a wall against every known capacity of the measured joists.

Unlike the span need, which runs over what is common, this one asks for a size and a spacing
that somebody measured, and compares with all that is known to exist.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from walltriage.case.model import Answer, least_sure
from walltriage.errors import InputError
from walltriage.inference.numbers.measures import Measured
from walltriage.knowledge.base import KnowledgeBase
from walltriage.language import forgets, say
from walltriage.units import format_length

WELL_WITHIN, IN_BETWEEN, BEYOND_ALL = "well_within", "in_between", "beyond_all"
SIDES = ("one_side", "other_side")
HELD = ("held_one_side", "held_other_side")
LUMBER = ("size", "spacing")
HELPS = (*LUMBER, "use", "year", "not_sawn", "run", "ground_snow")
UNKNOWN_USE = ("floor", "ceiling")


@dataclass(frozen=True, slots=True)
class ReachCuts:
    """Capacities in inches of the measured joists, and the two cuts that decide for a span.

    Spans over ``beyond_in`` are out of reach of all, spans up to ``within_in`` within that of the
    weakest; those outside ``least_in`` to ``most_in`` are not compared.
    """

    lowest_in: float
    highest_in: float
    highest: str
    within_in: float
    beyond_in: float
    least_in: float
    most_in: float

    def word(self, span_in: float, *, held: bool) -> str | None:
        """The answer a span gives; ``held``: somebody has seen both supports.

        None where the span is short and nobody has: the next walls may hold nothing.
        """
        if not self.least_in <= span_in <= self.most_in:
            return None
        if span_in > self.beyond_in:
            return BEYOND_ALL
        if span_in > self.within_in:
            return IN_BETWEEN
        return WELL_WITHIN if held else None


def reach_cuts(base: KnowledgeBase, answers: Mapping[str, Answer]) -> ReachCuts | None:
    """The cuts for the measured joists; None without size and spacing, or where joists run along
    the wall or are of a kind whose spans no lumber table gives."""
    measured = Measured(base, answers)
    size, spacing, year = (
        measured.word("size"), measured.number("spacing"), measured.number("year")
    )  # fmt: skip
    if size is None or spacing is None:
        return None
    if measured.word("run") == "along" or measured.word("not_sawn") is not None:
        return None
    use = measured.word("use")
    uses = UNKNOWN_USE if use is None else (use,)
    # an unknown use stands for floors and ceilings, and no snow lies on those
    snow = measured.number("ground_snow") if use == "rafter" else None
    return _cuts(base.folder, size, spacing, uses, None if year is None else int(year), snow)


@forgets
@lru_cache(maxsize=256)
def _cuts(
    folder: Path,
    size: str,
    spacing_in: float,
    uses: tuple[str, ...],
    year: int | None,
    snow_psf: float | None,
) -> ReachCuts | None:
    from walltriage.structure.known_reach import known_reach
    from walltriage.structure.tables import load_tables

    tables = load_tables(folder)
    try:
        reach = known_reach(
            tables, size=size, spacing_in=spacing_in, uses=uses, year=year, snow_psf=snow_psf
        )
    except InputError:
        return None
    rule, (least, most) = tables.spans["measured_span"], tables.accepted("span_in")
    return ReachCuts(
        reach.lowest_in,
        reach.highest_in,
        reach.highest,
        rule["well_within_to"] * reach.lowest_in,
        rule["beyond_from"] * reach.highest_in,
        least,
        most,
    )


@dataclass(frozen=True, slots=True)
class ComparedSpan:
    """A measured span beside the known capacities of joists of its size, all in inches."""

    word: str
    span_in: float
    joist: str
    cuts: ReachCuts

    @property
    def to_highest(self) -> float:
        return self.span_in / self.cuts.highest_in

    @property
    def to_lowest(self) -> float:
        return self.span_in / self.cuts.lowest_in

    @property
    def sentence(self) -> str:
        """Both ratios, in words."""
        return say(
            "measured: {span_in} without the wall is {to_highest:.2f} times the "
            "{highest_in} that the best {joist} is known to reach ({highest}), and "
            "{to_lowest:.2f} times the {lowest_in} of the weakest",
            span_in=format_length(self.span_in),
            to_highest=self.to_highest,
            highest_in=format_length(self.cuts.highest_in),
            joist=self.joist,
            highest=self.cuts.highest,
            to_lowest=self.to_lowest,
            lowest_in=format_length(self.cuts.lowest_in),
        )


def compared_span(base: KnowledgeBase, answers: Mapping[str, Answer]) -> ComparedSpan | None:
    """How the measured span compares; None where it cannot be compared."""
    measured = Measured(base, answers)
    one, other = (measured.number(name) for name in SIDES)
    if one is None or other is None:
        return None
    cuts = reach_cuts(base, answers)
    if cuts is None:
        return None
    word = cuts.word(one + other, held=all(measured.word(name) == "yes" for name in HELD))
    if word is None:
        return None
    joist = say(
        "{more} at {more_2:g} in", more=measured.word("size"), more_2=measured.number("spacing")
    )
    return ComparedSpan(word, one + other, joist, cuts)


def measured_span(base: KnowledgeBase, answers: Mapping[str, Answer]) -> Answer | None:
    """The comparison as an answer, no surer than the least sure measurement it comes from."""
    compared = compared_span(base, answers)
    if compared is None:
        return None
    names = SIDES + LUMBER + (HELD if compared.word == WELL_WITHIN else ())
    questions = Measured(base, answers).questions(names)
    used = [answers[question] for question in questions if question in answers]
    sure = least_sure(answer.sure for answer in used)
    return Answer(compared.word, None, compared.sentence, sure)
