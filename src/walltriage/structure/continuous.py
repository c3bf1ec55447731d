"""A beam on more than two supports, or with free ends: every check, the passing load placed worst.

Passing loads (floor, snow, roof) may stand on any of the spans and free ends and leave the others
bare; each check takes the arrangement that is worst for it.  Shear is taken at the support itself,
which errs on the safe side.  A free end's sag is held against twice its length (residential code,
table R301.7, note).
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import accumulate, pairwise, product

from walltriage.errors import refuse
from walltriage.language import say
from walltriage.structure import beams
from walltriage.structure.inputs import within
from walltriage.structure.load_inputs import check_loads
from walltriage.structure.loads import LoadSet
from walltriage.structure.member_checks import MemberLoading, acting, combined
from walltriage.structure.shapes import LOAD_KINDS
from walltriage.structure.steps import NOTE, CalcStep, Check
from walltriage.structure.stock import Member, hogging_factor, stability_factor, volume_factor
from walltriage.structure.strips import PointLoad
from walltriage.structure.supports import EndSupport, end_support
from walltriage.structure.tables import Tables
from walltriage.units import format_length, format_quantity

MOST_SPANS = 4
FREE_END_COUNTS = 2  # times its length, for the limit of its sag


@dataclass(frozen=True, slots=True)
class Supported:
    """Spans between centers of supports, and the free ends left and right, in inches."""

    spans_in: tuple[float, ...]
    overhangs_in: tuple[float, float] = (0.0, 0.0)

    @property
    def bounds_in(self) -> tuple[float, ...]:
        """Where pieces begin and end, from the beam's left end."""
        left, right = self.overhangs_in
        pieces = (*((left,) if left else ()), *self.spans_in, *((right,) if right else ()))
        return tuple(accumulate(pieces, initial=0.0))

    @property
    def length_in(self) -> float:
        return sum(self.spans_in) + sum(self.overhangs_in)


@dataclass(frozen=True, slots=True)
class Reaction:
    """The most and the least that one support carries, in pounds; a negative least lifts.

    ``most_by_kind`` is the envelope of each kind of load.
    """

    at_in: float
    most_lb: float
    least_lb: float
    most_by_kind: LoadSet


@dataclass(frozen=True, slots=True)
class ContinuousResult:
    """One beam over its supports: the checks, what governs, and the reactions."""

    member: Member
    supported: Supported
    checks: tuple[Check, ...]
    governs: str
    utilization: float
    reactions: tuple[Reaction, ...]
    steps: tuple[CalcStep, ...]
    note: str = NOTE

    @property
    def works(self) -> bool:
        return self.utilization <= 1


def check_supported(
    tables: Tables, supported: Supported, loads: LoadSet, points: tuple[PointLoad, ...]
) -> None:
    """:class:`InputError` for spans, free ends or loads that are out of range."""
    if not 1 <= len(supported.spans_in) <= MOST_SPANS:
        raise refuse("spans", f"{len(supported.spans_in)} of them", f"expected 1 to {MOST_SPANS}")
    for span in supported.spans_in:
        within(tables, "opening_in", span, name="span")
    for free, beside in zip(
        supported.overhangs_in, (supported.spans_in[0], supported.spans_in[-1]), strict=True
    ):
        if not 0 <= free <= beside:
            text = f"{free:g} in is out of range"
            raise refuse("overhang", text, f"expected 0 to {beside:g} in, the span beside it")
    check_loads(tables, supported.length_in, loads, points, "beam")


class _Solved:
    """Solved beams for every arrangement of the passing loads."""

    def __init__(self, supported: Supported, line: LoadSet, points: tuple[PointLoad, ...]) -> None:
        self.supported, self.line, self.points = supported, line, points
        self.pieces = list(pairwise(supported.bounds_in))
        self.arrangements = list(product((True, False), repeat=len(self.pieces)))

    def solve(self, factors: LoadSet, loaded: tuple[bool, ...]) -> beams.SolvedBeam:
        """The beam under ``factors``, passing loads only on the pieces that are ``loaded``."""
        bare = LoadSet(dead=factors.dead)
        uniforms = tuple(
            beams.Uniform(combined(self.line, factors if full else bare), start, end)
            for full, (start, end) in zip(loaded, self.pieces, strict=True)
        )
        points = tuple(
            beams.PointForce(
                combined(p.lb, factors if self._on(p.at_in, loaded) else bare), p.at_in
            )
            for p in self.points
        )
        return beams.solve(
            self.supported.spans_in, uniforms, points, overhangs_in=self.supported.overhangs_in
        )

    def _on(self, at: float, loaded: tuple[bool, ...]) -> bool:
        places = zip(loaded, self.pieces, strict=True)
        return any(full for full, (start, end) in places if start <= at <= end)


def check_continuous(
    tables: Tables,
    member: Member,
    supported: Supported,
    loads: LoadSet,
    points: tuple[PointLoad, ...] = (),
    *,
    live_divisor: float | None = None,
) -> ContinuousResult:
    """Bending, shear, live and total sag of one beam; its own weight is added to ``loads``.

    The top is taken as held by the joists; where it bends the other way, over inner supports and
    at free ends, the bottom is taken as free over a span (CL).  Raises :class:`InputError` for a
    support, span or load out of range.
    """
    check_supported(tables, supported, loads, points)
    line = loads + LoadSet(dead=member.weight_plf)
    solved, section = _Solved(supported, line, points), member.section
    ei, limits = member.e_psi * section.i_in4, tables.choices["beam_deflection"]
    reach = _reach(supported)
    found: dict[str, tuple[Check, tuple[CalcStep, ...]]] = {}

    def keep(check: Check, *steps: CalcStep) -> None:
        if check.name not in found or check.ratio > found[check.name][0].ratio:
            found[check.name] = check, steps

    longest = max(supported.spans_in)
    volume, weaker = volume_factor(tables, member, longest), hogging_factor(tables, member)
    for one in acting(tables, MemberLoading(supported.length_in, line, points)):
        star = member.fb_psi * one.duration
        turned = stability_factor(tables, member, longest, star)
        for loaded in solved.arrangements:
            beam = solved.solve(one.factors, loaded)
            for name, moment, factor in (
                ("bending, top held", beam.extreme_moments_lb_in()[1], volume),
                (
                    "bending over supports",
                    -beam.extreme_moments_lb_in()[0],
                    weaker * min(volume, turned),
                ),
            ):
                stress = max(moment, 0.0) / section.s_in3
                keep(
                    Check(name, stress, star * factor, "psi", True, one.name),
                    CalcStep("fb", "M / S",
                             f"{max(moment, 0.0):.0f} lb-in / {section.s_in3:.2f} in3",
                             stress, "psi", f"statics, {one.name}"),
                    CalcStep("Fb'", "Fb with its factors x CD x CL or CV; glulam bent up: less",
                             f"{member.fb_psi:.1f} x {one.duration:g} x {factor:.4g}",
                             star * factor, "psi", member.source),
                )  # fmt: skip
            force = beam.greatest_shear_lb()
            keep(
                Check("shear", 1.5 * force / section.area_in2, member.fv_psi * one.duration, "psi",
                      True, one.name),
                CalcStep("fv", "1.5 V / A", f"1.5 x {force:.0f} / {section.area_in2:.2f}",
                         1.5 * force / section.area_in2, "psi", f"statics, {one.name}"),
            )  # fmt: skip
            passing = LoadSet(0.0, *(getattr(one.factors, kind) for kind in LOAD_KINDS[1:]))
            for name, factors, divisor in (
                ("live deflection", passing, live_divisor or limits["live"]),
                ("total deflection", one.factors, limits["total"]),
            ):
                sags = solved.solve(factors, loaded).deflections_in(ei)
                for sag, length in zip(sags, reach, strict=True):
                    keep(
                        Check(name, sag, length / divisor, "in", True, one.name),
                        CalcStep(name, "greatest deflection of the piece",
                                 f"E I = {member.e_psi:.0f} x {section.i_in4:.1f}, limit "
                                 f"{length:g} / {divisor:g}", sag, "in", f"statics, {one.name}"),
                    )  # fmt: skip
    worst = max((check for check, _ in found.values()), key=lambda check: check.ratio)
    return ContinuousResult(
        member,
        supported,
        tuple(check for check, _ in found.values()),
        worst.name,
        worst.ratio,
        _reactions(tables, solved),
        tuple(step for _, steps in found.values() for step in steps),
    )


def _reach(supported: Supported) -> tuple[float, ...]:
    """The length that each piece's sag is measured against."""
    left, right = (FREE_END_COUNTS * free for free in supported.overhangs_in)
    return (*((left,) if left else ()), *supported.spans_in, *((right,) if right else ()))


def _reactions(tables: Tables, solved: _Solved) -> tuple[Reaction, ...]:
    supports = solved.solve(LoadSet(dead=1.0), solved.arrangements[0]).supports_in
    whole = MemberLoading(solved.supported.length_in, solved.line, solved.points)
    each = [
        solved.solve(one.factors, loaded).reactions_lb
        for one in acting(tables, whole)
        for loaded in solved.arrangements
    ]
    kinds: dict[str, list[float]] = {}
    for kind in LOAD_KINDS:
        alone = LoadSet(**{kind: 1.0})
        placed = [solved.solve(alone, loaded).reactions_lb for loaded in solved.arrangements]
        kinds[kind] = [max(column) for column in zip(*placed, strict=True)]
    return tuple(
        Reaction(
            at, max(row[i] for row in each), min(row[i] for row in each),
            LoadSet(**{kind: kinds[kind][i] for kind in LOAD_KINDS}),
        )
        for i, at in enumerate(supports)
    )  # fmt: skip


def supports_under(
    tables: Tables, result: ContinuousResult, *, height_in: float | None = None,
    soil: str = "untested",
) -> tuple[EndSupport, ...]:  # fmt: skip
    """Studs, posts and footing under each support, for the envelope of its reaction."""
    return tuple(
        end_support(tables, result.member, reaction.most_by_kind, height_in=height_in, soil=soil)
        for reaction in result.reactions
    )


def findings(result: ContinuousResult, metric: bool = False) -> tuple[str, ...]:
    """What a builder has to be told of such a beam, in metric units where asked."""
    sentences = [
        say(
            "The support at {at} is LIFTED by up to {load}: it has to be tied down, with hardware "
            "that an engineer picks.",
            at=format_length(reaction.at_in, metric),
            load=format_quantity(-reaction.least_lb, "lb", metric),
        )
        for reaction in result.reactions
        if reaction.least_lb < 0
    ]
    sentences.append(
        say(
            "It must run through in one piece: a splice over a support makes other beams of it. "
            "Over inner supports and at free ends its bottom is pressed and has to be held against "
            "turning there."
        )
    )
    return tuple(sentences)
