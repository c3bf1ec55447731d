"""What is known of a drawn house beside its plan, and a way to settle what is not."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from walltriage.structure.steps import Range

End = Literal["low", "usual", "high"]


@dataclass(frozen=True, slots=True)
class Site:
    """What is known of a house beside its plan; lengths in inches, snow on the ground in psf.

    ``breaks`` are the walls over which joists are known to end or lap.
    """

    wall_height_in: Range
    slope_deg: Range
    ground_snow_psf: float | None = None
    covering: str = "roof_light"
    roof_trusses: bool = False
    breaks: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Settled:
    """One way to settle what is not known.

    ``all_carry``: every drawn wall that is not likely non-bearing carries, not only those that
    are likely bearing.  ``roof_inside``: the roof rests on inside lines like a floor does (never
    with trusses), not on the outside walls alone.  ``through``: joists run unbroken over the
    lines between their ends.  ``end``: which end of each load's range is taken.
    """

    all_carry: bool
    roof_inside: bool
    through: bool = False
    end: End = "usual"


HEAVY = Settled(all_carry=True, roof_inside=True)
"""The way that brings the most load inside."""
