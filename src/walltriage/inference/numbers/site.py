"""What the answers say of a house beside its plan, as the arithmetic takes it."""

from __future__ import annotations

from collections.abc import Mapping

from walltriage.case.model import Answer, Case
from walltriage.inference.numbers.measures import Measured
from walltriage.knowledge.base import KnowledgeBase
from walltriage.structure.house_frame import Site


def site_of(base: KnowledgeBase, answers: Mapping[str, Answer], case: Case) -> Site:
    """The site of a case; ``answers`` are those about the house, with what its plan gives."""
    measured = Measured(base, answers)
    breaks = frozenset(
        wall.id
        for wall in case.walls
        if Measured(base, case.answers_for(wall.id)).word("joists_break") == "yes"
    )
    return Site(
        measured.assumed("wall_height"),
        measured.number_or_assumed("roof_slope_deg"),
        measured.number("ground_snow"),
        measured.word("covering") or "roof_light",
        measured.word("roof_trusses") == "yes",
        breaks,
    )
