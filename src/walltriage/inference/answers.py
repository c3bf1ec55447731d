"""The one way from a case to the answers that count for a wall.

What people said is in the case; what counts is more and other than that: the plan of the house
and its other walls answer questions too, and arithmetic answers some from measurements.  Whoever
judges a wall, one at a time or in columns, takes its answers from :func:`answers_that_count`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from walltriage.case.model import Answer, Case
from walltriage.inference.finding import Verdict
from walltriage.inference.numbers.computed import computed_answers
from walltriage.inference.relations.house_answers import house_answers
from walltriage.inference.relations.plan_answers import PlanReader
from walltriage.inference.seen_answers import with_looks
from walltriage.knowledge.base import KnowledgeBase


def answers_that_count(
    base: KnowledgeBase,
    case: Case,
    wall_id: str,
    reader: PlanReader | None,
    verdict_of: Callable[[str], Verdict],
) -> dict[str, Answer]:
    """All answers that bear on one wall: given, from the plan, from other walls, worked out.

    ``reader`` reads the plan of the case, and is None where there is none.  ``verdict_of`` is
    asked for the walls named by :func:`judged_before` only.  Raises :class:`KeyError` when the
    case has no such wall.
    """
    if reader is None:
        answers = case.answers_for(wall_id)
    else:
        answers = house_answers(reader, case, wall_id, verdict_of)
    return with_worked_out(base, with_looks(base, case.wall(wall_id).looks, answers))


def with_worked_out(base: KnowledgeBase, answers: Mapping[str, Answer]) -> dict[str, Answer]:
    """Answers about one wall with those that arithmetic gives; all there is without a plan."""
    return {**answers, **computed_answers(base, answers)}


def judged_before(reader: PlanReader | None, walls: Iterable[str]) -> set[str]:
    """The walls whose verdicts answers about these walls wait for; they are of higher levels."""
    if reader is None:
        return set()
    return {
        other
        for wall_id in walls
        for entry in reader.rules.verdicts
        for other in reader.related(wall_id, entry.relation)
    }
