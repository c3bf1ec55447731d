"""The pieces of a house's frame: lines of support, fields of joists, and what they collect.

Coordinates are inches: ``x`` to the right, ``y`` to the back.  A line along ``x`` has ``at`` as
its y and runs from ``lo`` to ``hi`` in x; along ``y`` the other way round.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise

from walltriage.case.geometry import Axis
from walltriage.structure.loads import LoadSet


@dataclass(frozen=True, slots=True)
class Prop:
    """What was measured of a beam's post: ``at`` along the beam, sizes in inches, else empty.

    ``size`` is that of a wood post, ``6x6`` or ``3-2x6``; ``footing_in`` the side of its pad.
    """

    at: float
    size: str = ""
    height_in: float | None = None
    footing_in: float | None = None


@dataclass(frozen=True, slots=True)
class Support:
    """A line that joists can rest on: an outside wall, a wall or a beam of one level.

    ``carries`` is false for a wall that only weighs (``plf``, its own weight per foot).  A beam
    has ``posts`` along it, in inches along its axis, beside its two ends.  A ``grounded`` line
    has a footing of its own though it is not on the lowest level, as under an addition.  ``size``
    is that of a measured beam, ``3-2x10``; ``props`` what was measured of its posts.
    """

    id: str
    level: int
    axis: Axis
    at: float
    lo: float
    hi: float
    carries: bool = True
    plf: LoadSet = field(default_factory=LoadSet)
    beam: bool = False
    posts: tuple[float, ...] = ()
    grounded: bool = False
    size: str = ""
    props: tuple[Prop, ...] = ()


@dataclass(frozen=True, slots=True)
class JoistField:
    """Joists over one level in a rectangle: which axis they run along, and the load on them."""

    id: str
    level: int
    x0: float
    y0: float
    x1: float
    y1: float
    run: Axis
    psf: LoadSet

    def along(self) -> tuple[float, float]:
        return (self.x0, self.x1) if self.run == "x" else (self.y0, self.y1)

    def across(self) -> tuple[float, float]:
        return (self.y0, self.y1) if self.run == "x" else (self.x0, self.x1)


@dataclass(frozen=True, slots=True)
class LoadPiece:
    """Load on a line: uniform in plf from ``lo`` to ``hi``, or pounds at a spot (``lo == hi``)."""

    lo: float
    hi: float
    load: LoadSet

    @property
    def pounds(self) -> LoadSet:
        return self.load if self.lo == self.hi else self.load.times((self.hi - self.lo) / 12)


@dataclass(frozen=True, slots=True)
class Arrived:
    """What comes down on the ground (pounds), where, and from which line or post."""

    x: float
    y: float
    load: LoadSet
    source: str


@dataclass(slots=True)
class Followed:
    """The take-down: pieces on every line, what reached the ground, spans, and findings."""

    lines: dict[str, list[LoadPiece]] = field(default_factory=dict)
    ground: list[Arrived] = field(default_factory=list)
    spans_in: dict[str, float] = field(default_factory=dict)
    findings: list[str] = field(default_factory=list)

    def pounds(self, line: str) -> LoadSet:
        """All that a line collects."""
        total = LoadSet()
        for piece in self.lines.get(line, ()):
            total += piece.pounds
        return total

    def worst_plf(self, line: str) -> LoadSet:
        """The heaviest foot of a line, each kind of load for itself; spots left out."""
        pieces = [p for p in self.lines.get(line, ()) if p.lo != p.hi]
        cuts = sorted({end for p in pieces for end in (p.lo, p.hi)})
        worst = LoadSet()
        for lo, hi in pairwise(cuts):
            here = LoadSet()
            for p in pieces:
                if p.lo < (lo + hi) / 2 < p.hi:
                    here += p.load
            worst = LoadSet(*(max(a, b) for (_, a), (_, b) in
                              zip(worst.kinds(), here.kinds(), strict=True)))  # fmt: skip
        return worst

    def spots(self, line: str) -> list[LoadPiece]:
        """The loads that come on a line at one spot."""
        return [p for p in self.lines.get(line, ()) if p.lo == p.hi]
