"""How to open a wall that is left open: which steps, and at which places along it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import Literal

from walltriage.case.looks import WallLooks
from walltriage.case.model import Answer
from walltriage.inference.belief.signs import OPENED
from walltriage.inference.finding import InspectionOpening, OpeningPlan, SeenOutcome, WallFinding
from walltriage.inference.seen_along import SAME_SPOT_IN, Reach, Stretch, stretches
from walltriage.inference.seen_answers import NO_LOOKS, reach_of, wall_length_in
from walltriage.knowledge import seen_along
from walltriage.knowledge.base import KnowledgeBase

FRAMING = "framing"


def opening_plan(
    base: KnowledgeBase,
    wall: WallFinding,
    looks: WallLooks | None,
    answers: Mapping[str, Answer],
) -> OpeningPlan | None:
    """The plan for a wall that cannot be told; None for any other, where a caution forbids holes,
    where the wall's top is elsewhere, or where no step would help.

    A step helps while a load path that it can show is open, or something told asks for a look at
    its spot, and a place while nobody has seen it.
    """
    rules = base.seen_along
    if rules is None or wall.verdict != "cannot_tell":
        return None
    if OPENED in forbidden_places(base, (caution.rule for caution in wall.cautions)):
        return None
    elsewhere = rules.opening.not_where
    if any(name in answers and answers[name].value in elsewhere[name] for name in elsewhere):
        return None
    told = looks or NO_LOOKS
    length_in = wall_length_in(rules, told, answers)
    reach = rules.reach(FRAMING)
    seen = stretches(told, reach.places, length_in)
    spots = () if length_in is None else spots_left(length_in, seen, reach_of(reach))
    open_paths = {path.id for path in wall.load_paths if path.status == "open"}
    steps = []
    for step in rules.opening.steps:
        if isinstance(step.where, seen_along.OneSpot):
            if not _needed(step.where, answers):
                continue
        elif not open_paths & set(step.paths):
            continue
        along = step.where == "along"
        if along and length_in is not None and not spots:
            continue
        steps.append(_step(step, spots if along else ()))
    if not steps:
        return None
    first = tuple(caution.says for caution in rules.opening.first)
    return OpeningPlan(told.zero_end, length_in, first, tuple(steps))


def forbidden_places(base: KnowledgeBase, cautions: Iterable[str]) -> frozenset[str]:
    """Where nobody is to be sent while these cautions, by id, stand: into no hole where one is
    against holes, nor to the place before whose looks it is told."""
    fired = set(cautions)
    forbidding = [c for c in base.cautions.cautions if c.forbids_opening and c.id in fired]
    told_before = {c.before_look_in for c in forbidding if c.before_look_in is not None}
    return frozenset({OPENED, *told_before} if forbidding else ())


def _needed(spot: seen_along.OneSpot, answers: Mapping[str, Answer]) -> bool:
    """Whether what was told asks for a look at this spot, and nobody has taken it."""
    asked = answers.get(spot.asks)
    if asked is not None and asked.is_real and (not spot.until or asked.value in spot.until):
        return False

    def told(name: str, values: list[str]) -> bool:
        return name in answers and answers[name].value in values

    return any(told(*item) for item in spot.after.items()) and all(
        told(*item) for item in spot.only_with.items()
    )


def _step(step: seen_along.OpeningStep, spots_in: tuple[float, ...]) -> InspectionOpening:
    where: Literal["covers", "spot", "along", "whole"] = "spot"
    spot = ""
    if isinstance(step.where, seen_along.OneSpot):
        spot = step.where.says
    else:
        where = step.where
    return InspectionOpening(
        step.id, step.title, where, spot, spots_in, step.size, step.tool, tuple(step.paths),
        step.shows, tuple(SeenOutcome(seen.sees, seen.means) for seen in step.outcomes),
        step.cannot_show,
    )  # fmt: skip


def spots_left(length_in: float, seen: list[Stretch], reach: Reach) -> tuple[float, ...]:
    """Where to open so that no gap is left: both ends, and evenly between, to the inch.

    Places that have been seen, or lie within the width of a hole of one, are left out.
    """
    edge = min(reach.end_in / 2, length_in / 2)
    between = length_in - 2 * edge
    parts = max(math.ceil(between / reach.gap_in), 1) if between > 0 else 0
    spots = [edge + between * i / parts for i in range(parts + 1)] if parts else [edge]
    return tuple(
        # rounding evenly spaced places moves none apart by more than the gap, a whole inch
        float(round(spot))
        for spot in spots
        if not any(start - SAME_SPOT_IN <= spot <= end + SAME_SPOT_IN for start, end in seen)
    )
