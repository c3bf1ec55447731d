"""Relations of a wall to beams, posts, joists and knee walls that were drawn."""

from __future__ import annotations

from walltriage.case.geometry import Axis, overlap
from walltriage.inference.relations.placement import (
    FAR_IN,
    Between,
    Value,
    WallPlacement,
    posts_on_line,
    stretch,
)
from walltriage.inference.relations.rooms import stairs_by


def beam_meets(placed: WallPlacement) -> Value:
    """ends or in_line: a beam drawn on the wall's own level that comes to it."""
    wall, found = placed.wall, None
    if not wall.whole:
        return None
    at, lo, hi = wall.place
    near = placed.settings["in_line"]
    for beam in placed.layout.beams:
        if beam.line.level != placed.level or not beam.whole:
            continue
        across, first, last = beam.place
        if beam.axis == placed.axis:
            touches = first <= hi + near and last >= lo - near
            found = "in_line" if touches and placed.offset(beam) <= near else found
        elif lo - near <= across <= hi + near and min(abs(first - at), abs(last - at)) <= near:
            return "ends"
    return found


def post_in_wall(placed: WallPlacement) -> Value:
    """post when one is drawn on the wall's own level in its line or at its end."""
    return "post" if posts_on_line(placed, placed.level, placed.settings["in_line"], True) else None


def post_under(placed: WallPlacement) -> Value:
    """post when one is drawn on the level below right under the wall."""
    level = placed.level_under
    near = placed.settings["in_line"]
    return "post" if level and posts_on_line(placed, level, near, True) else None


def things_at(placed: WallPlacement) -> Value:
    """some when a beam, a post or stairs are drawn at the wall on its own level."""
    stairs = stairs_by(placed) in ("beside", "end")
    return "some" if stairs or beam_meets(placed) or post_in_wall(placed) else None


def joists_attic(placed: WallPlacement) -> Value:
    """along, across or change: the joists right over the wall, seen from the attic."""
    return _joists(placed, placed.level, "attic")


def joists_fixture(placed: WallPlacement) -> Value:
    """The same, seen past a light or vent."""
    return _joists(placed, placed.level, "fixture")


def joists_opened(placed: WallPlacement) -> Value:
    """The same, seen in an opening."""
    return _joists(placed, placed.level, "opened")


def joists_under(placed: WallPlacement) -> Value:
    """The joists of the floor the wall stands on, seen from the level below."""
    level = placed.level_under
    return None if level is None else _joists(placed, level, "below")


def _joists(placed: WallPlacement, level: str, seen_from: str) -> Value:
    """What the bays on both sides of the wall show; nothing unless both sides are drawn."""
    wall = placed.wall
    if not wall.whole:
        return None
    assert wall.at is not None
    assert wall.length is not None
    sides = {}
    for area in placed.layout.plan.joists:
        rect = placed.layout.area(area)
        if area.level != level or area.seen_from != seen_from or rect is None or area.run is None:
            continue
        if overlap(rect, wall, placed.axis) < wall.length - 2 * placed.one_in:
            continue
        axis: Axis = "x" if area.run in ("front", "back") else "y"
        run = "along" if axis == placed.axis else "across"
        low, high = rect.across(placed.axis)
        if low < wall.at - placed.one_in and high >= wall.at - placed.one_in:
            sides["before"] = run
        if high > wall.at + placed.one_in and low <= wall.at + placed.one_in:
            sides["behind"] = run
    if len(sides) < 2:
        return None
    return sides["before"] if sides["before"] == sides["behind"] else "change"


def knee_wall_over(placed: WallPlacement) -> Value:
    """Inches to a knee wall drawn on the level above that runs the same way."""
    level = placed.level_over
    if level is None or not placed.wall.whole or placed.cover(level) in (None, "none"):
        return None
    knees = [s for s in placed.layout.walls_on(level) if s.line.kind == "knee_wall"]
    offset = min((placed.offset(s) for s in placed.parallel(knees)), default=FAR_IN)
    found = stretch(offset, placed.two_in)
    return found if placed.all_drawn(level) else Between(0.0, found.high)
