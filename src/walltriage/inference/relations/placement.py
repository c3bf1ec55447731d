"""One wall on its plan, and the numbers that relations come in."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from walltriage.case.geometry import Axis, Layout, Segment, overlap


@dataclass(frozen=True, slots=True)
class Between:
    """A number that lies between two ends."""

    low: float
    high: float

    @property
    def middle(self) -> float:
        return (self.low + self.high) / 2


Value = Between | str | None
FAR_IN = 1e5  # stands for "nothing there": farther than any house reaches


class WallPlacement:
    """One wall on its plan; ``alone`` to be held against nothing but the outline and the roof.

    ``one_in`` is how far out its own place may be, ``two_in`` how far the distance to another one.
    Beside other things that are drawn, the loosest of them counts: which one comes near is itself
    as uncertain as its place.
    """

    def __init__(
        self, layout: Layout, segment: Segment, settings: Mapping[str, float], alone: bool = False
    ) -> None:
        self.layout, self.wall, self.settings = layout, segment, settings
        self.level = segment.line.level
        self.axis: Axis = segment.axis
        self.one_in = layout.out_in(segment.line)
        self.loosest_in = self.one_in if alone else layout.loosest_in
        self.two_in = self.loosest_in * math.sqrt(2)  # between two measured places

    @property
    def middle(self) -> float | None:
        """Half way along the wall."""
        wall = self.wall
        return None if wall.lo is None or wall.hi is None else (wall.lo + wall.hi) / 2

    def all_drawn(self, level: str | None) -> bool:
        return level in self.layout.plan.whole

    def parallel(self, segments: Iterable[Segment], share: float = 0.0) -> list[Segment]:
        """Segments that run the same way beside or over this wall for that share of it."""
        length = self.wall.length
        if length is None:
            return []
        return [
            s
            for s in segments
            if s.axis == self.axis
            and s.whole
            and s is not self.wall
            and overlap(s, self.wall, self.axis) > max(share * length, self.one_in)
        ]

    def offset(self, other: Segment) -> float:
        """Distance between two parallel lines whose places are known."""
        assert self.wall.at is not None
        assert other.at is not None
        return abs(other.at - self.wall.at)

    @cached_property
    def next_walls(self) -> tuple[frozenset[int], frozenset[int]]:
        """The walls of its level that face it and come next, by identity: those toward the left or
        the front, and those toward the right or the back."""
        if self.wall.at is None:
            return frozenset(), frozenset()
        level = self.layout.walls_on(self.level)
        facing = self.parallel(level, self.settings["facing_share"])
        gaps = [(s, s.at - self.wall.at) for s in facing if s.at is not None]
        one, two = (self._nearest((s, gap * way) for s, gap in gaps) for way in (-1, 1))
        return one, two

    def _nearest(self, gaps: Iterable[tuple[Segment, float]]) -> frozenset[int]:
        """Those that are sure to lie on that side, and may be the nearest there."""
        there = [(id(s), gap) for s, gap in gaps if gap > self.two_in]
        nearest = min((gap for _, gap in there), default=0.0)
        return frozenset(s for s, gap in there if gap <= self.two_in + nearest)

    def outside(self) -> tuple[float, float] | None:
        """The outside lines before and behind the middle of the wall."""
        wall, middle = self.wall, self.middle
        if wall.at is None or middle is None or not self.layout.known_on(self.level):
            return None
        return self.layout.house_span(self.level, self.axis, middle, wall.at)

    @property
    def level_over(self) -> str | None:
        """The next higher level that lies over any of the wall; the next one where none does.

        In a house of half levels the next one in the list can be beside the wall.
        """
        levels = self.layout.plan.levels
        return self._first_at(levels[levels.index(self.level) + 1 :])

    @property
    def level_under(self) -> str | None:
        """The next lower level that lies under any of the wall; the next one where none does."""
        levels = self.layout.plan.levels
        return self._first_at(levels[: levels.index(self.level)][::-1])

    def _first_at(self, levels: tuple[str, ...]) -> str | None:
        return next((n for n in levels if self.cover(n) != "none"), levels[0] if levels else None)

    def cover(self, level: str | None) -> str | None:
        """How much of the wall a level lies over or under: rooms, part or none."""
        wall = self.wall
        if level is None:
            return "none"
        if not wall.whole or not self.layout.known_on(level):
            return None
        assert wall.at is not None
        assert wall.length is not None
        shared = 0.0
        for _, rect in self.layout.parts_on(level):
            low, high = rect.across(self.axis)
            if low - self.one_in <= wall.at <= high + self.one_in:
                shared += overlap(rect, wall, self.axis)
        if shared >= wall.length - self.one_in:
            return "rooms"
        return "none" if shared <= self.one_in else "part"


def stretch(number: float, slack: float) -> Between:
    """A measured number with its slack on both sides, never under 0."""
    return Between(max(0.0, number - slack), number + slack)


def posts_on_line(placed: WallPlacement, level: str, near: float, at_wall: bool = False) -> int:
    """How many posts of a level stand in the wall's line, or only within its ends."""
    wall, count = placed.wall, 0
    if not wall.whole:
        return 0
    at, lo, hi = wall.place
    for post in placed.layout.plan.posts:
        rect = placed.layout.rects.get(placed.layout.part_id(post.part))
        if post.level != level or rect is None:
            continue
        x, y = rect.x0 + post.left.inches, rect.y0 + post.front.inches
        along, across = (x, y) if placed.axis == "x" else (y, x)
        inside = lo - near <= along <= hi + near
        count += abs(across - at) <= near and (inside or not at_wall)
    return count
