"""Headers asked as the code's tables ask: by the width of the house, its snow and its floors.

The tables print spans, not loads.  Their loads were recovered from the cells
(``rules/loads.yaml``, ``header_tables``), and the spans are worked out anew; they agree with the
published ones within 2 in.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from walltriage.structure.inputs import one_of, within
from walltriage.structure.king_studs import outside_count
from walltriage.structure.largest_opening import largest_opening
from walltriage.structure.loads import LoadSet, governing_total
from walltriage.structure.steps import NOTE
from walltriage.structure.stock import sawn_beam
from walltriage.structure.tables import Tables

CASES: Mapping[str, str] = MappingProxyType(
    {
        "interior_one_floor": "interior wall under one floor",
        "interior_two_floors": "interior wall under two floors",
        "roof": "outside wall under roof and ceiling",
        "roof_and_center_bearing_floor": "outside wall under roof and a floor that bears midway",
        "roof_and_two_clear_span_floors": "outside wall under roof and two floors without one",
    }
)
SPECIES = ("DFL", "HF", "SP", "SPF")  # the tables take the weakest of these, No.2
STUDS_BY = "HF"  # and count studs by the softest of them
SIZES = ("2x4", "2x6", "2x8", "2x10", "2x12")
MOST_PLIES = 4


@dataclass(frozen=True, slots=True)
class HeaderSpan:
    """The widest opening in inches for one header, and the studs under each of its ends.

    ``full_height`` are those beside each end in an outside wall (Table R602.7.5, from memory);
    None in inside walls and beyond that table.
    """

    size: str
    plies: int
    span_in: float
    studs: int
    full_height: int | None
    note: str = NOTE

    @property
    def label(self) -> str:
        return f"{self.plies}-{self.size}"


def header_load(
    tables: Tables, case: str, house_width_in: float, ground_snow_psf: float
) -> LoadSet:
    """Line load in plf that the tables put on a header of this case.

    Raises :class:`InputError` for an unknown case and for a width or snow out of range.
    """
    one_of("header case", case, CASES)
    half = within(tables, "house_width_in", house_width_in, name="house width") / 24
    ground = within(tables, "ground_snow_psf", ground_snow_psf, name="ground snow load")
    rule: Mapping[str, float] = tables.loads["header_tables"].values
    dead, live = rule["floor_dead_psf"] * half, rule["floor_live_psf"] * half
    wall, roof_ft = rule["wall_plf"], half + rule["overhang_ft"]
    snow = rule["snow_share"] * ground * roof_ft
    roof = rule["roof_dead_psf"] * roof_ft
    return {
        "interior_one_floor": LoadSet(dead=dead, live=live),
        "interior_two_floors": LoadSet(dead=2 * dead + wall, live=2 * live),
        "roof": LoadSet(dead=roof, snow=snow),
        "roof_and_center_bearing_floor": LoadSet(
            dead=roof + dead / 2 + wall, live=live / 2, snow=snow
        ),
        "roof_and_two_clear_span_floors": LoadSet(
            dead=rule["roof_dead_clear_psf"] * roof_ft + 2 * dead + 2 * wall, live=2 * live,
            snow=snow,
        ),
    }[case]  # fmt: skip


def header_span(
    tables: Tables, case: str, house_width_in: float, ground_snow_psf: float, size: str, plies: int
) -> HeaderSpan:
    """The widest opening for one header under the tables' own assumptions."""
    loads = header_load(tables, case, house_width_in, ground_snow_psf)
    factor = tables.adjustment["two_ply"]["in_header_tables"]
    span = min(
        largest_opening(
            tables,
            sawn_beam(tables, size, species, "No.2", plies, two_ply_factor=factor),
            loads,
            own_weight=case == "roof",
            clear_span=True,
        )
        for species in SPECIES
    )
    soft = sawn_beam(tables, size, STUDS_BY, "No.2", plies)
    total, _ = governing_total(tables, loads)
    each = soft.fc_perp_psi * soft.section.width_in * tables.sizes["2x4"].thickness_in
    studs = max(1, math.ceil(total * span / 24 / each - 1e-9))
    outside = outside_count(tables, span) if case.startswith("roof") else None
    return HeaderSpan(size, plies, span, studs, outside)


def header_spans(
    tables: Tables, case: str, house_width_in: float, ground_snow_psf: float
) -> tuple[HeaderSpan, ...]:
    """Every header of the tables' sizes, one ply to four."""
    return tuple(
        header_span(tables, case, house_width_in, ground_snow_psf, size, plies)
        for plies in range(1, MOST_PLIES + 1)
        for size in SIZES
    )
