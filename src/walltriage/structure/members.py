"""Beams for an opening: which of the listed ones carry the load, and how hard each works."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from walltriage.language import say
from walltriage.structure.inputs import within
from walltriage.structure.load_inputs import check_loads
from walltriage.structure.loads import LoadSet, governing_total
from walltriage.structure.member_checks import MemberLoading, check_member
from walltriage.structure.steps import NOTE, CalcStep, Check
from walltriage.structure.stock import KINDS, Member, stock
from walltriage.structure.strips import PointLoad
from walltriage.structure.supports import EndSupport, end_support, stud_for, studs_for_bearing
from walltriage.structure.tables import Tables
from walltriage.units import format_length, format_quantity


@dataclass(frozen=True, slots=True)
class MemberResult:
    """One beam over the opening: every check, and what governs.

    ``studs`` are those under the left and right end that bearing asks for; the design span is
    the opening plus half of that bearing at each end.  As the studs are chosen to suit, bearing
    counts toward ``utilisation`` only where the most studs allowed are in place.
    """

    member: Member
    opening_in: float
    span_in: float
    checks: tuple[Check, ...]
    governs: str
    combination: str
    utilisation: float
    studs: tuple[int, int]
    reactions: tuple[LoadSet, LoadSet]
    line: LoadSet
    """Load in plf of the wall, the beam's own weight left out."""
    steps: tuple[CalcStep, ...]
    note: str = NOTE

    @property
    def works(self) -> bool:
        return self.utilisation <= 1

    @property
    def repetitive_factor(self) -> float:
        """The factor on bending that three or more plies side by side earn; 1 for others."""
        return dict(self.member.factors).get("Cr", 1.0)


@dataclass(frozen=True, slots=True)
class MemberChoice:
    """The listed beams that work, by depth, then plies, then width; a sequence of results.

    ``nearest`` is the beam that comes nearest when none works; ``sentence`` says how it stands.
    """

    results: tuple[MemberResult, ...]
    nearest: MemberResult | None
    tried: int
    sentence: str
    notes: tuple[str, ...]
    note: str = NOTE

    def __iter__(self) -> Iterator[MemberResult]:
        return iter(self.results)

    def __len__(self) -> int:
        return len(self.results)

    def __getitem__(self, index: int) -> MemberResult:
        return self.results[index]


def check_opening(
    tables: Tables,
    member: Member,
    opening_in: float,
    loads: LoadSet,
    points: tuple[PointLoad, ...] = (),
    *,
    live_divisor: float | None = None,
    total_divisor: float | None = None,
    unbraced: bool = False,
    own_weight: bool = True,
    clear_span: bool = False,
) -> MemberResult:
    """One beam over a clear opening under line loads (plf) and point loads (lb).

    ``unbraced`` = nothing holds the top between the ends; ``clear_span`` takes the opening
    itself as the design span, as header tables do.
    """
    own = LoadSet(dead=member.weight_plf) if own_weight else LoadSet()
    most = int(tables.choices["jack_studs"]["most"])
    stud = tables.sizes[stud_for(tables, member)]
    studs = (1, 1)
    while True:  # more studs make a longer design span, which may ask for more studs: few rounds
        seats = (studs[0] * stud.thickness_in, studs[1] * stud.thickness_in)
        shift = 0.0 if clear_span else seats[0] / 2
        span = opening_in if clear_span else opening_in + sum(seats) / 2
        moved = tuple(replace(point, at_in=point.at_in + shift) for point in points)
        loading = MemberLoading(span, loads + own, moved)
        reactions = loading.reactions()
        left, right = (
            min(most, max(count, studs_for_bearing(tables, member, _most(tables, end))))
            for count, end in zip(studs, reactions, strict=True)
        )
        wanted = (left, right)
        if wanted == studs:
            break
        studs = wanted
    checks, steps = check_member(
        tables,
        member,
        loading,
        seats_in=seats,
        seats_decide=(studs[0] == most, studs[1] == most),
        contact_in=min(member.section.width_in, stud.depth_in),
        live_divisor=live_divisor,
        total_divisor=total_divisor,
        unbraced_in=span if unbraced else 0.0,
    )
    bare = "the opening itself" if clear_span else "opening + half of the bearing at each end"
    put_in = f"{opening_in:g}" if clear_span else f"{opening_in:g} + {sum(seats) / 2:g}"
    line = ", ".join(f"{kind} {value:.1f}" for kind, value in loading.line.kinds() if value)
    first = (
        CalcStep("L", bare, put_in, span, "in", "nds"),
        CalcStep("w", "all kinds added, before any combination", line,
                 sum(value for _, value in loading.line.kinds()), "plf", ""),
    )  # fmt: skip
    worst = max((check for check in checks if check.decides), key=lambda check: check.ratio)
    return MemberResult(
        member, opening_in, span, checks, worst.name, worst.combination, worst.ratio, studs,
        reactions, loads, (*first, *steps),
    )  # fmt: skip


def _most(tables: Tables, loads: LoadSet) -> float:
    return governing_total(tables, loads)[0]


def choose_members(
    tables: Tables,
    opening_in: float,
    loads: LoadSet,
    points: tuple[PointLoad, ...] = (),
    *,
    kinds: tuple[str, ...] = KINDS,
    species: str | None = None,
    grade: str | None = None,
    live_divisor: float | None = None,
    total_divisor: float | None = None,
    unbraced: bool = False,
    flush: bool = False,
    joist_spacing_in: float = 16.0,
    first: int | None = None,
    metric: bool = False,
) -> MemberChoice:
    """The listed beams that carry ``loads`` (plf) and ``points`` (lb) over a clear opening.

    The beam's own weight is added.  ``flush`` = the beam lies within the floor or ceiling, so
    every joist hangs from it, which a note tells, in metric units if ``metric``.  ``first`` = no
    more than so many of each kind, the shallowest, are looked for; ``tried`` then counts only what
    was checked.  Raises :class:`InputError` for an opening or load out of range, a point load off
    the opening, or no load at all.
    """
    opening = within(tables, "opening_in", opening_in)
    check_loads(tables, opening, loads, points, "opening")
    for divisor in (live_divisor, total_divisor):
        if divisor is not None:
            within(tables, "deflection", divisor)
    results: list[MemberResult] = []
    for kind in kinds:
        found = 0
        for member in sorted(stock(tables, (kind,), species, grade), key=_shallow_first):
            result = check_opening(
                tables, member, opening, loads, points,
                live_divisor=live_divisor, total_divisor=total_divisor, unbraced=unbraced,
            )  # fmt: skip
            results.append(result)
            found += result.works
            if first is not None and found >= first:
                break
    order = sorted(
        (result for result in results if result.works),
        key=lambda result: (*_shallow_first(result.member), result.member.kind),
    )
    nearest = None if order else min(results, key=lambda result: result.utilisation)
    return MemberChoice(
        tuple(order), nearest, len(results), _sentence(order, nearest, len(results)),
        tuple(_notes(tables, loads, flush, unbraced, joist_spacing_in, metric)),
    )  # fmt: skip


def _shallow_first(member: Member) -> tuple[float, int, float]:
    return member.section.depth_in, member.plies, member.section.width_in


def _sentence(order: list[MemberResult], nearest: MemberResult | None, tried: int) -> str:
    if nearest is not None:
        return say(
            "Nothing listed works: of {tried} beams tried the nearest, {label}, is at "
            "{utilisation:.0%} in {governs}. This needs steel, a post within the "
            "opening, a smaller opening or an engineered design.",
            tried=tried,
            label=nearest.member.label,
            utilisation=nearest.utilisation,
            governs=nearest.governs,
        )
    return say("{order} of {tried} beams tried pass these checks.", order=len(order), tried=tried)


def _notes(
    tables: Tables, loads: LoadSet, flush: bool, unbraced: bool, joist_spacing_in: float,
    metric: bool,
) -> Iterator[str]:  # fmt: skip
    total, _ = governing_total(tables, loads)
    if flush:
        apart = format_length(joist_spacing_in, metric)
        each = total * within(tables, "spacing_in", joist_spacing_in, zero=False) / 12
        yield say(
            "Flush beam: the joists are cut and hung from it, each in a hanger rated for "
            "its own reaction; at {apart} the two sides together bring about {each} a "
            "joist line. Ceiling joists that tie the roof must stay tied through the "
            "beam.",
            apart=apart,
            each=format_quantity(each, "lb", metric),
        )
    else:
        yield say(
            "Dropped beam: the joists bear on top of it, so it hangs below the ceiling and the "
            "headroom under it has to be checked."
        )
    if unbraced:
        yield say("The top of the beam is taken as held against turning at its ends only.")
    else:
        yield say("The top of the beam is taken as held by the joists along its length.")
    yield say(
        "Laminated beams are generic classes: the maker's own values, fastening of plies and "
        "bearing rules govern."
    )


def end_supports(
    tables: Tables, result: MemberResult, *, height_in: float | None = None,
    soil: str = "untested",
) -> tuple[EndSupport, EndSupport]:  # fmt: skip
    """Studs, posts and footing for the left and the right end of a chosen beam."""
    beside = (result.opening_in, result.line)
    left, right = (
        end_support(tables, result.member, end, height_in=height_in, soil=soil, beside=beside)
        for end in result.reactions
    )
    return left, right
