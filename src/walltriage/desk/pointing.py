"""What a finger on a drawing says, as replies to the pages that ask the same by numbers.

Nobody points to the inch: places snap to a line that is near, else to half a foot, and are told as
about so far, so that this one thing counts as taken by eye and the rest of the plan as it was.
"""

from __future__ import annotations

from collections.abc import Iterator

from walltriage.case.geometry import Axis, Layout, Rectangle, axis_of
from walltriage.case.plan import Plan, Side
from walltriage.interview.plan_form import Pointed
from walltriage.interview.plan_things import called
from walltriage.language import say
from walltriage.units import format_length

Place = tuple[float, float]
"""Inches right of and behind the front left corner of the plan's first part."""
STEP_IN, METRIC_STEP_IN = 6.0, 20 / 2.54
NEAR_SHARE = 0.04
"""How near a line counts as on it, as a share of the part's longer side: a finger's width."""
LEAST_IN = 12.0


class OffTheDrawing(Exception):  # noqa: N818 - told as what happened
    """Not a place that can be meant; the text says what to do."""


def points_wanted(pointed: Pointed) -> int:
    """How many places say it: a post stands at one, everything else has two ends or corners."""
    return 1 if pointed.shape == "spot" else 2


def checked_place(plan: Plan, pointed: Pointed, place: Place) -> Place:
    """A place inside the part in question, moved in from just outside it."""
    rect = Layout(plan).rects.get(pointed.part.id)
    if rect is None:
        raise OffTheDrawing("That part is not drawn, because a size is missing. Use the numbers.")
    near = _near(rect)
    moved = []
    for axis, value in zip(("x", "y"), place, strict=True):
        low, high = rect.along(axis)  # type: ignore[arg-type]
        if not low - near <= value <= high + near:
            raise OffTheDrawing(
                say("Point inside the {called} of the house.", called=called(pointed.part))
            )
        moved.append(min(max(value, low), high))
    return moved[0], moved[1]


def replies_for(plan: Plan, pointed: Pointed, places: list[Place]) -> list[str | None]:
    """The replies that the pages want, in their order; :class:`OffTheDrawing` for no such thing."""
    told = _Told(plan, pointed)
    if pointed.shape == "spot":
        ((x, y),) = places
        return [told("x", told.round("x", x)), told("y", told.round("y", y))]
    (x1, y1), (x2, y2) = places
    if pointed.shape == "area":
        wide, deep = told.ends("x", x1, x2), told.ends("y", y1, y2)
        return [told("x", wide[0]), told("x", wide[1]),
                told("y", deep[0]), told("y", deep[1])]  # fmt: skip
    if pointed.shape == "opening":
        assert pointed.wall is not None
        axis = axis_of(pointed.wall.along)
        ends = told.ends(axis, *((x1, x2) if axis == "x" else (y1, y2)))
        return [told(axis, ends[0]), told(axis, ends[1])]
    axis = "x" if abs(x2 - x1) >= abs(y2 - y1) else "y"
    across: Axis = "y" if axis == "x" else "x"
    at = told.round(across, (y1 + y2) / 2 if axis == "x" else (x1 + x2) / 2)
    ends = told.ends(axis, *((x1, x2) if axis == "x" else (y1, y2)), at)
    along: Side = "front" if axis == "x" else "left"
    low, high = told.rect.along(across)
    if pointed.shape == "beside" and at - low > high - at:
        along = "back" if axis == "x" else "right"
    return [along, told(across, at, from_far=along in ("back", "right")),
            told(axis, ends[0]), told(axis, ends[1])]  # fmt: skip


class _Told:
    """Places as the lengths that pages ask for, counted from the part's left or front."""

    def __init__(self, plan: Plan, pointed: Pointed) -> None:
        self._layout, self._pointed = Layout(plan), pointed
        self._metric = plan.metric
        self._step = METRIC_STEP_IN if plan.metric else STEP_IN
        self.rect = self._layout.rects[pointed.part.id]

    def __call__(self, axis: Axis, value: float, from_far: bool = False) -> str:
        low, high = self.rect.along(axis)
        inches = high - value if from_far else value - low
        return f"about {format_length(max(inches, 0.0), self._metric)}"

    def round(self, axis: Axis, value: float) -> float:
        """To the nearest step from the part's own corner, and never out of the part."""
        low, high = self.rect.along(axis)
        return min(low + round((value - low) / self._step) * self._step, high)

    def ends(
        self, axis: Axis, one: float, other: float, at: float | None = None
    ) -> tuple[float, float]:
        """Two ends in order, on lines that are near; ``at`` is where a line runs across."""
        first, last = (self._end(axis, value, at) for value in sorted((one, other)))
        if last - first < LEAST_IN:
            raise OffTheDrawing("The two places are too close together. Point at both ends.")
        return first, last

    def _end(self, axis: Axis, value: float, at: float | None) -> float:
        lines = [*self.rect.along(axis), *self._crossing(axis, at)]
        wall = self._pointed.wall
        if wall is not None and wall.start is not None and wall.end is not None:
            base = self.rect.along(axis)[0]
            lines = [base + wall.start.inches, base + wall.end.inches]
            value = min(max(value, lines[0]), lines[1])
        nearest = min(lines, key=lambda line: abs(line - value))
        return nearest if abs(nearest - value) <= _near(self.rect) else self.round(axis, value)

    def _crossing(self, axis: Axis, at: float | None) -> Iterator[float]:
        """Where walls of the level cross a line at ``at``."""
        for segment in self._layout.walls_on(self._pointed.level):
            if at is None or segment.axis == axis or not segment.whole:
                continue
            assert segment.at is not None
            assert segment.lo is not None
            assert segment.hi is not None
            if segment.lo - LEAST_IN <= at <= segment.hi + LEAST_IN:
                yield segment.at


def _near(rect: Rectangle) -> float:
    return max(NEAR_SHARE * max(rect.x1 - rect.x0, rect.y1 - rect.y0), LEAST_IN)
