"""Full-height studs beside an opening: what stands of the wall there, under load and pressure.

In an inside wall they are checked as columns that bend: half of a stud bay of the wall's own load
comes down on them, and the sideways pressure on inside walls over half of the opening, as though
a door filled it.  In an outside wall wind decides, and the code counts them by the opening's width.
"""

from __future__ import annotations

from dataclasses import dataclass

from walltriage.structure.columns import column_factor
from walltriage.structure.loads import LoadSet, combinations
from walltriage.structure.lumber import Lumber, sawn
from walltriage.structure.steps import CalcStep
from walltriage.structure.tables import Tables


@dataclass(frozen=True, slots=True)
class KingStuds:
    """``count`` full-height studs at one end of an opening; 0 where no number of them does.

    ``ratio`` is how hard they work together; ``outside`` is what the code's table asks for
    in an outside wall; None beyond its widths.
    """

    count: int
    stud: str
    ratio: float
    outside: int | None
    pressure_psf: float
    steps: tuple[CalcStep, ...]


def king_studs(
    tables: Tables, size: str, opening_in: float, line: LoadSet, height_in: float
) -> KingStuds:
    """Full-height studs of ``size`` at each end of an opening in a wall that carries ``line``.

    ``line`` is the wall's load in plf, ``height_in`` the height of its studs.
    """
    choice = tables.choices["jack_studs"]
    spacing = tables.choices["king_studs"]["spacing_in"]
    stud = sawn(tables, tables.sizes[size], tables.species[choice["species"]], choice["grade"])
    pressure = tables.adjustment["interior_pressure"]["psf"]
    sideways_plf = pressure * (opening_in + spacing) / 24
    moment = sideways_plf / 12 * height_in**2 / 8
    # the pressure passes, so the duration is never that of the dead load alone
    cases = [
        (one.total(line) * spacing / 24, max(1.0, one.duration)) for one in combinations(tables)
    ]
    most = int(tables.choices["king_studs"]["most"])
    count, ratio = 0, 0.0
    for count in range(1, most + 1):
        ratio = max(
            combined_ratio(tables, stud, down / count, moment / count, height_in, duration)
            for down, duration in cases
        )
        if ratio <= 1:
            break
    down = max(load for load, _ in cases)
    steps = (
        CalcStep("P_king", "w x half of a stud bay", f"{spacing:g} in on center", down, "lb",
                 "statics"),
        CalcStep("M_king", "pressure x (opening + bay) / 2 x h^2 / 8",
                 f"{sideways_plf:.1f} plf over {height_in:g} in", moment, "lb-in", "ibc_1607_15"),
        CalcStep("king", "(fc / Fc')^2 + fb / (Fb' (1 - fc / FcE))",
                 f"{count} of {size} {choice['species']} {choice['grade']}", ratio, "", "nds"),
    )  # fmt: skip
    return KingStuds(
        count if ratio <= 1 else 0,
        size,
        ratio,
        outside_count(tables, opening_in),
        pressure,
        steps,
    )


def combined_ratio(
    tables: Tables, stud: Lumber, axial_lb: float, moment_lb_in: float, height_in: float,
    duration: float,
) -> float:  # fmt: skip
    """Axial load and bending in the wall's thickness together (clause 3.9.2); infinite beyond it.

    The sheathing holds the stud the other way.
    """
    rule, section = tables.adjustment["column_stability"], stud.section
    slender = height_in / section.depth_in
    fc_star = stud.design.fc_psi * duration
    factor = column_factor(tables, stud.design.emin_psi, fc_star, slender)
    fc, fb = axial_lb / section.area_in2, moment_lb_in / section.s_in3
    euler = rule["KcE"] * stud.design.emin_psi / slender**2
    if not factor or fc >= euler:
        return float("inf")
    bending = fb / (stud.design.fb_psi * duration * (1 - fc / euler))
    return float((fc / (fc_star * factor)) ** 2 + bending)


def outside_count(tables: Tables, opening_in: float) -> int | None:
    """Full-height studs at each end of a header in an outside wall, by the code's table.

    Between its widths the next wider row holds.  None beyond its widest.
    """
    rule = tables.choices["full_height_studs"]
    for up_to_ft, count in sorted((float(width), row) for width, row in rule.values.items()):
        if opening_in <= 12 * up_to_ft:
            return int(count)
    return None
