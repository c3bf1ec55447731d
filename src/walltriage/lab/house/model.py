"""A simulated house as plain geometry: walls, joist fields, beams, points of load.

Plan coordinates are feet: x along the length, y across the width.  Level 0 is the lowest
one with main rooms, -1 a basement or crawl space.  A field, beam or point belongs to the
level on whose walls it comes down.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Literal

Axis = Literal["x", "y"]
ON_LINE_FT = 0.35  # half a wall's thickness and a little: what stands on a plate


def other(axis: Axis) -> Axis:
    """The axis at right angles."""
    return "y" if axis == "x" else "x"


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line in plan: along ``axis``, at ``at`` on the other, from start to stop."""

    axis: Axis
    at: float
    start: float
    stop: float

    @property
    def length(self) -> float:
        return self.stop - self.start

    def overlap(self, start: float, stop: float) -> float:
        """Length shared with a stretch of the same axis; 0 when there is none."""
        return max(0.0, min(self.stop, stop) - max(self.start, start))

    def distance(self, x: float, y: float) -> float:
        """How far a point lies off the line, past its ends counted too."""
        along, across = (x, y) if self.axis == "x" else (y, x)
        past = max(self.start - along, along - self.stop, 0.0)
        return max(abs(across - self.at), past)

    def point(self, share: float) -> tuple[float, float]:
        """The point at a share (0 to 1) of the length, as (x, y)."""
        along = self.start + share * self.length
        return (along, self.at) if self.axis == "x" else (self.at, along)


@dataclass(frozen=True, slots=True)
class Rect:
    """A rectangle in plan, feet."""

    x0: float
    x1: float
    y0: float
    y1: float

    def holds(self, x: float, y: float, margin: float = 0.0) -> bool:
        """Whether a point lies inside, or within ``margin`` of it."""
        return (
            self.x0 - margin <= x <= self.x1 + margin and self.y0 - margin <= y <= self.y1 + margin
        )

    def span(self, axis: Axis) -> tuple[float, float]:
        """Its stretch along an axis."""
        return (self.x0, self.x1) if axis == "x" else (self.y0, self.y1)


Role = Literal["inside", "outside", "once_outside", "shared", "joins_sections", "to_garage"]


@dataclass(slots=True)
class Wall:
    """One wall.  ``meant`` is what its builder meant it to be; truth is worked out apart.

    ``later`` walls were put in after the frame; ``settled`` ones have since taken load.
    Details (plates, studs, header, finish) are drawn by :mod:`finish` from what was meant.
    """

    id: str
    level: int
    line: Line
    role: Role = "inside"
    meant: bool = False
    later: bool = False
    settled: bool = False
    height: Literal["stops_short", "reaches_ceiling", "part_low"] = "reaches_ceiling"
    opening_ft: float = 0.0
    askable: bool = True
    detail: dict[str, str] = field(default_factory=dict)
    thickness_in: float = 4.5

    @property
    def touches_frame(self) -> bool:
        """Whether framing that passes over it can lean on it at all."""
        full = self.height != "stops_short"
        return full and (not self.later or self.settled)


@dataclass(frozen=True, slots=True)
class Rest:
    """Where a joist piece is held: ``how`` says whether it ends there, passes or hangs."""

    at: float
    how: Literal["end", "through", "hung", "truss_bearing"]


@dataclass(frozen=True, slots=True)
class Piece:
    """One joist, rafter tie or truss bottom board, with all that holds it, in order."""

    start: float
    stop: float
    rests: tuple[Rest, ...]

    def tributaries(self) -> list[tuple[Rest, float]]:
        """Each rest with the length of piece it carries, feet; they add up to the piece."""
        marks = [rest.at for rest in self.rests]
        edges = [self.start, *((a + b) / 2 for a, b in itertools.pairwise(marks))]
        edges.append(self.stop)
        return [
            (rest, high - low)
            for rest, low, high in zip(self.rests, edges, edges[1:], strict=False)
        ]


Material = Literal["solid_boards", "i_joists", "floor_trusses", "roof_trusses"]
Cover = Literal["attic", "rooms", "sloped", "flat_roof"]


@dataclass(frozen=True, slots=True)
class Field:
    """Joists or trusses over a rectangle of one level's walls, all alike.

    ``allow_ft`` is the span they can really carry, with the lumber that was used;
    ``gap`` says that they were kept clear of partitions; ``joint`` how broken pieces meet.
    """

    level: int
    area: Rect
    run: Axis
    material: Material
    size: str
    spacing_in: float
    allow_ft: float
    pieces: tuple[Piece, ...]
    cover: Cover
    gap: bool = False
    joint: Literal["lap", "splice"] = "lap"

    def over(self, wall: Wall) -> float:
        """Feet of the wall's length under this field (a wall on its edge counts)."""
        if wall.level != self.level:
            return 0.0
        low, high = self.area.span(other(wall.line.axis))
        if not low - ON_LINE_FT <= wall.line.at <= high + ON_LINE_FT:
            return 0.0
        return wall.line.overlap(*self.area.span(wall.line.axis))


BeamKind = Literal["dropped", "flush", "girder", "girder_truss", "ridge", "attic", "header", "hip"]


@dataclass(frozen=True, slots=True)
class Beam:
    """A line that carries others; its two ends come down on the walls of ``level``."""

    kind: BeamKind
    level: int
    line: Line
    posts: tuple[float, ...] = ()
    new: bool = False

    @property
    def ends(self) -> tuple[tuple[float, float], tuple[float, float]]:
        return self.line.point(0.0), self.line.point(1.0)


PointKind = Literal[
    "strut", "ridge_post", "hip_post", "post", "chimney", "machine", "very_heavy", "bath",
    "stair_header", "beam_end",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Point:
    """A load that comes down at one spot on the walls of ``level``.

    ``seen`` is False for one that no one in the attic or above can see (covered, boxed in).
    """

    kind: PointKind
    level: int
    x: float
    y: float
    seen: bool = True


@dataclass(frozen=True, slots=True)
class KneeWall:
    """A short wall under the rafters; ``carries`` when the rafters rest on it."""

    level: int
    line: Line
    carries: bool


@dataclass(frozen=True, slots=True)
class RoofPart:
    """The roof over a rectangle of one level: its frame, ridge axis and what is under it."""

    level: int
    area: Rect
    frame: Literal["trusses", "rafters", "ridge_beam", "flat_joists"]
    ridge: Axis
    space: Literal["attic", "rooms_in_roof", "sloped_ceilings", "flat_roof"]
    plates: bool = False


@dataclass(frozen=True, slots=True)
class StairHole:
    """A hole in the floor above ``level``, with the joists cut at a header."""

    level: int
    area: Rect


@dataclass(slots=True)
class House:
    """Everything about one house.  ``facts`` are plain house-wide observations."""

    archetype: str
    year: int
    length_ft: float
    width_ft: float
    levels: dict[int, list[Rect]]
    level_kind: str
    base: Literal["slab", "crawl_space", "basement"]
    roof_parts: list[RoofPart] = field(default_factory=list)
    walls: list[Wall] = field(default_factory=list)
    fields: list[Field] = field(default_factory=list)
    beams: list[Beam] = field(default_factory=list)
    points: list[Point] = field(default_factory=list)
    knee_walls: list[KneeWall] = field(default_factory=list)
    stairs: list[StairHole] = field(default_factory=list)
    facts: dict[str, str] = field(default_factory=dict)
    attic_reachable: bool = True
    below_reachable: bool = True
    subject: str = ""

    @property
    def top(self) -> int:
        return max(self.levels)

    def wall(self, wall_id: str) -> Wall:
        """The wall with this id; :class:`KeyError` when there is none."""
        for wall in self.walls:
            if wall.id == wall_id:
                return wall
        raise KeyError(wall_id)

    def on_level(self, level: int) -> Iterator[Wall]:
        """The walls of one level."""
        return (wall for wall in self.walls if wall.level == level)

    def covered(self, level: int, x: float, y: float) -> bool:
        """Whether a level has rooms at a point."""
        return any(rect.holds(x, y, 0.01) for rect in self.levels.get(level, ()))

    def roof_at(self, level: int, x: float, y: float) -> RoofPart | None:
        """The roof right over a point of a level, if no rooms are between."""
        for part in self.roof_parts:
            if part.level == level and part.area.holds(x, y, 0.01):
                return part
        return None
