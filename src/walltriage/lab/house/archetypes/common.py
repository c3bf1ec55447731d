"""What archetypes share: their register, and the usual plans of rooms."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from walltriage.lab.house.draft import Draft
from walltriage.lab.house.model import Rect, Wall

Maker = Callable[[np.random.Generator], Draft]
ARCHETYPES: dict[str, Maker] = {}


def archetype(maker: Maker) -> Maker:
    """Register a maker under its own name."""
    ARCHETYPES[maker.__name__] = maker
    return maker


def rooms_on_line(
    d: Draft,
    level: int,
    rect: Rect,
    at: float,
    gaps: int = 0,
    hall: bool = True,
    beam: str = "dropped",
) -> list[Wall]:
    """A bearing line along the house at ``at``, cross partitions, closets, often a hall.

    Returns the walls of the line.
    """
    line = d.bearing_line(level, "x", at, rect.x0, rect.x1, gaps, beam)
    bounds = [rect.y0, at, rect.y1]
    if hall and d.chance(0.6):
        side = at + d.feet(3.0, 4.0) * (1 if d.chance(0.5) else -1)
        start = d.feet(rect.x0 + 6, rect.x0 + (rect.x1 - rect.x0) / 3)
        d.wall(level, "x", side, start, d.feet(start + 8, rect.x1 - 2))
    d.partitions(level, rect, "y", tuple(bounds), int(d.rng.integers(2, 6)))
    offsets = [rect.y0 + d.feet(2.3, 3.2), at + d.feet(2.2, 2.9), rect.y1 - d.feet(2.3, 9.0)]
    chosen = [offsets[int(d.rng.integers(0, 3))]] if d.chance(0.7) else offsets[:2]
    if not hall or d.chance(0.5):
        d.closets(level, rect, "x", tuple(chosen))
    if d.chance(0.35):
        later(d, level, rect, (rect.y0, at, rect.y1))
    return line


def free_rooms(d: Draft, level: int, rect: Rect) -> list[Wall]:
    """Rooms under a frame that needs no wall: a hall pair, partitions, closets, none meant."""
    at = d.feet(rect.y0 + (rect.y1 - rect.y0) * 0.35, rect.y0 + (rect.y1 - rect.y0) * 0.65)
    start = d.feet(rect.x0 + 2, rect.x0 + 10)
    walls = [d.wall(level, "x", at, start, d.feet(start + 10, rect.x1))]
    if d.chance(0.5):
        walls.append(d.wall(level, "x", at + d.feet(3.0, 4.0), start, d.feet(start + 8, rect.x1)))
    bounds = (rect.y0, at, rect.y1)
    walls += d.partitions(level, rect, "y", bounds, int(d.rng.integers(3, 6)))
    walls += d.closets(level, rect, "x", (rect.y0 + d.feet(2.3, 9.0),))
    if d.chance(0.3):
        walls.append(later(d, level, rect, bounds))
    return walls


def later(d: Draft, level: int, rect: Rect, bounds: tuple[float, ...]) -> Wall:
    """A wall put in after the house was done, either way."""
    index = int(d.rng.integers(0, len(bounds) - 1))
    if d.chance(0.5):
        at = d.feet(rect.x0 + 4, rect.x1 - 4)
        return d.wall(level, "y", at, bounds[index], bounds[index + 1], later=True)
    low, high = bounds[index], bounds[index + 1]
    at = d.feet(low + 0.3 * (high - low), low + 0.7 * (high - low))
    start = d.feet(rect.x0, rect.x0 + (rect.x1 - rect.x0) / 2)
    return d.wall(level, "x", at, start, d.feet(start + 6, rect.x1), later=True)


def hall_pair(d: Draft, level: int, rect: Rect, at: float) -> tuple[Wall, Wall]:
    """Two hall walls right through the house; the first is meant to bear."""
    first = d.wall(level, "x", at, rect.x0, rect.x1, meant=True)
    second = d.wall(level, "x", at + d.feet(3.0, 4.0), rect.x0, rect.x1)
    return first, second
