"""What a new beam's end does to whatever is below it: a girder, its posts, a wall, the ground.

Told is how a girder's greatest moment and shear and its posts' loads grow.  What was measured of
girder, posts and pads is checked as well, in the weakest of four common species, No.2.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from walltriage.structure import beams
from walltriage.structure.columns import COMMON
from walltriage.structure.frame_parts import Followed, LoadPiece, Support
from walltriage.structure.loads import Combination, combinations
from walltriage.structure.post_check import GirderReaction, PostCheck, check_posts
from walltriage.structure.stock import sawn_beam
from walltriage.structure.tables import Tables

Below = Literal["ground", "girder", "wall", "joists", "nothing"]
AT_A_POST_IN = 6.0  # nearer to a post than this, a point comes down on it


@dataclass(frozen=True, slots=True)
class Demand:
    """Greatest moment (lb-ft), shear and post load (lb) of a girder under one set of loads.

    ``rests`` are its two ends and its posts in order, each with the greatest load on it.
    """

    moment_lb_ft: float
    shear_lb: float
    post_lb: float
    stiffness_lb_in2: float
    """E I at which the total load sags by the usual share of the span."""
    rests: tuple[GirderReaction, ...]


@dataclass(frozen=True, slots=True)
class GirderCheck:
    """A measured girder under the new load: demand over limit, the worst of four species.

    Load duration is taken as 1.0 throughout, which errs on the safe side under snow.
    """

    size: str
    bending: float
    shear: float
    deflection: float

    @property
    def works(self) -> bool:
        return max(self.bending, self.shear, self.deflection) <= 1


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
    girder: GirderCheck | None = None
    posts: tuple[PostCheck, ...] = ()

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
    stood, grown = (girder_demand(tables, line, found) for found in (before, after))
    return PointBelow(
        load_lb, "girder", names, other - one, max(0.0, min(at_in - one, other - at_in)),
        stood, grown, grown.post_lb / soil, soil,
        girder_check(tables, line.size, grown) if line.size else None,
        check_posts(tables, line, stood.rests, grown.rests),
    )  # fmt: skip


def girder_check(tables: Tables, size: str, demand: Demand) -> GirderCheck:
    """Bending, shear and total deflection of a girder of ``size`` (``3-2x10``) under a demand.

    Raises :class:`InputError` for a size that no table lists.
    """
    plies, _, piece = size.partition("-")
    found = [sawn_beam(tables, piece, name, "No.2", int(plies)) for name in COMMON]
    return GirderCheck(
        size,
        max(12 * demand.moment_lb_ft / (one.fb_psi * one.section.s_in3) for one in found),
        max(1.5 * demand.shear_lb / (one.fv_psi * one.section.area_in2) for one in found),
        max(demand.stiffness_lb_in2 / (one.e_psi * one.section.i_in4) for one in found),
    )


def rests_of(beam: Support) -> list[float]:
    """Ends and posts of a beam in order, along its axis."""
    return sorted({beam.lo, *(p for p in beam.posts if beam.lo < p < beam.hi), beam.hi})


def girder_demand(tables: Tables, beam: Support, followed: Followed) -> Demand:
    """The greatest of every combination, each span between posts taken as a simple one."""
    moment = shear = stiffness = 0.0
    greatest: dict[float, float] = {}
    divisor = tables.choices["beam_deflection"]["total"]
    rests = rests_of(beam)
    for one in combinations(tables):
        reactions = dict.fromkeys(rests, 0.0)
        for low, high in pairwise(rests):
            solved = _span(followed.lines[beam.id], low, high, high == rests[-1], one)
            moment = max(moment, solved.greatest_moment_lb_in() / 12)
            shear = max(shear, solved.greatest_shear_lb())
            needed = solved.greatest_deflection_in(1.0) * divisor / (high - low)
            stiffness = max(stiffness, needed)
            for place, force in zip((low, high), solved.reactions_lb, strict=True):
                reactions[place] += force
        for place, force in reactions.items():
            greatest[place] = max(greatest.get(place, 0.0), force)
    held = tuple(
        GirderReaction(place - beam.lo, force) for place, force in sorted(greatest.items())
    )
    return Demand(moment, shear, max(greatest.values()), stiffness, held)


def _span(
    pieces: list[LoadPiece], low: float, high: float, last: bool, one: Combination
) -> beams.SolvedBeam:
    spread, points = [], []
    for piece in pieces:
        load = one.total(piece.load)
        if piece.lo == piece.hi:
            if low <= piece.lo < high or (last and piece.lo == high):
                points.append(beams.PointForce(load, piece.lo - low))
            continue
        start, end = max(piece.lo, low), min(piece.hi, high)
        if end > start:
            spread.append(beams.Uniform(load, start - low, end - low))
    return beams.solve((high - low,), tuple(spread), tuple(points))
