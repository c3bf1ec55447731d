"""Which load paths reach a wall: worked out from geometry and statics alone."""

from __future__ import annotations

from collections.abc import Iterator

from walltriage.lab.house.framing import clear_of
from walltriage.lab.house.model import ON_LINE_FT, Field, House, Line, Point, Wall
from walltriage.lab.parameters import parameters

BEARING_PATHS = ("framing_above", "roof_struts", "wall_above", "point_load", "perimeter")
PATHS = (*BEARING_PATHS, "bracing")
_ROOF = ("strut", "ridge_post", "hip_post")
_SPOTS = ("post", "chimney", "machine", "very_heavy", "stair_header", "beam_end")
_LEAST_FT = 0.5  # framing over less of a wall than this is a corner, not a support


def truth(house: House, wall: Wall) -> dict[str, bool]:
    """Each load path, and whether it reaches the wall."""
    return {
        "framing_above": framing_above(house, wall),
        "roof_struts": roof_struts(house, wall),
        "wall_above": wall_above(house, wall) > 0,
        "point_load": any(True for _ in spots_on(house, wall)),
        "perimeter": wall.role in ("outside", "once_outside", "shared", "joins_sections"),
        "bracing": wall.detail.get("braces") == "yes",
    }


def bears(paths: dict[str, bool]) -> bool:
    """A wall bears if any path but bracing reaches it."""
    return any(paths[path] for path in BEARING_PATHS)


def fields_over(house: House, wall: Wall) -> list[Field]:
    """The joist fields over a wall or at its edge, most of it first."""
    found = [(field.over(wall), field) for field in house.fields]
    return [f for feet, f in sorted(found, key=lambda p: -p[0]) if feet >= _LEAST_FT]


def rests_on(field: Field, wall: Wall) -> str:
    """What the pieces of one field do at the wall.

    ``parallel``; ``ends`` (an end or lap over the plate), ``bearing`` (a truss built to bear
    there), ``hung`` (ends there, but in hangers), ``needed`` or ``passes`` (runs over it,
    touching), ``clear`` (kept off it).
    """
    if field.run == wall.line.axis:
        return "parallel"
    at, found = wall.line.at, "clear"
    for piece in field.pieces:
        near = [rest for rest in piece.rests if abs(rest.at - at) <= ON_LINE_FT]
        if any(rest.how == "truss_bearing" for rest in near):
            return "bearing"
        if any(rest.how == "end" for rest in near):
            return "ends"
        if any(rest.how == "hung" for rest in near):
            found = "hung"
        elif piece.start < at < piece.stop and wall.touches_frame and not field.gap:
            over = clear_of(piece, at) > field.allow_ft * parameters()["framing"]["need_at"]
            found = "needed" if over else "passes"
    return found


def framing_above(house: House, wall: Wall) -> bool:
    """Whether joists end or lap on the wall, or could not do without it.

    Joist ends that meet a wall put in later rest on what carried them before: a beam, or
    the wall it replaced; only settlement brings them down on it.
    """
    return any(
        rests_on(field, wall) in ("ends", "needed") and wall.touches_frame
        for field in fields_over(house, wall)
    )


def roof_struts(house: House, wall: Wall) -> bool:
    """Whether a strut, a post under ridge, hip or valley, a knee wall or a truss bears there.

    A knee wall asked about itself counts too, when the rafters rest on it.
    """
    if wall.detail.get("knee") == "carries" or any(p.kind in _ROOF for p in points_on(house, wall)):
        return True
    if any(rests_on(field, wall) == "bearing" for field in fields_over(house, wall)):
        return True
    return any(
        knee.carries and _stacked(knee.line, wall) > _LEAST_FT
        for knee in house.knee_walls
        if knee.level == wall.level
    )


def wall_above(house: House, wall: Wall) -> float:
    """Feet of wall on the next level that stand on this one's line."""
    return sum(
        _stacked(upper.line, wall)
        for upper in house.on_level(wall.level + 1)
        if _stacked(upper.line, wall) > _LEAST_FT
    )


def _stacked(line: Line, wall: Wall) -> float:
    depth = parameters()["framing"]["joist_depth_ft"]
    if (
        wall.height == "stops_short"
        or line.axis != wall.line.axis
        or abs(line.at - wall.line.at) > depth
    ):
        return 0.0
    return wall.line.overlap(line.start, line.stop)


def points_on(house: House, wall: Wall) -> Iterator[Point]:
    """The drawn points of load over a wall that reaches them; a post stands on low walls too."""
    for point in house.points:
        reached = wall.height != "stops_short" or point.kind == "post"
        if (
            reached
            and point.level == wall.level
            and wall.line.distance(point.x, point.y) <= ON_LINE_FT
        ):
            yield point


def spots_on(house: House, wall: Wall) -> Iterator[str]:
    """Kinds of the point loads on a wall: beam ends, posts, chimneys, heavy things."""
    for point in points_on(house, wall):
        if point.kind in _SPOTS:
            yield point.kind
    if wall.height == "stops_short":
        return
    for beam in house.beams:
        if beam.level != wall.level or beam.kind in ("header", "hip"):
            continue
        for x, y in beam.ends:
            if wall.line.distance(x, y) <= ON_LINE_FT:
                yield beam.kind
