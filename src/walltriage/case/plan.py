"""The plan of a house as people measure it: parts, levels, and lines on them.

Nothing here is worked out.  A length keeps the words it was given in; a length nobody took
is None.  Directions are words: somebody in the street faces the ``front``; along the front
and back, places count from the left; along the left and right side, from the front.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from typing import Literal

from walltriage.errors import QuantityError
from walltriage.units import LENGTH_HELP, METRIC, parse_length

Side = Literal["front", "back", "left", "right"]
BELOW_ROOMS = ("crawl_space", "basement")  # levels of these names have no main rooms
ABOUT_IN = 30.0
"""How far out a length may be that is told as about so long: as one taken by eye."""
MOST_OUT_IN = 60.0
_ABOUT = re.compile(r"(?:about|around|roughly|approximately|approx\.?|ca\.?|~|≈)\s*", re.IGNORECASE)
_GIVE_OR_TAKE = re.compile(r"\s*(?:±|\+/-|\+-)\s*")


@dataclass(frozen=True, slots=True)
class Length:
    """A length in inches and the words in which it was given.

    ``out_in`` is how far out these words say it may be: ``about 12 ft``, ``12 ft ± 4 in``; 0 where
    they say nothing, and the plan's own tolerance counts.
    """

    inches: float
    given: str
    out_in: float = 0.0

    @classmethod
    def of(cls, text: str, units: str = "ft") -> Length:
        """Read a length, told roughly or not; :class:`QuantityError` when it is none."""
        about = _ABOUT.match(text.strip())
        exact, *out = _GIVE_OR_TAKE.split(text.strip()[about.end() :] if about else text, 1)
        if about is None and not out:
            return cls(parse_length(text, units), text)
        try:
            inches = parse_length(exact, units)
            out_in = parse_length(out[0], units) if out else ABOUT_IN
        except QuantityError:
            raise QuantityError(f"'{text}' is not a length; expected {LENGTH_HELP}") from None
        if out_in > MOST_OUT_IN:
            raise QuantityError(f"'{text}' is too rough to draw; expected up to 5 ft after ±")
        return cls(inches, text, out_in)

    @property
    def metric(self) -> bool:
        """Whether it was given in metres, centimetres or millimetres."""
        return METRIC.search(self.given) is not None


@dataclass(frozen=True, slots=True)
class Part:
    """One rectangle of the outline, ``width`` along the front and ``depth`` front to back.

    All parts but the first stand against a ``side`` of another one (``of``); ``start`` is how
    far from that side's left or front end they begin.  ``year`` is when an addition was built.
    """

    id: str
    width: Length | None = None
    depth: Length | None = None
    levels: tuple[str, ...] = ()
    side: Side | None = None
    of: str = ""
    start: Length | None = None
    year: int | None = None


@dataclass(frozen=True, slots=True)
class DrawnLine:
    """A wall, beam or ridge: parallel to a side of a part, ``off`` it, ``start`` to ``end``.

    A wall of the case is named by ``wall``; any other wall is only drawn and may have a
    ``name``.  A knee wall is a short one under the roof slope.  Ridges have no level.  Openings
    are doors and wider ones, counted from the same end as ``start`` and ``end``.  ``size`` is that
    of a beam somebody measured: plies and nominal size, ``3-2x10``.
    """

    along: Side
    off: Length | None = None
    start: Length | None = None
    end: Length | None = None
    level: str = ""
    part: str = ""
    wall: str = ""
    name: str = ""
    kind: str = "wall"
    openings: tuple[tuple[Length, Length], ...] = ()
    size: str = ""

    @property
    def title(self) -> str:
        return self.wall or self.name or "a wall"


@dataclass(frozen=True, slots=True)
class Area:
    """A rectangle on a level, as (from, to) from the left and from the front of its part.

    For stairs ``level`` is the floor with the hole in it; for joists, the level whose ceiling
    they carry, ``run`` the side they are parallel to, ``seen_from`` where somebody saw them.
    """

    level: str
    part: str = ""
    left: tuple[Length, Length] | None = None
    front: tuple[Length, Length] | None = None
    run: Side | None = None
    seen_from: str = ""


@dataclass(frozen=True, slots=True)
class DrawnPost:
    """A post on a level, so far from the left and from the front of its part.

    ``size`` and ``height`` are those of a wood post somebody measured: ``6x6``, or plies side by
    side, ``3-2x6``.  ``footing`` is the side of a square pad that somebody dug to and measured.
    """

    level: str
    left: Length
    front: Length
    part: str = ""
    size: str = ""
    height: Length | None = None
    footing: Length | None = None


@dataclass(frozen=True, slots=True)
class Plan:
    """All that was drawn.  ``levels`` run from the lowest to the highest.

    ``tolerance`` is how far out a length may be.  ``whole`` names the levels of which every
    full-height wall is drawn: only there does a wall that is not drawn count as not there.
    """

    tolerance: Length = field(default_factory=lambda: Length(6.0, "6 in"))
    levels: tuple[str, ...] = ()
    whole: tuple[str, ...] = ()
    parts: tuple[Part, ...] = ()
    ridges: tuple[DrawnLine, ...] = ()
    walls: tuple[DrawnLine, ...] = ()
    beams: tuple[DrawnLine, ...] = ()
    posts: tuple[DrawnPost, ...] = ()
    stairs: tuple[Area, ...] = ()
    joists: tuple[Area, ...] = ()

    @property
    def metric(self) -> bool:
        """Whether the house was measured in metres."""
        sizes = [size for part in self.parts for size in (part.width, part.depth) if size]
        return bool(sizes) and all(size.metric for size in sizes)

    def part(self, part_id: str) -> Part:
        """The part with this id, the first one for an empty id; :class:`KeyError` for none."""
        for part in self.parts:
            if part.id == part_id or not part_id:
                return part
        raise KeyError(part_id)

    def line_of(self, wall_id: str) -> DrawnLine | None:
        """The line that draws a wall of the case."""
        return next((line for line in self.walls if line.wall == wall_id), None)

    def with_wall(self, line: DrawnLine) -> Plan:
        """A copy in which a wall is drawn, in place of an earlier line of the same wall."""
        kept = tuple(w for w in self.walls if not line.wall or w.wall != line.wall)
        return replace(self, walls=(*kept, line))

    def with_opening(self, line: DrawnLine, ends: tuple[Length, Length]) -> Plan:
        """A copy in which a wall has one more opening."""
        changed = replace(line, openings=(*line.openings, ends))
        return replace(self, walls=tuple(changed if w is line else w for w in self.walls))

    def with_beam(self, line: DrawnLine) -> Plan:
        """A copy with one more beam."""
        return replace(self, beams=(*self.beams, line))

    def with_post(self, post: DrawnPost) -> Plan:
        """A copy with one more post."""
        return replace(self, posts=(*self.posts, post))

    def with_stairs(self, hole: Area) -> Plan:
        """A copy with one more stair opening."""
        return replace(self, stairs=(*self.stairs, hole))

    def with_joists(self, bay: Area) -> Plan:
        """A copy with one more bay of joists."""
        return replace(self, joists=(*self.joists, bay))
