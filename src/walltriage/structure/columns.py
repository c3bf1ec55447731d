"""Columns of sawn lumber: stability, single pieces, posts of one timber or of nailed plies."""

from __future__ import annotations

import math

from walltriage.structure.lumber import Lumber, LumberSection, sawn
from walltriage.structure.tables import MILLION, Tables

COMMON = ("DFL", "HF", "SP", "SPF")
"""The four common species groups; where nobody knows, the weakest counts."""


def column_factor(tables: Tables, emin_psi: float, fc_star_psi: float, slenderness: float) -> float:
    """Column stability factor Cp (clause 3.7.1) of sawn lumber; 0 beyond the slenderness limit."""
    rule = tables.adjustment["column_stability"]
    if slenderness > rule["slenderness_limit"]:
        return 0.0
    ratio = rule["KcE"] * emin_psi / slenderness**2 / fc_star_psi
    c = rule["c_sawn"]
    half = (1 + ratio) / (2 * c)
    return float(half - math.sqrt(half**2 - ratio / c))


def column_capacity_lb(
    tables: Tables, lumber: Lumber, height_in: float, duration: float, *, sheathed: bool
) -> float:
    """Axial capacity in pounds; ``sheathed`` = held by the wall against its thin side."""
    fc_star = lumber.design.fc_psi * duration
    section = lumber.section
    thin = max(section.width_in, section.depth_in) if sheathed else min(
        section.width_in, section.depth_in
    )  # fmt: skip
    factor = column_factor(tables, lumber.design.emin_psi, fc_star, height_in / thin)
    return fc_star * factor * section.area_in2


def measured_post_lb(tables: Tables, size: str, height_in: float) -> float:
    """Capacity in pounds of a post of ``4x4``, ``6x6`` or nailed plies, ``3-2x6``, No.2.

    The weakest of four common species counts, at a load duration of 1.0, held at both ends only.
    """
    plies, _, piece = size.rpartition("-")
    if not plies and size not in tables.sizes:
        return min(_timber_lb(tables, size, name, height_in) for name in COMMON)
    found = [sawn(tables, tables.sizes[piece], tables.species[name], "No.2") for name in COMMON]
    if plies:
        return min(_built_up_lb(tables, one, int(plies), height_in) for one in found)
    return min(column_capacity_lb(tables, one, height_in, 1.0, sheathed=False) for one in found)


def _timber_lb(tables: Tables, size: str, species: str, height_in: float) -> float:
    """A timber of 5 in or more each way; dressed half an inch under its nominal size."""
    fc, _, emin = tables.timbers[species]
    thin, thick = sorted(float(side) - 0.5 for side in size.split("x"))
    factor = column_factor(tables, emin * MILLION, fc, height_in / thin)
    return float(fc * factor * thin * thick)


def _built_up_lb(tables: Tables, ply: Lumber, plies: int, height_in: float) -> float:
    """Plies nailed face to face (clause 15.3): across them the nails give, along them not."""
    section = LumberSection(ply.section.width_in * plies, ply.section.depth_in)
    fc, emin = ply.design.fc_psi, ply.design.emin_psi
    along = column_factor(tables, emin, fc, height_in / section.depth_in)
    across = column_factor(tables, emin, fc, height_in / section.width_in)
    nailed = tables.adjustment["built_up_columns"]["nailed"]
    return float(fc * min(along, nailed * across) * section.area_in2)
