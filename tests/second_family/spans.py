"""Spans of joists by bending and by deflection, for the second family of houses.

Formulas of a simple span under uniform load; values of spruce-pine-fir No. 2, with the size
factors and the repetitive member factor 1.15 of the NDS supplement (from memory).
"""

from __future__ import annotations

import math

DEPTH_IN = {"2x4": 3.5, "2x6": 5.5, "2x8": 7.25, "2x10": 9.25, "2x12": 11.25}
SIZE_FACTOR = {"2x4": 1.5, "2x6": 1.3, "2x8": 1.2, "2x10": 1.1, "2x12": 1.0}
BENDING_PSI, STIFFNESS_PSI, REPETITIVE = 875.0, 1.4e6, 1.15
THICK_IN, SPACING_IN = 1.5, 16.0


def allowed_ft(size: str, live_psf: float, dead_psf: float, limit: float) -> float:
    """Longest simple span, feet; ``limit`` is the span over the live-load deflection."""
    depth = DEPTH_IN[size]
    section, inertia = THICK_IN * depth**2 / 6, THICK_IN * depth**3 / 12
    all_lb_in, live_lb_in = ((live_psf + dead_psf) * SPACING_IN / 144, live_psf * SPACING_IN / 144)
    stress = BENDING_PSI * SIZE_FACTOR[size] * REPETITIVE
    by_bending = math.sqrt(8 * stress * section / all_lb_in)
    by_deflection = (384 * STIFFNESS_PSI * inertia / (5 * live_lb_in * limit)) ** (1 / 3)
    return float(min(by_bending, by_deflection)) / 12


def size_for(span_ft: float, live_psf: float, dead_psf: float, limit: float, over: float) -> str:
    """The least size that a builder who goes ``over`` times the allowed span would use."""
    for size in DEPTH_IN:
        if allowed_ft(size, live_psf, dead_psf, limit) * over >= span_ft:
            return size
    return "2x12"
