"""Combinations with their own duration factors, and roof loads."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from walltriage.errors import InputError
from walltriage.structure.loads import (
    LoadSet,
    combinations,
    governing_total,
    on_the_flat,
    roof_live_psf,
    roof_snow_psf,
)
from walltriage.structure.tables import Tables


def test_combinations_and_duration_factors(tables: Tables) -> None:
    """ASCE 7-16 section 2.4.1 with the National Design Specification's duration factors."""
    loads = LoadSet(dead=100, live=200, roof_live=80, snow=120)
    found = {one.name: (one.total(loads), one.duration) for one in combinations(tables)}
    assert found == {
        "D": (100, 0.9),
        "D + L": (300, 1.0),
        "D + S": (220, 1.15),
        "D + Lr": (180, 1.25),
        "D + 0.75L + 0.75S": (340, 1.15),
        "D + 0.75L + 0.75Lr": (310, 1.25),
    }
    assert governing_total(tables, loads) == (340, "D + 0.75L + 0.75S")


@pytest.mark.parametrize(
    ("slope", "area", "psf"),
    [(0, None, 20), (10, 300, 16), (10, 700, 12), (20, None, 16), (30, 200, 16), (30, 201, 14),
     (46, None, 12)],
)  # fmt: skip
def test_roof_live_load(tables: Tables, slope: float, area: float | None, psf: float) -> None:
    """International Residential Code Table R301.6 (recalled)."""
    assert roof_live_psf(tables, slope, area) == psf


@pytest.mark.parametrize(("slope", "psf"), [(0, 21.0), (30, 21.0), (50, 10.5), (70, 0), (80, 0)])
def test_snow_on_a_roof(tables: Tables, slope: float, psf: float) -> None:
    assert roof_snow_psf(tables, 30, slope) == pytest.approx(psf)


@given(a=st.floats(0, 79), more=st.floats(0, 10), ground=st.floats(0, 200))
def test_steeper_never_holds_more(tables: Tables, a: float, more: float, ground: float) -> None:
    b = min(80.0, a + more)
    assert roof_snow_psf(tables, ground, b) <= roof_snow_psf(tables, ground, a)
    assert roof_live_psf(tables, b) <= roof_live_psf(tables, a)
    assert on_the_flat(10, b) >= on_the_flat(10, a)


@pytest.mark.parametrize("slope", [-1, 85, float("nan")])
def test_slope_out_of_range(tables: Tables, slope: float) -> None:
    with pytest.raises(InputError, match="slope"):
        roof_live_psf(tables, slope)
