"""How much of an interview is left, as it is told with each question."""

from __future__ import annotations

from dataclasses import dataclass

from walltriage.interview.planner import NextStep

MOST_GROWTH = 2


@dataclass(frozen=True, slots=True)
class Left:
    """About how many questions are left of a wall in this place, and in all; ``grew`` when that is
    more than was told of this wall before, by more than two, and ``grew_here`` when it is of this
    place."""

    here: int
    in_all: int
    grew: bool = False
    wall_id: str = ""
    grew_here: bool = False
    place: str = ""

    def then(self, plan: NextStep, wall_id: str, place: str) -> Left:
        """What is told next: of one wall it does not grow by more than two unsaid."""
        same = self.wall_id == wall_id
        grew = same and plan.in_all > self.in_all + MOST_GROWTH
        told_here = same and self.place == place and self.here > 0
        grew_here = told_here and plan.more_here > self.here + MOST_GROWTH
        return Left(plan.more_here, plan.in_all, grew, wall_id, grew_here, place)
