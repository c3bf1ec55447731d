"""Relations of a wall to beams, posts, joists and knee walls that were drawn."""

from __future__ import annotations

from walltriage.case.geometry import Axis, overlap
from walltriage.inference.relations.placement import (
    FAR_IN,
    Between,
    Spot,
    Value,
    posts_on_line,
    stretch,
)
from walltriage.inference.relations.rooms import stairs_by


def beam_meets(spot: Spot) -> Value:
    """ends or in_line: a beam drawn on the wall's own level that comes to it."""
    wall, found = spot.wall, None
    if not wall.whole:
        return None
    assert wall.at is not None
    assert wall.lo is not None
    assert wall.hi is not None
    near = spot.settings["in_line"]
    for beam in spot.layout.beams:
        if beam.line.level != spot.level or not beam.whole:
            continue
        assert beam.at is not None
        assert beam.lo is not None
        assert beam.hi is not None
        if beam.axis == spot.axis:
            touches = beam.lo <= wall.hi + near and beam.hi >= wall.lo - near
            found = "in_line" if touches and spot.offset(beam) <= near else found
        elif wall.lo - near <= beam.at <= wall.hi + near and (
            min(abs(beam.lo - wall.at), abs(beam.hi - wall.at)) <= near
        ):
            return "ends"
    return found


def post_in_wall(spot: Spot) -> Value:
    """post when one is drawn on the wall's own level in its line or at its end."""
    return "post" if posts_on_line(spot, spot.level, spot.settings["in_line"], True) else None


def post_under(spot: Spot) -> Value:
    """post when one is drawn on the level below right under the wall."""
    level = spot.level_under
    near = spot.settings["in_line"]
    return "post" if level and posts_on_line(spot, level, near, True) else None


def things_at(spot: Spot) -> Value:
    """some when a beam, a post or stairs are drawn at the wall on its own level."""
    stairs = stairs_by(spot) in ("beside", "end")
    return "some" if stairs or beam_meets(spot) or post_in_wall(spot) else None


def joists_attic(spot: Spot) -> Value:
    """along, across or change: the joists right over the wall, seen from the attic."""
    return _joists(spot, spot.level, "attic")


def joists_fixture(spot: Spot) -> Value:
    """The same, seen past a light or vent."""
    return _joists(spot, spot.level, "fixture")


def joists_opened(spot: Spot) -> Value:
    """The same, seen in an opening."""
    return _joists(spot, spot.level, "opened")


def joists_under(spot: Spot) -> Value:
    """The joists of the floor the wall stands on, seen from the level below."""
    level = spot.level_under
    return None if level is None else _joists(spot, level, "below")


def _joists(spot: Spot, level: str, seen_from: str) -> Value:
    """What the bays on both sides of the wall show; nothing unless both sides are drawn."""
    wall = spot.wall
    if not wall.whole:
        return None
    assert wall.at is not None
    assert wall.length is not None
    sides = {}
    for area in spot.layout.plan.joists:
        rect = spot.layout.area(area)
        if area.level != level or area.seen_from != seen_from or rect is None or area.run is None:
            continue
        if overlap(rect, wall, spot.axis) < wall.length - 2 * spot.one_in:
            continue
        axis: Axis = "x" if area.run in ("front", "back") else "y"
        run = "along" if axis == spot.axis else "across"
        low, high = rect.across(spot.axis)
        if low < wall.at - spot.one_in and high >= wall.at - spot.one_in:
            sides["before"] = run
        if high > wall.at + spot.one_in and low <= wall.at + spot.one_in:
            sides["behind"] = run
    if len(sides) < 2:
        return None
    return sides["before"] if sides["before"] == sides["behind"] else "change"


def knee_wall_over(spot: Spot) -> Value:
    """Inches to a knee wall drawn on the level above that runs the same way."""
    level = spot.level_over
    if level is None or not spot.wall.whole or spot.cover(level) in (None, "none"):
        return None
    knees = [s for s in spot.layout.walls_on(level) if s.line.kind == "knee_wall"]
    offset = min((spot.offset(s) for s in spot.parallel(knees)), default=FAR_IN)
    found = stretch(offset, spot.two_in)
    return found if spot.all_drawn(level) else Between(0.0, found.high)
