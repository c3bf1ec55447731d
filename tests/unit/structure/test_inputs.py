"""Names and numbers are checked before anything is computed."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from walltriage.errors import InputError
from walltriage.structure.inputs import find_grade, find_size, find_species, within
from walltriage.structure.tables import Tables
from walltriage.units import IN_PER_M, LB_PER_KN, parse_length, parse_load


@pytest.mark.parametrize("word", ["2x10", "2X10", " 2 x 10 ", "2×10"])
def test_size_in_any_spelling(tables: Tables, word: str) -> None:
    assert find_size(tables, word).name == "2x10"


def test_rough_size(tables: Tables) -> None:
    assert find_size(tables, "Rough 2x8").depth_in == 8.0


@pytest.mark.parametrize(
    ("word", "told"),
    [("2x11", "'2x10' or '2x12'"), ("2x99", "'2x14'"), ("rough 2x9", "'rough 2x8'"),
     ("two by ten", "unknown"), (10, "is not a size"), (None, "is not a size")],
)  # fmt: skip
def test_unknown_size(tables: Tables, word, told: str) -> None:
    with pytest.raises(InputError, match=told):
        find_size(tables, word)


@pytest.mark.parametrize(
    ("word", "key"),
    [("SPF", "SPF"), ("spruce-pine-fir", "SPF"), ("Douglas fir", "DFL"), ("SYP", "SP"),
     ("hem fir", "HF")],
)  # fmt: skip
def test_species_by_any_name(tables: Tables, word: str, key: str) -> None:
    assert find_species(tables, word).key == key


def test_unknown_species_has_a_near_miss(tables: Tables) -> None:
    with pytest.raises(InputError, match="did you mean 'southern pine'"):
        find_species(tables, "sothern pine")


@pytest.mark.parametrize("word", ["#2", "2", "No.2", "no. 2", "NO.2"])
def test_grade_by_any_name(tables: Tables, word: str) -> None:
    assert find_grade(tables, tables.species["DFL"], word) == "No.2"


def test_unknown_grade_lists_the_known(tables: Tables) -> None:
    with pytest.raises(InputError, match="known for southern pine: SS, "):
        find_grade(tables, tables.species["SP"], "Construction")


@pytest.mark.parametrize("value", [0, -16, 90, float("nan"), float("inf"), None, True, "16"])
def test_spacing_out_of_range(tables: Tables, value) -> None:
    with pytest.raises(InputError, match="spacing") as caught:
        within(tables, "spacing_in", value, zero=False)
    assert "accepted: 4 in to 4 ft" in str(caught.value)


@given(inches=st.floats(0.01, 2000))
def test_lengths_round_trip_through_every_unit(inches: float) -> None:
    for unit, per_inch in (("in", 1), ("ft", 1 / 12), ("m", 1 / IN_PER_M), ("cm", 2.54),
                           ("mm", 25.4)):  # fmt: skip
        assert parse_length(f"{inches * per_inch:.12f} {unit}") == pytest.approx(inches, rel=1e-6)


@given(load=st.floats(0.01, 20000))
def test_loads_round_trip_through_metric(load: float) -> None:
    foot = 0.3048
    for unit, metric, factor in (("psf", "kPa", LB_PER_KN * foot**2), ("lb", "kN", LB_PER_KN),
                                 ("plf", "kN/m", LB_PER_KN * foot)):  # fmt: skip
        assert parse_load(f"{load / factor:.15f} {metric}", unit) == pytest.approx(load, rel=1e-6)
