"""What the answers say of a house beside its plan, as the arithmetic takes it."""

from __future__ import annotations

from collections.abc import Mapping

from walltriage.case.model import Answer
from walltriage.inference.numbers.measures import Measured
from walltriage.knowledge.base import KnowledgeBase
from walltriage.structure.settled import Site


def site_of(
    base: KnowledgeBase,
    answers: Mapping[str, Answer],
    of_walls: Mapping[str, Mapping[str, Answer]],
) -> Site:
    """The site of a house; ``answers`` are those about the house, ``of_walls`` by wall."""
    measured = Measured(base, answers)
    breaks = frozenset(
        wall
        for wall, known in of_walls.items()
        if Measured(base, known).word("joists_break") == "yes"
    )
    return Site(
        measured.assumed("wall_height"),
        measured.number_or_assumed("roof_slope_deg"),
        measured.number("ground_snow"),
        measured.word("covering") or "roof_light",
        measured.word("roof_trusses") == "yes",
        breaks,
    )
