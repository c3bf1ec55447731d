"""Answers that count for the walls of many cases, their verdicts worked out in columns.

A wall may wait for the verdicts of walls above it, and those for others still higher.  All walls
of all cases that wait for the same height are judged together, so that a house of three levels
costs two small batches and not one for each wall.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from walltriage.case.model import Answer, Answers, Case
from walltriage.inference.answers import answers_that_count, judged_before
from walltriage.inference.finding import Verdict
from walltriage.inference.relations.plan_answers import PlanReader
from walltriage.knowledge.base import KnowledgeBase

JudgeWalls = Callable[[Sequence[Answers]], list[Verdict]]
WallKey = tuple[int, str]  # which case, which wall


def answers_of_walls(
    base: KnowledgeBase, cases: Iterable[Case], judge: JudgeWalls
) -> list[dict[str, Answer]]:
    """The answers that count for each wall of each case, in order.

    ``judge`` gives the verdicts of walls by their answers.
    """
    found = _Cases(base, list(cases), judge)
    return [
        found.answers((index, wall.id))
        for index, case in enumerate(found.cases)
        for wall in case.walls
    ]


class _Cases:
    def __init__(self, base: KnowledgeBase, cases: list[Case], judge: JudgeWalls) -> None:
        self.base, self.cases = base, cases
        self.readers = [None if c.plan is None else PlanReader(base, c.plan) for c in cases]
        self.verdicts: dict[WallKey, Verdict] = {}
        walls = {(i, wall.id) for i, case in enumerate(cases) for wall in case.walls}
        for height in reversed(self._heights(walls)):
            waiting = sorted(height - self.verdicts.keys())
            judged = judge([self.answers(place) for place in waiting])
            self.verdicts |= zip(waiting, judged, strict=True)

    def _heights(self, walls: set[WallKey]) -> list[set[WallKey]]:
        """The walls that these wait for, those that they wait for, and so on to the top."""
        found = []
        while walls := {place for wall in walls for place in self._before(wall)}:
            found.append(walls)
        return found

    def _before(self, place: WallKey) -> set[WallKey]:
        index, wall = place
        return {(index, other) for other in judged_before(self.readers[index], [wall])}

    def answers(self, place: WallKey) -> dict[str, Answer]:
        index, wall = place
        return answers_that_count(
            self.base,
            self.cases[index],
            wall,
            self.readers[index],
            lambda other: self.verdicts[index, other],
        )
