"""How much of an interview is left, as it is told with each question."""

from __future__ import annotations

from dataclasses import dataclass

from walltriage.interview.planner import NextStep

MOST_GROWTH = 2


@dataclass(frozen=True, slots=True)
class Left:
    """About how many questions are left in this place, and in all; ``grew`` when that is more than
    was told before, by more than two."""

    here: int
    in_all: int
    grew: bool = False

    def then(self, plan: NextStep, begun: bool) -> Left:
        """What is told next: it does not grow by more than two unsaid, once there is an answer."""
        grew = begun and plan.in_all > self.in_all + MOST_GROWTH
        return Left(plan.more_here, plan.in_all, grew)
