"""Published worked examples, recomputed; documents and provenance in ``data``."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from tests.conftest import read_yaml
from walltriage.structure.beams import Uniform, solve
from walltriage.structure.columns import column_capacity_lb
from walltriage.structure.largest_opening import largest_opening
from walltriage.structure.loads import LoadSet
from walltriage.structure.lumber import LumberSection, sawn
from walltriage.structure.members import check_opening
from walltriage.structure.spans import allowable_span, joist_load, worked_span
from walltriage.structure.stock import sawn_beam
from walltriage.structure.supports import studs_for_bearing
from walltriage.structure.tables import Tables

DATA = Path(__file__).parent / "data" / "worked_examples.yaml"
EXAMPLES = read_yaml(DATA)


def inches(printed: str) -> int:
    feet, rest = printed.split("-")
    return int(feet) * 12 + int(rest)


@pytest.mark.parametrize("name", ["joist_2x6_from_E_and_Fb", "joist_2x12_low_grade"])
def test_span_from_stiffness_and_the_stress_it_needs(tables: Tables, name: str) -> None:
    given, answer = EXAMPLES[name]["givens"], EXAMPLES[name]["answer"]
    piece = sawn(tables, tables.sizes[given["size"]], tables.species["DFL"], "SS")
    # only E is given: bending is made strong enough not to govern
    stiff = replace(piece, design=replace(piece.design, e_psi=given["E_psi"], fb_psi=1e5))
    load = joist_load(
        tables, given["use"], given["spacing_in"], given["live_psf"], given["dead_psf"]
    )
    result = worked_span(tables, stiff, load, given["spacing_in"])
    assert round(result.span_in) == inches(answer["span"])
    needed = next(check.demand for check in result.checks if check.name == "bending")
    assert needed == pytest.approx(answer["required_Fb_psi"], abs=0.5)


def test_bearing_stresses() -> None:
    given = EXAMPLES["bearing_stress_table"]["givens"]
    cells = 0
    for feet, row in EXAMPLES["bearing_stress_table"]["answer_psi"].items():
        span = 12.0 * int(feet)
        reaction = solve((span,), (Uniform(given["load_plf"], 0, span),)).reactions_lb[0]
        for length, psi in zip(given["bearing_lengths_in"], row, strict=False):
            assert round(reaction / (given["joist_width_in"] * length)) == psi
            cells += 1
    assert cells == 23


def test_textbook_joists(tables: Tables) -> None:
    given = EXAMPLES["textbook_floor_joists"]["givens"]
    answer = EXAMPLES["textbook_floor_joists"]["answer"]
    span, plf = 12 * given["span_ft"], given["floor_load_psf"] * given["spacing_in"] / 12
    moment = solve((span,), (Uniform(plf, 0, span),)).greatest_moment_lb_in()
    assert moment == pytest.approx(answer["M_lb_in"], rel=1e-4)
    needed = moment / given["allowable_psi"]
    assert needed == pytest.approx(answer["S_required_in3"], abs=0.05)
    moduli = {
        name: LumberSection(size.thickness_in, size.depth_in).s_in3
        for name, size in tables.sizes.items()
        if size.dressing == "dressed" and size.nominal_thickness == 2
    }
    assert min((s, name) for name, s in moduli.items() if s >= needed)[1] == answer["select"]


def test_magazine_girder(tables: Tables) -> None:
    given, answer = EXAMPLES["magazine_girder"]["givens"], EXAMPLES["magazine_girder"]["answer"]
    plf = given["floor_load_psf"] * given["tributary_ft"]
    assert plf / 12 == pytest.approx(answer["load_lb_per_in"], abs=0.05)

    def bending(plies: int) -> float:
        chosen = answer["chosen"]
        member = sawn_beam(tables, chosen["size"], chosen["species"], chosen["grade"], plies)
        result = check_opening(
            tables, member, 12 * given["span_ft"], LoadSet(live=plf), own_weight=False,
            clear_span=True,
        )  # fmt: skip
        return next(check.ratio for check in result.checks if check.name == "bending")

    assert bending(answer["chosen"]["plies"]) <= 1 < bending(answer["chosen"]["plies"] - 1)


@pytest.mark.parametrize("cell", EXAMPLES["span_table_cells"], ids=lambda c: c["document"])
def test_single_cells_and_what_governs(tables: Tables, cell: dict[str, Any]) -> None:
    keys = ("use", "size", "species", "grade", "spacing_in", "live_psf", "dead_psf", "wet",
            "incised")  # fmt: skip
    result = allowable_span(tables, **{key: cell[key] for key in keys if key in cell})
    assert round(result.span_in) == inches(cell["span"])
    assert result.governs == cell["governs"]


def test_header_over_one_floor(tables: Tables) -> None:
    given = EXAMPLES["header_interior_one_floor"]["givens"]
    answer = EXAMPLES["header_interior_one_floor"]["answer"]
    half = given["width_ft"] / 2
    loads = LoadSet(dead=given["dead_psf"] * half, live=given["live_psf"] * half)
    members = [
        sawn_beam(tables, given["size"], species, "No.2", given["plies"])
        for species in ("DFL", "HF", "SP", "SPF")
    ]
    span = min(
        largest_opening(tables, m, loads, own_weight=False, clear_span=True) for m in members
    )
    assert round(span) == inches(answer["span"])
    reaction = (loads.dead + loads.live) * span / 24
    assert max(studs_for_bearing(tables, m, reaction) for m in members) == answer["jacks"]


def test_stud_as_a_column(tables: Tables) -> None:
    given, answer = EXAMPLES["stud_axial"]["givens"], EXAMPLES["stud_axial"]["answer"]
    stud = sawn(tables, tables.sizes[given["size"]], tables.species[given["species"]],
                given["grade"])  # fmt: skip
    capacity = column_capacity_lb(
        tables, stud, given["height_in"], given["duration"], sheathed=True
    )
    assert capacity == pytest.approx(answer["capacity_lb"], abs=1)
