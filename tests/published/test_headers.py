"""Published header spans and jack studs, recomputed with the tables' own assumptions.

The tables do not print their loads.  Those below were recovered from the cells:

* inside walls: 10 psf dead and 40 psf live over half the house width for each floor, and
  121 plf of wall for the second;
* outside walls since 2018: roof and ceiling 20 psf dead over half the width and a 2 ft
  overhang, snow 0.77 of the ground snow load, the header's own weight, and for a
  center-bearing floor a quarter of the width at 10 and 40 psf with 121 plf of wall;
* 2009 and 2012: snow 0.7 of the ground snow load, two plies as repetitive members, no
  southern pine row shorter than the others; with floors 15 psf of roof, and for the
  center-bearing floor 80 plf of wall with the snow taken in full beside 0.75 of the live load.
"""

import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from tests.conftest import read_yaml
from walltriage.structure.header_tables import header_span
from walltriage.structure.largest_opening import largest_opening
from walltriage.structure.loads import LoadSet, governing_total
from walltriage.structure.stock import Member, sawn_beam
from walltriage.structure.supports import studs_for_bearing
from walltriage.structure.tables import Tables

DATA = Path(__file__).parent / "data" / "headers.yaml"
PUBLISHED = read_yaml(DATA)
OVERHANG_FT, WALL_PLF, OLD_WALL_PLF = 2.0, 121.0, 80.0


def inches(printed: str) -> int:
    feet, rest = printed.split("-")
    return int(feet) * 12 + int(rest)


def recovered_loads(table: dict[str, Any], width_ft: float) -> LoadSet:
    half, case = width_ft / 2, table["case"]
    if case == "interior_one_floor":
        return LoadSet(dead=10 * half, live=40 * half)
    if case == "interior_two_floors":
        return LoadSet(dead=20 * half + WALL_PLF, live=80 * half)
    older = table.get("older", False)
    roof_ft = half + OVERHANG_FT
    snow = (0.7 if older else 0.77) * table["ground_snow_psf"] * roof_ft
    if case == "roof":
        return LoadSet(dead=20 * roof_ft, snow=snow)
    if case == "roof_and_center_bearing_floor":
        if older:  # D + 0.75 L + S
            return LoadSet(
                dead=15 * roof_ft + 10 * half / 2 + OLD_WALL_PLF, snow=snow + 0.75 * 40 * half / 2
            )
        return LoadSet(dead=20 * roof_ft + 10 * half / 2 + WALL_PLF, live=40 * half / 2, snow=snow)
    assert case == "roof_and_two_clear_span_floors"
    return LoadSet(dead=15 * roof_ft + 20 * half + 2 * WALL_PLF, live=2 * 40 * half, snow=snow)


def headers(tables: Tables, table: dict[str, Any], size: str) -> list[Member]:
    plies, piece = size.split("-")
    older = table.get("older", False)
    found = [
        sawn_beam(tables, piece, species, "No.2", int(plies),
                  two_ply_factor=1.15 if older else 1.10, lumped=older)
        for species in (("DFL", "HF", "SPF") if older else ("DFL", "HF", "SP", "SPF"))
    ]  # fmt: skip
    # The older table was not limited by shear: its shortest cells, 2-2x4 under two floors, ask
    # for about 150 psi, more than spruce-pine-fir has now.
    return [replace(member, fv_psi=2 * member.fv_psi) for member in found] if older else found


def cells(table: dict[str, Any]) -> list[tuple[str, str, str, int | None]]:
    return [
        (size, width, cell[0], cell[1] if len(cell) > 1 else None)
        for size, row in table["cells"].items()
        for width, cell in row.items()
    ]


# The other five cells of this reprinted row, and the other two rows of its column, agree within
# 1 in; this one is 3 in short of them.  The same row holds a certain misprint (left out of the
# data), so it is taken as another.
DIFFERS = {("older_roof_snow30_seen", "2-2x4", "20", "3-6"): 3}


@pytest.mark.parametrize("name", PUBLISHED)
def test_spans_within_two_inches(tables: Tables, name: str) -> None:
    table = PUBLISHED[name]
    own = table["case"] == "roof" and not table.get("older", False)
    off = {}
    for size, width, printed, _ in cells(table):
        loads = recovered_loads(table, float(width))
        span = min(
            largest_opening(tables, member, loads, own_weight=own, clear_span=True)
            for member in headers(tables, table, size)
        )
        off[size, width, printed] = round(span) - inches(printed)
    far = {(name, *cell): inch for cell, inch in off.items() if abs(inch) > 2}
    assert far == {cell: inch for cell, inch in DIFFERS.items() if cell[0] == name}
    if table["case"].startswith("interior"):  # nothing recovered but the wall: nearly exact
        assert sum(inch == 0 for inch in off.values()) / len(off) >= 0.95


# Cells that print one stud more than their own span and load ask for by bearing on hem-fir
# (405 psi): there a single stud is loaded to 96 to 100 %, and the table's own loads, which come
# out up to 5 % above the recovered ones in its narrowest houses, pass it.
ONE_MORE = {
    ("exterior_roof_snow30_memory", "1-2x8", "12"),
    ("exterior_roof_floor_snow30_memory", "4-2x10", "24"),
    ("exterior_roof_snow50_seen", "2-2x10", "12"),
    ("exterior_roof_snow50_seen", "3-2x12", "12"),
    ("exterior_roof_floor_snow50_seen", "2-2x8", "12"),
}


@pytest.mark.parametrize("name", [n for n, t in PUBLISHED.items() if any(c[3] for c in cells(t))])
def test_jack_studs(tables: Tables, name: str) -> None:
    table = PUBLISHED[name]
    for size, width, printed, studs in cells(table):
        if studs is None:
            continue
        plies, piece = size.split("-")
        member = sawn_beam(tables, piece, "HF", "No.2", int(plies))
        total, _ = governing_total(tables, recovered_loads(table, float(width)))
        reaction = total * inches(printed) / 24
        # the table lets the whole width of the header bear
        each = member.fc_perp_psi * member.section.width_in * 1.5
        counted = math.ceil(reaction / each - 1e-9)
        if (name, size, width) in ONE_MORE:
            assert counted == studs - 1
            assert reaction / each == pytest.approx(counted, rel=0.05)
        else:
            assert counted == studs, (name, size, width)
        if member.section.width_in <= 5.5:
            assert studs_for_bearing(tables, member, reaction) == counted


NEW_TABLES = [name for name, table in PUBLISHED.items() if not table.get("older", False)]


@pytest.mark.parametrize("name", NEW_TABLES)
def test_asked_by_house_width_and_snow(tables: Tables, name: str) -> None:
    """``beam --header`` gives each cell's span within 2 in."""
    table = PUBLISHED[name]
    for size, width, printed, _ in cells(table):
        plies, piece = size.split("-")
        asked = float(width) * 12, float(table.get("ground_snow_psf", 0.0))
        found = header_span(tables, table["case"], *asked, piece, int(plies))
        assert abs(round(found.span_in) - inches(printed)) <= 2, (size, width)


def test_interpolated_reading(tables: Tables) -> None:
    """40 psf snow, halfway between the 30 and 50 psf columns, gives 5-10 (forum, seen)."""
    table = {"case": "roof_and_center_bearing_floor", "older": True, "ground_snow_psf": 40}
    loads = recovered_loads(table, 28.0)
    span = min(
        largest_opening(tables, member, loads, own_weight=False, clear_span=True)
        for member in headers(tables, table, "2-2x10")
    )
    assert abs(round(span) - inches("5-10")) <= 2
