"""How much of an interview is left, as it is told with each question."""

from __future__ import annotations

from dataclasses import dataclass

from walltriage.interview.planner import NextStep

MOST_GROWTH = 2


@dataclass(frozen=True, slots=True)
class Left:
    """About how many questions are left of a wall in this place, and in all; ``grew`` when that is
    more than was told of this wall before, by more than two."""

    here: int
    in_all: int
    grew: bool = False
    wall_id: str = ""

    def then(self, plan: NextStep, wall_id: str) -> Left:
        """What is told next: of one wall it does not grow by more than two unsaid."""
        grew = self.wall_id == wall_id and plan.in_all > self.in_all + MOST_GROWTH
        return Left(plan.more_here, plan.in_all, grew, wall_id)
