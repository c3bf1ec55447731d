"""One wall as somebody could look at it: what is over it, under it, beside it."""

from __future__ import annotations

import zlib
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cached_property

import numpy as np

from walltriage.lab.house.model import (
    ON_LINE_FT,
    Beam,
    Field,
    House,
    Line,
    Point,
    RoofPart,
    Wall,
    other,
)
from walltriage.lab.house.truth import bears, fields_over, rests_on, truth
from walltriage.lab.parameters import era_of, parameters

SAMPLES = (0.1, 0.3, 0.5, 0.7, 0.9)
DRAWS = 1024  # by a hash of the name: no matter in which order things are looked at


class Scene:
    """A wall in its house, with everything the findings need worked out once.

    ``chance(name, share)`` settles what geometry leaves open (a crack, a lamp): always the
    same for one scene and name.
    """

    def __init__(self, house: House, wall: Wall, rng: np.random.Generator | Scene) -> None:
        self.house, self.wall, self.level = house, wall, wall.level
        self.line, self.detail = wall.line, wall.detail
        self.era = era_of(house.year)
        self.values = parameters()["house"]
        self._draws = rng.random(DRAWS)
        self._named: dict[str, float] = {}
        self.top_seen_whole: float = self.values["top_seen_whole"]  # share of those who go there
        self.spot = "by_eye"  # how the observer found the wall's place from the attic
        self.hole_count: int | None = None  # holes that the observer makes; None: as told

    def at(self, wall: Wall) -> Scene:
        """The same observer's scene at another wall of the house."""
        scene = Scene(self.house, wall, self)
        scene.top_seen_whole, scene.hole_count = self.top_seen_whole, self.hole_count
        return scene

    def random(self, size: int) -> np.ndarray:
        """The scene's own numbers again, for :meth:`at`."""
        return self._draws[:size]

    def draw(self, name: str) -> float:
        """A number from 0 to 1 for this name."""
        if name not in self._named:
            self._named[name] = float(self._draws[zlib.crc32(name.encode()) % DRAWS])
        return self._named[name]

    def chance(self, name: str, share: float) -> bool:
        return self.draw(name) < share

    @cached_property
    def paths(self) -> dict[str, bool]:
        return truth(self.house, self.wall)

    @property
    def bears(self) -> bool:
        """Whether weight reaches the wall by any path."""
        return bears(self.paths)

    @cached_property
    def above(self) -> tuple[str, ...]:
        """What is over the wall at five points: rooms, attic, sloped or flat."""
        found = []
        for share in SAMPLES:
            x, y = self.line.point(share)
            if self.house.covered(self.level + 1, x, y):
                found.append("rooms")
                continue
            part = self.house.roof_at(self.level, x, y)
            space = part.space if part else "attic"
            found.append({"sloped_ceilings": "sloped", "flat_roof": "flat"}.get(space, "attic"))
        return tuple(found)

    @property
    def attic_over(self) -> bool:
        return "attic" in self.above

    @property
    def rooms_over(self) -> bool:
        return "rooms" in self.above

    @cached_property
    def roof(self) -> RoofPart | None:
        """The roof over the wall, or over the top level above it."""
        for level in range(self.level, self.house.top + 1):
            for share in SAMPLES:
                part = self.house.roof_at(level, *self.line.point(share))
                if part:
                    return part
        return self.house.roof_parts[0] if self.house.roof_parts else None

    @cached_property
    def fields(self) -> list[Field]:
        """Joist fields right over the wall."""
        return fields_over(self.house, self.wall)

    @cached_property
    def kinds(self) -> set[str]:
        """What the pieces of those fields do at the wall."""
        return {rests_on(field, self.wall) for field in self.fields}

    @cached_property
    def run(self) -> str:
        """Direction of the framing over the wall: along, across or changes_here."""
        return self._direction(self.fields)

    @cached_property
    def opened_run(self) -> str:
        """The same over the holes alone."""
        parts = [replace(self.wall, line=line) for line in self.holes]
        return self._direction([f for part in parts for f in fields_over(self.house, part)])

    @cached_property
    def below_fields(self) -> list[Field]:
        """Joist fields of the floor that the wall stands on."""
        under = Wall("under", self.level - 1, self.line)
        return fields_over(self.house, under)

    @cached_property
    def run_below(self) -> str:
        return self._direction(self.below_fields)

    def _direction(self, fields: list[Field]) -> str:
        axis = self.line.axis
        ways = {"along" if field.run == axis else "across" for field in fields}
        if len(ways) == 2:
            sides = {self._side(field) for field in fields}
            return "changes_here" if len(sides) == 2 else "across"
        return ways.pop() if ways else "across"

    def _side(self, field: Field) -> int:
        low, high = field.area.span(other(self.line.axis))
        return 1 if (low + high) / 2 > self.line.at else -1

    @cached_property
    def seen_stretch(self) -> Line:
        """The part of the wall's top that can be followed in the attic; it may lie anywhere."""
        line = self.line
        length = {"whole": 1.0, "part": 0.5, "none": 0.0}[self.traced] * line.length
        first, last = line.start, line.stop - length
        if self.traced == "part":
            first, last = self._clear_of_hidden(first, last, length)
        start = first + self.draw("seen from") * (last - first)
        return Line(line.axis, line.at, start, start + length)

    def _clear_of_hidden(self, first: float, last: float, length: float) -> tuple[float, float]:
        """Where a view of this length may begin: what is out of sight lies outside it."""
        for point in self.house.points:
            if point.seen or point.level != self.level:
                continue
            if self.line.distance(point.x, point.y) > ON_LINE_FT:
                continue
            at = point.x if self.line.axis == "x" else point.y
            if at > self.line.start + self.line.length / 2:
                last = max(first, min(last, at - length - ON_LINE_FT))
            else:
                first = min(last, max(first, at + ON_LINE_FT))
        return first, last

    @cached_property
    def seen_kinds(self) -> set[str]:
        """What the pieces do over the stretch that is seen in the attic."""
        return self.kinds_over([self.seen_stretch])

    @cached_property
    def holes(self) -> list[Line]:
        """What shows through the holes made beside the wall's top, each some feet both ways.

        Made as told they stand at both ends and close enough to leave no gap; an observer who
        makes ``hole_count`` of them puts them anywhere.
        """
        line, reach = self.line, self.values["hole_shows_ft"]
        if self.hole_count is None:
            return [line]
        shares = [self.draw(f"hole {number}") for number in range(self.hole_count)]
        middles = [line.start + share * line.length for share in shares]
        return [
            Line(line.axis, line.at, max(line.start, at - reach), min(line.stop, at + reach))
            for at in middles
        ]

    @cached_property
    def opened_kinds(self) -> set[str]:
        """What the pieces do over the holes."""
        return self.kinds_over(self.holes)

    def kinds_over(self, stretches: Sequence[Line]) -> set[str]:
        """What the pieces do over some stretches of the wall."""
        parts = [replace(self.wall, line=line) for line in stretches]
        return {rests_on(field, part) for part in parts for field in fields_over(self.house, part)}

    def in_holes(self, x: float, y: float) -> bool:
        """Whether something at a point of the plan shows through a hole."""
        return any(line.distance(x, y) <= ON_LINE_FT for line in self.holes)

    @cached_property
    def traced(self) -> str:
        fixed = self.house.facts.get("traced")
        if fixed:
            return fixed
        draw, whole = self.draw("traced"), self.top_seen_whole
        if draw < whole:
            return "whole"
        return "part" if draw < whole + self.values["top_seen_part"] else "none"

    def points(
        self,
        *kinds: str,
        seen_only: bool = False,
        within: float = ON_LINE_FT,
        line: Line | None = None,
    ) -> list[Point]:
        """Points of load of some kinds within so many feet of the wall."""
        where = line or self.line
        return [
            p for p in self.house.points
            if p.level == self.level and p.kind in kinds and (p.seen or not seen_only)
            and where.distance(p.x, p.y) <= within
        ]  # fmt: skip

    def all_points(self, *kinds: str, seen_only: bool = True) -> list[Point]:
        """Points of some kinds anywhere on the level."""
        return [
            p for p in self.house.points
            if p.level == self.level and p.kind in kinds and (p.seen or not seen_only)
        ]  # fmt: skip

    def beams(self, *kinds: str) -> Iterator[Beam]:
        """Beams of some kinds on the wall's level."""
        return (b for b in self.house.beams if b.level == self.level and b.kind in kinds)

    def beam_ends_here(self, *kinds: str) -> bool:
        """Whether a beam of these kinds comes down on the wall."""
        return any(
            self.line.distance(x, y) <= ON_LINE_FT for b in self.beams(*kinds) for x, y in b.ends
        )

    def parallel(self, level: int, within_ft: float) -> list[Wall]:
        """Walls of a level that run the same way beside this one, by distance of lines."""
        return [
            w for w in self.house.on_level(level)
            if w is not self.wall and w.line.axis == self.line.axis
            and abs(w.line.at - self.line.at) <= within_ft
            and w.line.overlap(self.line.start, self.line.stop) > 0.5
        ]  # fmt: skip

    def distance(self, side: int) -> float:
        """Feet to the next full-height wall that runs the same way, on one side (1 or -1)."""
        gaps = [
            (w.line.at - self.line.at) * side
            for w in self.parallel(self.level, 200.0)
            if w.height != "stops_short"
        ]
        ahead = [gap for gap in gaps if gap > 1.0]
        low, high = self.extent
        edge = (high - self.line.at) if side > 0 else (self.line.at - low)
        return min([*ahead, max(edge, 1.0)])

    @cached_property
    def extent(self) -> tuple[float, float]:
        """The outline across the wall, where it stands: (low, high), feet."""
        x, y = self.line.point(0.5)
        spans = [
            rect.span(other(self.line.axis))
            for rect in self.house.levels[self.level]
            if rect.holds(x, y, 0.5)
        ]
        return min(s[0] for s in spans), max(s[1] for s in spans)

    @cached_property
    def joist(self) -> Field | None:
        return self.fields[0] if self.fields else None

    @property
    def attic_open(self) -> bool:
        return self.house.attic_reachable

    @property
    def below_open(self) -> bool:
        return self.house.below_reachable
