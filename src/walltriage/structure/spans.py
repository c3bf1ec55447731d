"""The largest simple span of a joist or rafter, by allowable-stress design.

A uniformly loaded simple span is limited by bending (w L^2 / 8), by deflection under live
load (5 w L^4 / 384 E I), by shear at a depth from the support (clause 3.4.3.1 of the National
Design Specification) and, where a bearing length is given, by bearing.  The published span
tables use the first two; shear seldom governs a joist.  The dead load is taken to include the
joist's own weight, and rafter spans are horizontal projections, both as in those tables.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from walltriage.errors import refuse
from walltriage.structure.inputs import find_grade, find_size, find_species, graded, one_of, within
from walltriage.structure.lumber import Lumber, sawn
from walltriage.structure.shapes import USES
from walltriage.structure.steps import NOTE, CalcStep, Check
from walltriage.structure.tables import Tables

BENDING, DEFLECTION, SHEAR, BEARING = "bending", "live deflection", "shear", "bearing"


@dataclass(frozen=True, slots=True)
class SpanResult:
    """A largest span in inches, what governs it, every check at that span, and the steps.

    ``bearing_needed_in`` is the least bearing length at each end for compression across the
    grain; ``reaction_lb`` the load one end brings down at this span.
    """

    label: str
    span_in: float
    governs: str
    checks: tuple[Check, ...]
    steps: tuple[CalcStep, ...]
    reaction_lb: float
    bearing_needed_in: float
    note: str = NOTE


@dataclass(frozen=True, slots=True)
class SpanRange:
    """Lowest, usual and highest span of lumber that is not fully known, each fully worked."""

    lowest: SpanResult
    usual: SpanResult
    highest: SpanResult
    note: str = NOTE


@dataclass(frozen=True, slots=True)
class JoistLoad:
    """Loads on one joist in lb per inch, and the factors that go with them.

    ``strength_lb_in`` is the load that decides strength after division by the duration
    factors: the total at the factor of its live load, or the dead load alone at its own.
    """

    total_lb_in: float
    live_lb_in: float
    strength_lb_in: float
    duration: float
    combination: str
    divisor: int


Work = Callable[[Lumber, JoistLoad, float], SpanResult]


def joist_load(
    tables: Tables,
    use: str,
    spacing_in: float,
    live_psf: float,
    dead_psf: float,
    deflection: int | None = None,
    duration: float | None = None,
) -> JoistLoad:
    """Loads of one joist from psf and spacing; :class:`InputError` for values out of range."""
    one_of("use", use, USES)
    rule = tables.spans["uses"][use]
    divisor = rule["deflection"] if deflection is None else within(tables, "deflection", deflection)
    factor = rule["duration"] if duration is None else within(tables, "duration", duration)
    per_inch = within(tables, "spacing_in", spacing_in, zero=False) / 144
    live = within(tables, "live_psf", live_psf, name="live load") * per_inch
    dead = within(tables, "dead_psf", dead_psf, name="dead load") * per_inch
    permanent = tables.loads["combinations"]["D"]["duration"]
    by_total, by_dead = (live + dead) / factor, dead / permanent
    if by_dead > by_total:
        return JoistLoad(live + dead, live, by_dead, permanent, "D", int(divisor))
    return JoistLoad(live + dead, live, by_total, factor, "D + live", int(divisor))


def limits(lumber: Lumber, load: JoistLoad, bearing_in: float | None = None) -> dict[str, float]:
    """The span in inches at which each check is just met."""
    section, design = lumber.section, lumber.design
    spans = {
        BENDING: math.sqrt(8 * design.fb_psi * section.s_in3 / load.strength_lb_in),
        DEFLECTION: (
            384 * design.e_psi * section.i_in4 / (5 * load.live_lb_in * load.divisor)
        ) ** (1 / 3),
        # v = 1.5 w (L/2 - d) / A
        SHEAR: 2 * (design.fv_psi * section.area_in2 / (1.5 * load.strength_lb_in)
                    + section.depth_in),
    }  # fmt: skip
    if bearing_in is not None:
        seat = design.fc_perp_psi * section.width_in * bearing_in
        spans[BEARING] = 2 * seat / load.total_lb_in
    return spans


def is_repetitive(tables: Tables, spacing_in: float, thickness_in: float) -> bool:
    """Whether joists this thick at this spacing earn the repetitive-member factor."""
    rule = tables.adjustment["repetitive"]
    most_in: tuple[float, float] = rule["spacing_up_to_in"], rule["thickness_up_to_in"]
    return spacing_in <= most_in[0] and thickness_in <= most_in[1]


def _checks(
    tables: Tables, lumber: Lumber, load: JoistLoad, span: float, bearing_in: float | None
) -> tuple[tuple[Check, ...], float, float]:
    section, design = lumber.section, lumber.design
    stress_load = load.strength_lb_in * load.duration
    bending = stress_load * span**2 / 8 / section.s_in3
    shear_force = stress_load * max(span / 2 - section.depth_in, 0)
    stiffness = 384 * design.e_psi * section.i_in4
    live_sag = 5 * load.live_lb_in * span**4 / stiffness
    total_sag = 5 * load.total_lb_in * span**4 / stiffness
    total_divisor = tables.choices["beam_deflection"]["total"]
    reaction = load.total_lb_in * span / 2
    needed = reaction / (design.fc_perp_psi * section.width_in)
    seat = bearing_in or tables.adjustment["least_bearing"]["on_wood"]
    checks = (
        Check(BENDING, bending, design.fb_psi * load.duration, "psi", True, load.combination),
        Check(DEFLECTION, live_sag, span / load.divisor, "in", True, "live"),
        Check(SHEAR, 1.5 * shear_force / section.area_in2, design.fv_psi * load.duration, "psi",
              True, load.combination),
        Check("total deflection", total_sag, span / total_divisor, "in", False, "D + live"),
        Check(BEARING, needed, seat, "in", bearing_in is not None, "D + live"),
    )  # fmt: skip
    return checks, reaction, needed


def _steps(
    lumber: Lumber, load: JoistLoad, spans: dict[str, float], spacing_in: float
) -> tuple[CalcStep, ...]:
    section, design, source = lumber.section, lumber.design, lumber.species.source
    width, depth = section.width_in, section.depth_in
    live_psf = load.live_lb_in * 144 / spacing_in
    total_psf = load.total_lb_in * 144 / spacing_in
    factors = " x ".join(f"{name} {value:g}" for name, value in lumber.factors)
    fb = design.fb_psi * load.duration
    divided = "" if load.combination == "D + live" else " (dead load alone, shorter factor)"
    strength = load.strength_lb_in * load.duration
    steps = [
        CalcStep("S", "b d^2 / 6", f"{width:g} x {depth:g}^2 / 6", section.s_in3, "in3",
                 lumber.size.source),
        CalcStep("I", "b d^3 / 12", f"{width:g} x {depth:g}^3 / 12", section.i_in4, "in4",
                 lumber.size.source),
        CalcStep("w", "(live + dead) x spacing / 144", f"{total_psf:g} x {spacing_in:g} / 144",
                 load.total_lb_in, "lb/in", ""),
        CalcStep("w_live", "live x spacing / 144", f"{live_psf:g} x {spacing_in:g} / 144",
                 load.live_lb_in, "lb/in", ""),
        CalcStep("Fb'", "Fb x factors x CD",
                 f"{lumber.reference.fb_psi:g} x {factors} x CD {load.duration:g}", fb, "psi",
                 source),
        CalcStep("L_bending", "sqrt(8 Fb' S / w)" + divided,
                 f"sqrt(8 x {fb:.1f} x {section.s_in3:.2f} / {strength:.3f})", spans[BENDING], "in",
                 "nds"),
        CalcStep("L_deflection", "(384 E I / (5 w_live n))^(1/3)",
                 f"(384 x {design.e_psi:.0f} x {section.i_in4:.2f} / "
                 f"(5 x {load.live_lb_in:.3f} x {load.divisor}))^(1/3)",
                 spans[DEFLECTION], "in", "irc_r301_7"),
        CalcStep("L_shear", "2 (Fv' A / (1.5 w) + d)",
                 f"2 x ({design.fv_psi * load.duration:.1f} x {section.area_in2:.2f} / "
                 f"(1.5 x {strength:.3f}) + {depth:g})", spans[SHEAR], "in", "nds"),
    ]  # fmt: skip
    if BEARING in spans:
        steps.append(CalcStep("L_bearing", "2 Fc_perp b l_b / w", "", spans[BEARING], "in", "nds"))
    return tuple(steps)


def worked_span(
    tables: Tables,
    lumber: Lumber,
    load: JoistLoad,
    spacing_in: float,
    bearing_in: float | None = None,
) -> SpanResult:
    """The span of one piece under one load, with all its checks and steps."""
    spans = limits(lumber, load, bearing_in)
    governs = min(spans, key=lambda name: spans[name])
    span = spans[governs]
    checks, reaction, needed = _checks(tables, lumber, load, span, bearing_in)
    label = f"{lumber.label} at {spacing_in:.4g} in"
    steps = _steps(lumber, load, spans, spacing_in)
    return SpanResult(label, span, governs, checks, steps, reaction, needed)


def allowable_span(
    tables: Tables,
    *,
    use: str,
    size: str,
    species: str | None,
    grade: str | None,
    spacing_in: float,
    live_psf: float,
    dead_psf: float,
    deflection: int | None = None,
    duration: float | None = None,
    bearing_in: float | None = None,
    wet: bool = False,
    incised: bool = False,
    lumped: bool = False,
    work: Work | None = None,
) -> SpanResult:
    """Largest span in inches of one joist or rafter.

    ``use`` is floor, ceiling or rafter and sets the deflection divisor and duration factor
    unless they are given.  ``bearing_in`` adds a check of bearing at each end.  ``wet`` and
    ``incised`` apply the service factors; ``lumped`` takes bending values as printed before
    the 2018 residential code.  ``work`` stands in for :func:`worked_span`: over two spans, say.
    Raises :class:`InputError` for an unknown name or a value out of range; a species or grade of
    ``None`` is refused here (see :func:`span_range`).
    """
    piece_size = find_size(tables, size)
    if species is None:
        raise refuse("species", "is missing", "ask for a range when it is not known")
    group = find_species(tables, species)
    if grade is None:
        raise refuse("grade", "is missing", "ask for a range when it is not known")
    name = find_grade(tables, group, grade)
    load = joist_load(tables, use, spacing_in, live_psf, dead_psf, deflection, duration)
    if bearing_in is not None:
        within(tables, "bearing_in", bearing_in)
    repetitive = is_repetitive(tables, spacing_in, piece_size.thickness_in)
    lumber = sawn(
        tables, piece_size, group, name,
        repetitive=repetitive, wet=wet, incised=incised, lumped=lumped,
    )  # fmt: skip
    if work is not None:
        return work(lumber, load, float(spacing_in))
    return worked_span(tables, lumber, load, float(spacing_in), bearing_in)


def span_range(
    tables: Tables,
    *,
    use: str,
    size: str,
    species: str | None = None,
    grade: str | None = None,
    spacing_in: float,
    live_psf: float,
    dead_psf: float,
    deflection: int | None = None,
    duration: float | None = None,
    bearing_in: float | None = None,
    work: Work | None = None,
) -> SpanRange:
    """Lowest, usual and highest span over the lumber that could be meant.

    What is known is kept; an unknown species or grade runs over the common ones listed in the
    span rules.  Each of the three results names its combination in ``label``.
    """
    rule = tables.spans["unknown_lumber"]
    groups = [find_species(tables, species)] if species else [
        tables.species[key] for key in rule["species"]
    ]  # fmt: skip
    if grade:
        groups = graded(tables, groups, grade)
    results: dict[tuple[str, str], SpanResult] = {}
    for group in groups:
        known = [name for name in rule["grades"] if name in group.grade_names]
        for name in [find_grade(tables, group, grade)] if grade else known:
            results[group.key, name] = allowable_span(
                tables, use=use, size=size, species=group.key, grade=name, spacing_in=spacing_in,
                live_psf=live_psf, dead_psf=dead_psf, deflection=deflection, duration=duration,
                bearing_in=bearing_in, work=work,
            )  # fmt: skip
    ordered = sorted(results.values(), key=lambda result: result.span_in)
    usual_grade = find_grade(tables, groups[0], grade) if grade else rule["usual_grade"]
    usual_key = rule["usual_species"]
    if (usual_key, usual_grade) not in results:
        usual_key = groups[0].key
    return SpanRange(ordered[0], results[usual_key, usual_grade], ordered[-1])
