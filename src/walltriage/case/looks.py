"""What was seen along a wall: looks from a place, over a stretch, with what was found where.

Places along a wall are inches from one end, its zero end, which the case names in words.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from walltriage.case.sureness import Sureness

Place = Literal["attic", "below", "upstairs", "strip", "hole"]
PLACES: tuple[Place, ...] = ("attic", "below", "upstairs", "strip", "hole")
"""From where somebody looked; a strip and a hole are openings in the finish at the wall's top."""
Saw = Literal["nothing_rests", "along", "one_piece"]
SAW: tuple[Saw, ...] = ("nothing_rests", "along", "one_piece")
"""What framing does over a stretch, but for what is found at single spots: keeps clear of the
wall, runs the same way beside it, or passes over it in one piece and touches it."""
Thing = Literal[
    "joist_end_or_lap", "strut_foot", "beam_end", "wood_post", "steel_post", "stud_pack"
]
"""What can stand, end or lie at one spot of a wall."""


@dataclass(frozen=True, slots=True)
class Found:
    """One thing at one spot, inches from the zero end."""

    what: Thing
    at_in: float


@dataclass(frozen=True, slots=True)
class Look:
    """One look.  ``whole`` says "all of it" instead of a stretch; a hole has both ends at its spot.

    ``length_in`` is the wall's length as measured from that place, where it was.
    """

    place: Place
    from_in: float = 0.0
    to_in: float = 0.0
    whole: bool = False
    saw: Saw | None = None
    found: tuple[Found, ...] = ()
    length_in: float | None = None
    sure: Sureness = "certain"
    by: str = ""
    seen_on: str = ""


@dataclass(frozen=True, slots=True)
class MarkedDistance:
    """A distance to the wall from an outside wall, measured below and again above."""

    from_wall: str
    below_in: float
    above_in: float


@dataclass(frozen=True, slots=True)
class WallLooks:
    """All looks along one wall, with the words for its two ends."""

    zero_end: str
    other_end: str = ""
    length_in: float | None = None
    marked: tuple[MarkedDistance, ...] = ()
    looks: tuple[Look, ...] = ()

    @property
    def ends_described(self) -> bool:
        """Whether somebody has said where the wall begins and where it stops."""
        return bool(self.zero_end.strip() and self.other_end.strip())
