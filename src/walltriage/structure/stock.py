"""Beams that can be had: built-up sawn lumber, laminated veneer lumber, glued laminated timber.

A :class:`Member` carries the design values of the whole beam with every factor that does not
depend on the load or the span.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from walltriage.structure.inputs import find_grade, find_size, find_species, one_of, within
from walltriage.structure.lumber import LumberSection, sawn
from walltriage.structure.tables import MILLION, Tables

KINDS = ("sawn", "lvl", "glulam")


@dataclass(frozen=True, slots=True)
class Member:
    """One beam: its section in inches, values in psi, and own weight in plf.

    ``published_fb_psi`` is the bending value as published; ``factors`` made ``fb_psi`` of it.
    """

    kind: str
    label: str
    plies: int
    section: LumberSection
    fb_psi: float
    fv_psi: float
    fc_perp_psi: float
    e_psi: float
    emin_psi: float
    weight_plf: float
    published_fb_psi: float
    factors: tuple[tuple[str, float], ...]
    source: str
    provenance: str


def _weight(tables: Tables, kind: str, section: LumberSection) -> float:
    return float(tables.engineered["density"][kind]) * section.area_in2 / 144


def sawn_beam(
    tables: Tables,
    size: str,
    species: str,
    grade: str,
    plies: int,
    *,
    two_ply_factor: float | None = None,
    lumped: bool = False,
) -> Member:
    """A beam of ``plies`` pieces side by side.

    Three and more plies earn the repetitive-member factor; two take ``two_ply_factor`` (from
    the rules unless given).  Raises :class:`InputError` for unknown names or plies out of range.
    """
    count = int(within(tables, "plies", plies))
    piece, group = find_size(tables, size), find_species(tables, species)
    name = find_grade(tables, group, grade)
    repetitive = count >= tables.adjustment["repetitive"]["from_members"]
    lumber = sawn(tables, piece, group, name, repetitive=repetitive, lumped=lumped)
    fb, factors = lumber.design.fb_psi, lumber.factors
    if count == 2:
        together = two_ply_factor or tables.adjustment["two_ply"]["factor"]
        fb, factors = fb * together, (*factors, ("two plies", together))
    section = LumberSection(piece.thickness_in * count, piece.depth_in)
    label = f"{count}-{piece.name} {group.key} {name}"
    design = lumber.design
    return Member(
        "sawn", label, count, section, fb, design.fv_psi, design.fc_perp_psi, design.e_psi,
        design.emin_psi, _weight(tables, "sawn", section), lumber.reference.fb_psi, factors,
        group.source, group.provenance,
    )  # fmt: skip


def lvl_beam(tables: Tables, depth_in: float, plies: int, grade: str | None = None) -> Member:
    """Laminated veneer lumber of a generic class, plies of one thickness side by side."""
    block = tables.engineered["lvl_classes"]
    name = one_of("LVL class", grade or tables.choices["beams"]["lvl_class"], block.values)
    row, rule = block[name], tables.engineered["lvl_depth_factor"]
    factor = min((rule["reference_in"] / depth_in) ** rule["exponent"], rule["cap"])
    count = int(within(tables, "plies", plies))
    section = LumberSection(tables.engineered["lvl_sizes"]["ply"] * count, depth_in)
    label = f"{count}-1.75x{depth_in:g} LVL {name}".replace(
        "1.75", f"{tables.engineered['lvl_sizes']['ply']:g}"
    )
    return Member(
        "lvl", label, count, section, row["Fb"] * factor, row["Fv"], row["Fc_perp"],
        row["E"] * MILLION, row["Emin"] * MILLION, _weight(tables, "lvl", section), row["Fb"],
        (("depth", factor),), block.source, block.provenance,
    )  # fmt: skip


def glulam_beam(tables: Tables, width_in: float, depth_in: float) -> Member:
    """Glued laminated timber of the generic class; its volume factor depends on the span."""
    block = tables.engineered["glulam_classes"]
    name = tables.choices["beams"]["glulam_class"]
    row, section = block[name], LumberSection(width_in, depth_in)
    label = f"{width_in:g}x{depth_in:g} glulam {name}"
    return Member(
        "glulam", label, 1, section, row["Fb"], row["Fv"], row["Fc_perp"], row["E"] * MILLION,
        row["Emin"] * MILLION, _weight(tables, "glulam", section), row["Fb"], (), block.source,
        block.provenance,
    )  # fmt: skip


def stock(
    tables: Tables,
    kinds: tuple[str, ...] = KINDS,
    species: str | None = None,
    grade: str | None = None,
) -> Iterator[Member]:
    """Every beam of the listed kinds; ``species`` and ``grade`` of the sawn ones if not usual."""
    choice = tables.choices["beams"]
    plies = range(1, int(choice["most_plies"]) + 1)
    for kind in kinds:
        one_of("kind of beam", kind, KINDS)
    if "sawn" in kinds:
        for size in choice["sawn_sizes"]:
            for count in plies:
                yield sawn_beam(tables, size, species or choice["sawn_species"],
                                grade or choice["sawn_grade"], count)  # fmt: skip
    if "lvl" in kinds:
        for depth in tables.engineered["lvl_sizes"]["depths"]:
            for count in plies:
                yield lvl_beam(tables, depth, count)
    if "glulam" in kinds:
        sizes = tables.engineered["glulam_sizes"]
        for depth in sizes["depths"]:
            for width in sizes["widths"]:
                yield glulam_beam(tables, width, depth)


def volume_factor(tables: Tables, member: Member, span_in: float) -> float:
    """Glulam volume factor at this span, at most 1; 1 for everything else."""
    if member.kind != "glulam":
        return 1.0
    rule = tables.engineered["glulam_volume_factor"]
    product = (
        (rule["length_ft"] * 12 / span_in)
        * (rule["depth_in"] / member.section.depth_in)
        * (rule["width_in"] / member.section.width_in)
    )
    return float(min(1.0, product ** (1 / rule["x"])))


def hogging_factor(tables: Tables, member: Member) -> float:
    """Share of the bending value where a beam bends up: glulam is weaker in its top face."""
    return float(tables.engineered["glulam_hogging"]["share"]) if member.kind == "glulam" else 1.0


def stability_factor(
    tables: Tables, member: Member, unbraced_in: float, fb_star_psi: float
) -> float:
    """Beam stability factor CL (clause 3.3.3) for a top held only ``unbraced_in`` apart.

    0 when the slenderness limit is passed: such a beam may not be used.
    """
    rule, section = tables.adjustment["beam_stability"], member.section
    if unbraced_in == 0 or section.depth_in <= section.width_in:
        return 1.0
    if unbraced_in / section.depth_in < rule["short_ratio"]:
        length = rule["short_le"] * unbraced_in
    else:
        length = rule["long_le"] * unbraced_in + rule["long_le_depths"] * section.depth_in
    slenderness = (length * section.depth_in / section.width_in**2) ** 0.5
    if slenderness > rule["slenderness_limit"]:
        return 0.0
    ratio = rule["KbE"] * member.emin_psi / slenderness**2 / fb_star_psi
    half = (1 + ratio) / rule["curve"]
    return float(half - (half**2 - ratio / rule["curve_c"]) ** 0.5)
