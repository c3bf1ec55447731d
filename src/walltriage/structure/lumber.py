"""Sections and adjusted design values of sawn lumber (National Design Specification, ASD)."""

from __future__ import annotations

from dataclasses import dataclass

from walltriage.errors import refuse
from walltriage.structure.tables import Design, Size, Species, Tables

LIGHT_FRAMING = ("Construction", "Standard", "Utility")


@dataclass(frozen=True, slots=True)
class LumberSection:
    """A rectangle: width and depth in inches, strong axis."""

    width_in: float
    depth_in: float

    @property
    def area_in2(self) -> float:
        return self.width_in * self.depth_in

    @property
    def s_in3(self) -> float:
        """Section modulus b d^2 / 6."""
        return self.width_in * self.depth_in**2 / 6

    @property
    def i_in4(self) -> float:
        """Moment of inertia b d^3 / 12."""
        return self.width_in * self.depth_in**3 / 12


@dataclass(frozen=True, slots=True)
class Lumber:
    """A piece of sawn lumber with size, service and use factors applied, load duration not.

    ``factors`` names each factor on Fb, in the order of multiplication.
    """

    size: Size
    species: Species
    grade: str
    reference: Design
    design: Design
    factors: tuple[tuple[str, float], ...]

    @property
    def section(self) -> LumberSection:
        return LumberSection(self.size.thickness_in, self.size.depth_in)

    @property
    def label(self) -> str:
        return f"{self.size.name} {self.species.key} {self.grade}"


def _column(size: Size, depths: tuple[int, ...]) -> int:
    # Narrower pieces share the first column; a depth between columns takes the next deeper one.
    for depth in depths:
        if size.nominal_depth <= depth:
            return depth
    return depths[-1]


def _reference(tables: Tables, size: Size, species: Species, grade: str, lumped: bool) -> Design:
    widths = tuple(species.grades)
    if species.by_width and size.nominal_depth > widths[-1]:
        deepest = f"{species.name} is listed to {widths[-1]} in deep"
        raise refuse("size", f"{size.name} is deeper than the table", deepest)
    design = species.grades[_column(size, widths) if species.by_width else widths[0]][grade]
    if lumped:
        fb = tables.lumped.values.get(species.key, {}).get(grade, design.fb_psi)
        design = Design(fb, design.ft_psi, design.fv_psi, design.fc_perp_psi, design.fc_psi,
                        design.e_psi, design.emin_psi)  # fmt: skip
    return design


def size_factors(
    tables: Tables, size: Size, species: Species, grade: str
) -> tuple[float, float, float]:
    """CF for Fb, Ft and Fc (Supplement Tables 4A and 4B)."""
    adjust = tables.adjustment
    if species.by_width:
        rule = adjust["southern_pine_4_thick"]
        thick = size.nominal_thickness == 4 and size.nominal_depth >= rule["from_nominal_depth"]
        return (rule["factor"] if thick else 1.0), 1.0, 1.0
    if grade in LIGHT_FRAMING:
        deepest = adjust["light_framing"]["deepest_nominal"]
        if size.nominal_depth > deepest:
            text = f"grade {grade} is listed to {deepest:g} in deep only, not {size.name}"
            raise refuse("grade", text, "expected SS, No.1, No.2 or No.3")
        return 1.0, 1.0, 1.0
    table = adjust["size_factor_stud"].values if grade == "Stud" else adjust["size_factor"].values
    column = str(_column(size, tuple(int(depth) for depth in table)))
    fb, ft, fc = table[column]
    if size.nominal_thickness == 4 and grade != "Stud":
        fb = adjust["size_factor_4_thick"][column]
    return fb, ft, fc


def sawn(
    tables: Tables,
    size: Size,
    species: Species,
    grade: str,
    *,
    repetitive: bool = False,
    wet: bool = False,
    incised: bool = False,
    lumped: bool = False,
) -> Lumber:
    """Design values of one piece, every factor applied but that of load duration.

    ``repetitive`` multiplies Fb by Cr; ``wet`` and ``incised`` apply CM and Ci; ``lumped``
    takes Fb as printed in tables before the 2018 residential code.  Raises
    :class:`InputError` for a size or grade that the tables do not cover.
    """
    deepest_stud = max(int(key) for key in tables.adjustment["size_factor_stud"].values)
    used = grade
    if grade == "Stud" and not species.by_width and size.nominal_depth > deepest_stud:
        used = "No.3"  # the table's own note: wider studs use the values of No.3
    base = _reference(tables, size, species, used, lumped)
    cf_b, cf_t, cf_c = size_factors(tables, size, species, used)
    factors = [("CF", cf_b)]
    fb, ft, fc = base.fb_psi * cf_b, base.ft_psi * cf_t, base.fc_psi * cf_c
    fv, perp, e, emin = base.fv_psi, base.fc_perp_psi, base.e_psi, base.emin_psi
    if wet:
        rule = tables.adjustment["wet_service"]
        wet_b = 1.0 if fb <= rule["Fb_limit"] else rule["Fb"]
        factors.append(("CM", wet_b))
        fb, ft, fv, perp = fb * wet_b, ft * rule["Ft"], fv * rule["Fv"], perp * rule["Fc_perp"]
        fc *= 1.0 if fc <= rule["Fc_limit"] else rule["Fc"]
        e, emin = e * rule["E"], emin * rule["E"]
    if incised:
        rule = tables.adjustment["incising"]
        factors.append(("Ci", rule["stress"]))
        fb, ft, fc, fv = (value * rule["stress"] for value in (fb, ft, fc, fv))
        perp, e, emin = perp * rule["Fc_perp"], e * rule["E"], emin * rule["E"]
    if repetitive:
        cr = tables.adjustment["repetitive"]["factor"]
        factors.append(("Cr", cr))
        fb *= cr
    return Lumber(size, species, grade, base, Design(fb, ft, fv, perp, fc, e, emin), tuple(factors))
