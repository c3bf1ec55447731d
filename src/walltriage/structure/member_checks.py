"""One beam on one span: every check under every allowable-stress combination."""

from __future__ import annotations

from dataclasses import dataclass

from walltriage.structure import beams
from walltriage.structure.loads import Combination, LoadSet, combinations
from walltriage.structure.shapes import LOAD_KINDS
from walltriage.structure.steps import CalcStep, Check
from walltriage.structure.stock import Member, stability_factor, volume_factor
from walltriage.structure.strips import PointLoad
from walltriage.structure.tables import Tables

SMALLEST_LIMIT = 1e-6  # stands for a limit of nothing, so that a ratio can still be formed


def combined(loads: LoadSet, factors: LoadSet) -> float:
    """The loads times their factors, added up."""
    return float(sum(factor * getattr(loads, kind) for kind, factor in factors.kinds()))


@dataclass(frozen=True, slots=True)
class MemberLoading:
    """Loads on a beam of ``span_in``: a line load over its length in plf, and point loads."""

    span_in: float
    line: LoadSet
    points: tuple[PointLoad, ...] = ()

    def solve(self, factors: LoadSet) -> beams.SolvedBeam:
        """The beam under the loads times ``factors``."""
        line = combined(self.line, factors)
        points = tuple(
            beams.PointForce(combined(point.lb, factors), point.at_in) for point in self.points
        )
        return beams.solve((self.span_in,), (beams.Uniform(line, 0.0, self.span_in),), points)

    def reactions(self) -> tuple[LoadSet, LoadSet]:
        """Reactions at the left and right end by kind of load, in pounds."""
        ends: list[dict[str, float]] = [{}, {}]
        for kind in filter(self.present, LOAD_KINDS):
            solved = self.solve(LoadSet(**{kind: 1.0}))
            for end, value in zip(ends, solved.reactions_lb, strict=True):
                end[kind] = value
        return LoadSet(**ends[0]), LoadSet(**ends[1])

    def present(self, kind: str) -> bool:
        """Whether any load of this kind acts."""
        return bool(getattr(self.line, kind)) or any(getattr(p.lb, kind) for p in self.points)


def acting(tables: Tables, loading: MemberLoading) -> list[Combination]:
    """The combinations whose every passing load is there.

    One that names an absent load is covered by a combination without it: the duration factor
    of the absent load must not be lent to the rest.
    """
    return [
        one
        for one in combinations(tables)
        if all(not getattr(one.factors, kind) or loading.present(kind) for kind in LOAD_KINDS[1:])
    ]


def shear_near_supports(
    beam: beams.SolvedBeam, loading: MemberLoading, factors: LoadSet, away_in: float
) -> float:
    """The greater of the two shears ``away_in`` from the supports (clause 3.4.3.1).

    The uniform load nearer than that is left out; a point load nearer than that stays in whole,
    which errs on the safe side.
    """
    end = loading.span_in - away_in
    left, right = beam.shear_lb(away_in), -beam.shear_lb(end)
    for point in loading.points:
        load = combined(point.lb, factors)
        left += load if point.at_in <= away_in else 0.0
        right += load if point.at_in > end else 0.0
    return max(left, right)


def _bending_step(
    member: Member, duration: float, least: str, smaller: float, held: float
) -> CalcStep:
    """The bending value from the published one on, factor by factor; CM = 1, dry inside."""
    named = [("CM", 1.0), *((_symbol(name), value) for name, value in member.factors)]
    named += [("CD", duration), (least, smaller)]
    formula = " x ".join(("Fb", *(name for name, _ in named)))
    numbers = " x ".join((f"{member.published_fb_psi:g}", *(f"{v:.4g}" for _, v in named)))
    return CalcStep("Fb'", formula, numbers, held, "psi", member.source)


def _symbol(name: str) -> str:
    return {"two plies": "Cr of two plies", "depth": "Cdepth"}.get(name, name)


def _without_dead(factors: LoadSet) -> tuple[float, ...]:
    return tuple(getattr(factors, kind) for kind in LOAD_KINDS[1:])


def check_member(
    tables: Tables,
    member: Member,
    loading: MemberLoading,
    *,
    seats_in: tuple[float, float],
    seats_decide: tuple[bool, bool] = (True, True),
    contact_in: float | None = None,
    live_divisor: float | None = None,
    total_divisor: float | None = None,
    unbraced_in: float = 0.0,
) -> tuple[tuple[Check, ...], tuple[CalcStep, ...]]:
    """Bending, shear, live and total deflection, and bearing at the two ends.

    Each is given for the combination in which it is worst, with that combination's own duration
    factor.  ``seats_in`` are the bearing lengths, ``contact_in`` the width that bears (the whole
    width unless given); ``seats_decide`` is false for a seat that was chosen to suit the load and
    could be longer.  The line load must already include the beam's own weight.  Returns the checks
    and the steps behind them.
    """
    section, ei = member.section, member.e_psi * member.section.i_in4
    limits = tables.choices["beam_deflection"]
    live_limit = loading.span_in / (live_divisor or limits["live"])
    total_limit = loading.span_in / (total_divisor or limits["total"])
    contact = contact_in or section.width_in
    creep = tables.adjustment["creep"]["dry"]
    share = tables.adjustment["shear_at_depth"]["most_share_of_span"]
    away = min(section.depth_in, share * loading.span_in)
    volume = volume_factor(tables, member, loading.span_in)
    found: dict[str, tuple[Check, tuple[CalcStep, ...]]] = {}

    def keep(check: Check, *steps: CalcStep) -> None:
        if check.name not in found or check.ratio > found[check.name][0].ratio:
            found[check.name] = check, steps

    for one in acting(tables, loading):
        beam = loading.solve(one.factors)
        star = member.fb_psi * one.duration
        stability = stability_factor(tables, member, unbraced_in, star)
        held, least = star * min(volume, stability), "CV" if volume < stability else "CL"
        moment = beam.greatest_moment_lb_in()
        bending = moment / section.s_in3
        keep(
            Check("bending", bending, held or SMALLEST_LIMIT, "psi", True, one.name),
            CalcStep("fb", "M / S", f"{moment:.0f} lb-in / {section.s_in3:.2f} in3", bending, "psi",
                     f"statics, {one.name}"),
            _bending_step(member, one.duration, least, min(volume, stability), held),
        )  # fmt: skip
        force = shear_near_supports(beam, loading, one.factors, away)
        shear = 1.5 * force / section.area_in2
        keep(
            Check("shear", shear, member.fv_psi * one.duration, "psi", True, one.name),
            CalcStep("fv", "1.5 V / A", f"1.5 x {force:.0f} / {section.area_in2:.2f}, V {away:g} "
                     "in from the support", shear, "psi", f"nds, {one.name}"),
            CalcStep("Fv'", "Fv x CM x CD", f"{member.fv_psi:g} x 1 x {one.duration:g}",
                     member.fv_psi * one.duration, "psi", member.source),
        )  # fmt: skip
        # dry lumber goes on sagging under its dead load: shown, not a limit of the code
        passing = LoadSet(0.0, *_without_dead(one.factors))
        lasting = LoadSet(one.factors.dead * creep, *_without_dead(one.factors))
        for name, bent, limit, decides in (
            ("live deflection", loading.solve(passing), live_limit, True),
            ("total deflection", beam, total_limit, True),
            ("long-term sag", loading.solve(lasting), total_limit, False),
        ):
            sag = bent.greatest_deflection_in(ei)
            keep(
                Check(name, sag, limit, "in", decides, one.name),
                CalcStep(name, "greatest deflection of the span", f"E I = {member.e_psi:.0f} x "
                         f"{section.i_in4:.1f}, limit {limit:.3f} in", sag, "in",
                         f"statics, {one.name}"),
            )  # fmt: skip
        for name, reaction, seat, decides in zip(
            ("left bearing", "right bearing"),
            beam.reactions_lb,
            seats_in,
            seats_decide,
            strict=True,
        ):
            stress = reaction / (contact * seat)
            keep(
                Check(name, stress, member.fc_perp_psi, "psi", decides, one.name),
                CalcStep(name, "R / (width x seat)", f"{reaction:.0f} / ({contact:g} x {seat:g})",
                         stress, "psi", f"statics, {one.name}"),
            )  # fmt: skip
    order = ("bending", "shear", "live deflection", "total deflection", "left bearing",
             "right bearing", "long-term sag")  # fmt: skip
    return (
        tuple(found[name][0] for name in order),
        tuple(step for name in order for step in found[name][1]),
    )
