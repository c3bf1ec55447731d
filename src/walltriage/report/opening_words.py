"""An opening-up plan in words, for terminal and pages."""

from __future__ import annotations

from walltriage.inference.finding import InspectionOpening, OpeningPlan
from walltriage.language import say
from walltriage.report.words import capitalized
from walltriage.units import format_length


def place_words(step: InspectionOpening, plan: OpeningPlan) -> str:
    """Where a step is done along the wall."""
    where = step.where
    if where == "covers":
        return say("at a light, vent or register near the wall")
    if where == "spot":
        return say(step.spot)
    if where == "whole":
        return say("from end to end")
    if plan.length_in is None:
        return say("at both ends and every 4 ft between; measure the wall first")
    end = plan.zero_end or say("one end, the same for all")
    spots = ", ".join(format_length(spot) for spot in step.at_in)
    return say("at {spots}, measured from {end}", spots=spots, end=end)


def spots_of(plan: OpeningPlan | None) -> tuple[float, ...]:
    """Where the first step with places opens the wall, inches; nothing without one."""
    steps = () if plan is None else plan.steps
    return next((step.at_in for step in steps if step.at_in), ())


def how_words(step: InspectionOpening, plan: OpeningPlan, *, drawn: bool = False) -> str:
    """Place, size and tool of a step in one line; places that are ``drawn`` are not told again."""
    place = say("at each place drawn") if drawn and step.at_in else place_words(step, plan)
    return say(
        "{place}. Size: {size}. With: {tool}.",
        place=capitalized(place),
        size=step.size,
        tool=step.tool,
    )


def outcome_words(step: InspectionOpening) -> str:
    """What each thing seen in a step means, and what the step cannot show."""
    outcomes = (f"{capitalized(seen.sees)}: {seen.means}" for seen in step.outcomes)
    return " ".join((*outcomes, say("Cannot show: {cannot_show}", cannot_show=step.cannot_show)))
