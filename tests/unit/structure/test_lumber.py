"""Adjustment factors, each against its clause or table note."""

import pytest

from walltriage.errors import InputError
from walltriage.structure.lumber import sawn, size_factors
from walltriage.structure.tables import Tables


@pytest.mark.parametrize(
    ("size", "factor"),
    [("2x3", 1.5), ("2x4", 1.5), ("2x6", 1.3), ("2x8", 1.2), ("2x10", 1.1), ("2x12", 1.0),
     ("2x14", 0.9), ("4x6", 1.3), ("4x8", 1.3), ("4x10", 1.2), ("4x12", 1.1), ("rough 2x8", 1.2)],
)  # fmt: skip
def test_size_factor_on_bending(tables: Tables, size: str, factor: float) -> None:
    found = size_factors(tables, tables.sizes[size], tables.species["DFL"], "No.2")
    assert found[0] == factor


def test_southern_pine_carries_its_own_size_effect(tables: Tables) -> None:
    pine = tables.species["SP"]
    assert size_factors(tables, tables.sizes["2x6"], pine, "No.2") == (1.0, 1.0, 1.0)
    assert size_factors(tables, tables.sizes["4x8"], pine, "No.2")[0] == 1.1
    assert sawn(tables, tables.sizes["2x6"], pine, "No.2").design.fb_psi == 1000
    assert sawn(tables, tables.sizes["2x10"], pine, "No.2").design.fb_psi == 800


def test_stud_grade_8_in_deep_uses_no_3(tables: Tables) -> None:
    fir = tables.species["DFL"]
    stud = sawn(tables, tables.sizes["2x8"], fir, "Stud")
    third = sawn(tables, tables.sizes["2x8"], fir, "No.3")
    assert stud.design == third.design
    assert sawn(tables, tables.sizes["2x4"], fir, "Stud").design.fb_psi == pytest.approx(770)


def test_light_framing_grades_stop_at_4_in(tables: Tables) -> None:
    with pytest.raises(InputError, match="4 in deep only"):
        sawn(tables, tables.sizes["2x6"], tables.species["HF"], "Construction")


def test_southern_pine_deeper_than_its_table(tables: Tables) -> None:
    with pytest.raises(InputError, match="12 in deep"):
        sawn(tables, tables.sizes["2x14"], tables.species["SP"], "No.2")


def test_repetitive_and_wet(tables: Tables) -> None:
    fir, size = tables.species["DFL"], tables.sizes["2x8"]
    dry = sawn(tables, size, fir, "SS").design
    both = sawn(tables, size, fir, "SS", repetitive=True, wet=True).design
    assert both.fb_psi == pytest.approx(dry.fb_psi * 1.15 * 0.85)
    assert both.e_psi == pytest.approx(dry.e_psi * 0.9)
    # Fb CF of No.2 is 1080 psi: at most 1150, so bending keeps its value when wet
    low = sawn(tables, size, fir, "No.2", wet=True).design.fb_psi
    assert low == pytest.approx(sawn(tables, size, fir, "No.2").design.fb_psi)


def test_lumped_values_differ_only_where_listed(tables: Tables) -> None:
    size = tables.sizes["2x10"]
    for key, grade, fb in (("DFL", "No.2", 875), ("HF", "No.1", 950), ("SPF", "No.2", 875),
                           ("HF", "No.2", 850)):  # fmt: skip
        found = sawn(tables, size, tables.species[key], grade, lumped=True)
        assert found.reference.fb_psi == fb
