"""What a new beam's end does to whatever is below it: a girder, its posts, a wall, the ground.

A girder's size is seldom known, so no stress is worked out: what is told is how its greatest
moment and shear and its posts' loads grow, which is what a check of its real section needs.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from walltriage.structure import beams
from walltriage.structure.frame_parts import Followed, Piece, Support
from walltriage.structure.loads import Combination, combinations
from walltriage.structure.tables import Tables

Below = Literal["ground", "girder", "wall", "joists", "nothing"]
AT_A_POST_IN = 6.0  # nearer to a post than this, a point comes down on it


@dataclass(frozen=True, slots=True)
class Demand:
    """Greatest moment (lb-ft), shear and post load (lb) of a girder under one set of loads."""

    moment_lb_ft: float
    shear_lb: float
    post_lb: float


@dataclass(frozen=True, slots=True)
class PointBelow:
    """One end of a beam: the load it brings down, where, and what is drawn there.

    For a girder, ``span_in`` is the span it lands in, ``from_post_in`` the distance to the nearer
    end of that span, and ``before`` and ``after`` the girder's demands.  ``footing_sqft`` is what
    the point (on the ground) or the girder's heaviest post asks for at ``soil_psf``.
    """

    load_lb: float
    kind: Below
    lines: tuple[str, ...]
    span_in: float | None = None
    from_post_in: float | None = None
    before: Demand | None = None
    after: Demand | None = None
    footing_sqft: float | None = None
    soil_psf: float | None = None

    @property
    def mid_span(self) -> bool:
        """Whether it lands on a girder between its posts, or on joists."""
        if self.kind == "joists":
            return True
        return self.kind == "girder" and (self.from_post_in or 0.0) > AT_A_POST_IN


def point_below(
    tables: Tables,
    load_lb: float,
    at_in: float,
    under: tuple[Support, ...],
    *,
    on_ground: bool,
    before: Followed,
    after: Followed,
) -> PointBelow:
    """What takes ``load_lb`` at ``at_in`` along the line below (its own coordinate).

    ``before`` and ``after`` are the house followed to the ground with the wall standing and with
    the beam in its place.
    """
    soil = tables.loads["soil"]["untested"]
    if on_ground or not under:
        kind: Below = "ground" if on_ground else "nothing"
        area = load_lb / soil if on_ground else None
        return PointBelow(load_lb, kind, (), footing_sqft=area, soil_psf=soil if area else None)
    names = tuple(line.id for line in under)
    if len(under) > 1:
        return PointBelow(load_lb, "joists", names)
    line = under[0]
    if not line.beam:
        return PointBelow(load_lb, "wall", names)
    one, other = next(
        ((a, b) for a, b in pairwise(rests_of(line)) if a <= at_in <= b), rests_of(line)[-2:]
    )
    grown = girder_demand(tables, line, after)
    return PointBelow(
        load_lb, "girder", names, other - one, max(0.0, min(at_in - one, other - at_in)),
        girder_demand(tables, line, before), grown, grown.post_lb / soil, soil,
    )  # fmt: skip


def rests_of(beam: Support) -> list[float]:
    """Ends and posts of a beam in order, along its axis."""
    return sorted({beam.lo, *(p for p in beam.posts if beam.lo < p < beam.hi), beam.hi})


def girder_demand(tables: Tables, beam: Support, followed: Followed) -> Demand:
    """The greatest of every combination, each span between posts taken as a simple one."""
    moment = shear = post = 0.0
    rests = rests_of(beam)
    for one in combinations(tables):
        reactions = dict.fromkeys(rests, 0.0)
        for low, high in pairwise(rests):
            solved = _span(followed.lines[beam.id], low, high, high == rests[-1], one)
            moment = max(moment, solved.greatest_moment_lb_in() / 12)
            shear = max(shear, solved.greatest_shear_lb())
            for place, force in zip((low, high), solved.reactions_lb, strict=True):
                reactions[place] += force
        post = max(post, *reactions.values())
    return Demand(moment, shear, post)


def _span(pieces: list[Piece], low: float, high: float, last: bool, one: Combination) -> beams.Beam:
    spread, points = [], []
    for piece in pieces:
        load = one.total(piece.load)
        if piece.lo == piece.hi:
            if low <= piece.lo < high or (last and piece.lo == high):
                points.append(beams.Point(load, piece.lo - low))
            continue
        start, end = max(piece.lo, low), min(piece.hi, high)
        if end > start:
            spread.append(beams.Uniform(load, start - low, end - low))
    return beams.solve((high - low,), tuple(spread), tuple(points))
