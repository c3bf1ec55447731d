"""What holds a beam's ends up: studs, posts, bearing and the footing below."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from walltriage.language import say
from walltriage.structure.columns import column_capacity_lb
from walltriage.structure.inputs import one_of, within
from walltriage.structure.king_studs import KingStuds, king_studs
from walltriage.structure.loads import Combination, LoadSet, combinations
from walltriage.structure.lumber import sawn
from walltriage.structure.steps import NOTE, CalcStep
from walltriage.structure.stock import Member
from walltriage.structure.tables import Tables


@dataclass(frozen=True, slots=True)
class PostChoice:
    """A post that can take an end reaction: its name, capacity in pounds and utilisation."""

    label: str
    capacity_lb: float
    utilisation: float


@dataclass(frozen=True, slots=True)
class EndSupport:
    """Support of one end: studs under it, posts that would do, and the footing it asks for.

    ``studs`` is the largest of what bearing under the beam, the studs as columns and the bottom
    plate ask for; 0 when more than the most allowed are needed.  ``footing_sqft`` is the
    combined load over the soil pressure, its own weight left out.
    """

    reaction: LoadSet
    reaction_lb: float
    combination: str
    stud: str
    studs: int
    for_bearing: int
    for_column: int
    for_plate: int
    posts: tuple[PostChoice, ...]
    footing_sqft: float
    footing_side_in: float
    soil_psf: float
    findings: tuple[str, ...]
    steps: tuple[CalcStep, ...]
    kings: KingStuds | None = None
    """Full-height studs beside the opening; None where there is no wall beside it."""
    note: str = NOTE


def stud_for(tables: Tables, member: Member) -> str:
    """The shallowest listed stud that is as deep as the beam is wide, else the deepest."""
    sizes: list[str] = tables.choices["jack_studs"]["sizes"]
    for name in sizes:
        if tables.sizes[name].depth_in >= member.section.width_in:
            return name
    return sizes[-1]


def studs_for_bearing(tables: Tables, member: Member, reaction_lb: float) -> int:
    """Studs side by side under the beam's end so that it is not crushed across the grain."""
    stud = tables.sizes[stud_for(tables, member)]
    contact = min(member.section.width_in, stud.depth_in)
    each = member.fc_perp_psi * contact * stud.thickness_in
    return max(1, math.ceil(reaction_lb / each - 1e-9))


def end_support(
    tables: Tables,
    member: Member,
    reaction: LoadSet,
    *,
    height_in: float | None = None,
    soil: str = "untested",
    beside: tuple[float, LoadSet] | None = None,
) -> EndSupport:
    """Studs, posts and footing for one end of a beam.

    ``height_in`` is the height of the studs; ``soil`` a key of the soil rules; ``beside`` the
    opening in inches and the load in plf of the wall it is cut into, for the full-height studs.
    Raises :class:`InputError` for an unknown soil or a height out of range.
    """
    choice = tables.choices["jack_studs"]
    height = within(tables, "height_in", height_in if height_in is not None
                    else choice["wall_height_in"])  # fmt: skip
    pressure = tables.loads["soil"][one_of("soil", soil, tables.loads["soil"].values)]
    cases = [(one.total(reaction), one) for one in combinations(tables)]
    most, governing = max(cases, key=lambda pair: pair[0])
    name = stud_for(tables, member)
    stud_size = tables.sizes[name]
    stud = sawn(tables, stud_size, tables.species[choice["species"]], choice["grade"])
    bearing = studs_for_bearing(tables, member, most)
    each = {one.name: column_capacity_lb(tables, stud, height, one.duration, sheathed=True)
            for _, one in cases}  # fmt: skip
    column = max(_count(load, each[one.name]) for load, one in cases)
    plate = tables.species[choice["plate_species"]].grades
    plate_perp = next(iter(plate.values()))[choice["plate_grade"]].fc_perp_psi
    area = stud_size.thickness_in * stud_size.depth_in
    on_plate = _count(most, plate_perp * area)
    needed = max(bearing, column, on_plate)
    posts = tuple(_posts(tables, cases, height, member, plate_perp))
    findings = []
    if needed > choice["most"]:
        needed = 0
        findings.append(
            say(
                "more than {most:.0f} studs would be needed under this end: a post is required",
                most=choice["most"],
            )
        )
    if not posts:
        findings.append(say("no listed wood post takes this reaction: a steel or larger post"))
    if member.section.width_in > stud_size.depth_in:
        findings.append(
            say("the beam is wider than the studs below it: it will show or need furring")
        )
    kings = None if beside is None else king_studs(tables, name, *beside, height)
    if kings is not None and not kings.count:
        findings.append(say("no number of full-height studs stands beside this opening: a post"))
    square = most / pressure
    steps = (
        CalcStep("R", governing.name, "", most, "lb", "asce7_2_4"),
        CalcStep("n_bearing", "R / (Fc_perp x contact width x stud thickness), rounded up",
                 f"{most:.0f} / ({member.fc_perp_psi:g} x "
                 f"{min(member.section.width_in, stud_size.depth_in):g} x "
                 f"{stud_size.thickness_in:g})", bearing, "studs", member.source),
        CalcStep("n_column", "R / (Fc* Cp A), rounded up, at its own load duration",
                 f"{name} {choice['species']} {choice['grade']}, {height:g} in high", column,
                 "studs", "nds"),
        CalcStep("n_plate", "R / (Fc_perp of the plate x stud area), rounded up",
                 f"{most:.0f} / ({plate_perp:g} x {area:g})", on_plate, "studs", "nds"),
        CalcStep("A_footing", "R / soil pressure", f"{most:.0f} / {pressure:g}", square, "sq ft",
                 "irc_r401_4_1"),
    )  # fmt: skip
    return EndSupport(
        reaction, most, governing.name, name, needed, bearing, column, on_plate, posts, square,
        12 * math.sqrt(max(square, 0.0)), pressure, tuple(findings),
        (*steps, *(() if kings is None else kings.steps)), kings,
    )  # fmt: skip


def _count(load: float, each: float) -> int:
    return max(1, math.ceil(load / each - 1e-9)) if each > 0 else 10**6


def _posts(
    tables: Tables,
    cases: list[tuple[float, Combination]],
    height: float,
    member: Member,
    plate_perp_psi: float,
) -> Iterator[PostChoice]:
    """The listed posts that stand, that do not crush the beam above nor the plate below."""
    choice = tables.choices["posts"]
    group = tables.species[choice["species"]]
    for name in choice["sizes"]:
        post = sawn(tables, tables.sizes[name], group, choice["grade"])
        size = post.size
        seat = min(member.section.width_in, size.thickness_in) * size.depth_in
        crushed = min(member.fc_perp_psi * seat, plate_perp_psi * post.section.area_in2)
        worst = PostChoice(post.label, crushed, 0.0)
        for load, one in cases:
            can = column_capacity_lb(tables, post, height, one.duration, sheathed=False)
            can = min(can, crushed)  # crushing across the grain has no duration factor
            ratio = load / can if can > 0 else math.inf
            if ratio > worst.utilisation:
                worst = PostChoice(post.label, can, ratio)
        if worst.utilisation <= 1:
            yield worst
