"""The largest span of a joist that runs in one piece over two equal spans.

Coefficients of the two-span beam (``structure/beams.py``), with the passing load on one span or
both, whichever is worse: moment w L^2 / 8 over the middle support, shear 5/8 w L there, and live
deflection with one span loaded.  As for simple spans, shear counts from a depth off the support.
"""

from __future__ import annotations

import math
from functools import lru_cache

from walltriage.structure import beams
from walltriage.structure.lumber import Lumber
from walltriage.structure.spans import (
    BENDING,
    DEFLECTION,
    SHEAR,
    JoistLoad,
    SpanResult,
)
from walltriage.structure.steps import CalcStep, Check

SUPPORT_MOMENT, SUPPORT_SHEAR, MIDDLE_REACTION = 1 / 8, 5 / 8, 10 / 8


@lru_cache(maxsize=1)
def one_span_sag() -> float:
    """c in sag = c w L^4 / E I, with two equal spans and the load on one of them."""
    beam = beams.solve((1.0, 1.0), (beams.Uniform(12.0, 0.0, 1.0),))
    return beam.greatest_deflection_in(1.0)


def two_span_limits(lumber: Lumber, load: JoistLoad) -> dict[str, float]:
    """Each of two equal spans in inches at which a check is just met."""
    section, design = lumber.section, lumber.design
    strength = design.fb_psi * section.s_in3 / load.strength_lb_in
    seat = design.fv_psi * section.area_in2 / (1.5 * load.strength_lb_in)
    stiff = design.e_psi * section.i_in4 / (one_span_sag() * load.live_lb_in * load.divisor)
    return {
        BENDING: math.sqrt(strength / SUPPORT_MOMENT),
        DEFLECTION: stiff ** (1 / 3),
        SHEAR: (seat + section.depth_in) / SUPPORT_SHEAR,
    }


def worked_two_spans(lumber: Lumber, load: JoistLoad, spacing_in: float) -> SpanResult:
    """Largest of two equal spans, with its checks, and the reaction of the middle support."""
    spans = two_span_limits(lumber, load)
    governs = min(spans, key=lambda name: spans[name])
    span, section, design = spans[governs], lumber.section, lumber.design
    stress_load = load.strength_lb_in * load.duration
    bending = SUPPORT_MOMENT * stress_load * span**2 / section.s_in3
    force = stress_load * max(SUPPORT_SHEAR * span - section.depth_in, 0.0)
    sag = one_span_sag() * load.live_lb_in * span**4 / (design.e_psi * section.i_in4)
    reaction = MIDDLE_REACTION * load.total_lb_in * span
    fb, fv = design.fb_psi * load.duration, design.fv_psi * load.duration
    checks = (
        Check(BENDING, bending, fb, "psi", True, load.combination),
        Check(DEFLECTION, sag, span / load.divisor, "in", True, "live"),
        Check(SHEAR, 1.5 * force / section.area_in2, fv, "psi", True, load.combination),
    )
    factors = " x ".join(f"{name} {value:g}" for name, value in lumber.factors)
    source, strength = lumber.species.source, stress_load
    steps = (
        CalcStep("Fb'", "Fb x factors x CD",
                 f"{lumber.reference.fb_psi:g} x {factors} x CD {load.duration:g}", fb, "psi",
                 source),
        CalcStep("L_bending", "sqrt(8 Fb' S / w), over the middle support",
                 f"sqrt(8 x {fb:.1f} x {section.s_in3:.2f} / {strength:.3f})", spans[BENDING], "in",
                 "nds"),
        CalcStep("L_deflection", "(E I / (c w_live n))^(1/3), one span loaded",
                 f"({design.e_psi:.0f} x {section.i_in4:.2f} / ({one_span_sag():.5f} x "
                 f"{load.live_lb_in:.3f} x {load.divisor}))^(1/3)", spans[DEFLECTION], "in",
                 "irc_r301_7"),
        CalcStep("L_shear", "8/5 (Fv' A / (1.5 w) + d)",
                 f"8/5 x ({fv:.1f} x {section.area_in2:.2f} / (1.5 x {strength:.3f}) + "
                 f"{section.depth_in:g})", spans[SHEAR], "in", "nds"),
        CalcStep("R_middle", "10/8 w L", f"10/8 x {load.total_lb_in:.3f} x {span:.1f}", reaction,
                 "lb", "statics"),
    )  # fmt: skip
    needed = reaction / (design.fc_perp_psi * section.width_in)
    label = f"{lumber.label} at {spacing_in:.4g} in over two equal spans"
    return SpanResult(label, span, governs, checks, steps, reaction, needed)
