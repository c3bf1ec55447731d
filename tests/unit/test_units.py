"""Lengths and loads as people write them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from walltriage.errors import QuantityError
from walltriage.units import METRIC, format_length, format_quantity, parse_length, parse_load

WRITTEN = [
    ("12 ft 6 in", 150),
    ("12'-6\"", 150),
    ("12' 6 1/2\"", 150.5),
    ("12′ 6″", 150),
    ("12.5 ft", 150),
    ("12ft6in", 150),
    ("3.81 m", 150),
    ("381 cm", 150),
    ("3810 mm", 150),
    ("7 1/2 in", 7.5),
    ("7-1/2 in", 7.5),
    ("3/4 in", 0.75),
    ("150 inches", 150),
    ("14", 168),
]


@pytest.mark.parametrize(("text", "inches"), WRITTEN)
def test_length_is_read(text, inches):
    """Feet and inches, fractions, metric, and a bare number in the default unit."""
    assert parse_length(text) == pytest.approx(inches, abs=1e-9)


@pytest.mark.parametrize(
    "text", ["", "in", "-3 ft", "1 in 2 ft", "3 m 2 in", "12 xx", "1/0 ft", "nan"]
)
def test_not_a_length(text):
    """Anything else is refused with what would be accepted."""
    with pytest.raises(QuantityError, match="expected a length such as"):
        parse_length(text)


@pytest.mark.parametrize("value", [True, None, [], float("nan"), float("inf"), -1])
def test_not_a_number(value):
    """Values that are no lengths at all."""
    with pytest.raises(QuantityError):
        parse_length(value)


@given(st.integers(min_value=0, max_value=5000))
def test_written_inches_come_back(inches):
    """A length printed to the inch reads back as itself."""
    assert parse_length(format_length(inches)) == pytest.approx(inches)


@given(st.floats(min_value=0.01, max_value=500))
def test_metric_equals_imperial(metres):
    """The international foot is 0.3048 m by definition (international yard and pound, 1959)."""
    assert parse_length(f"{metres:.6f} m") == pytest.approx(
        parse_length(round(metres, 6) / 0.3048, "ft"), rel=1e-9
    )


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("40psf", "psf", 40),
        ("1.9152 kPa", "psf", 40.0),  # 1 psf = 47.88 Pa (NIST SP 811, appendix B.8)
        ("140plf", "plf", 140),
        ("1.4594 kN/m", "plf", 100.0),  # 1 lbf/ft = 14.5939 N/m (NIST SP 811, appendix B.8)
        ("1200 lb", "lb", 1200),
        (25, "psf", 25),
    ],
)
def test_load_is_read(text, unit, value):
    """Loads in pounds or in kilonewtons."""
    assert parse_load(text, unit) == pytest.approx(value, rel=1e-4)


@pytest.mark.parametrize("text", ["-4 psf", "40 plf", "lots", "", True])
def test_not_a_load(text):
    """The message names the units that are accepted."""
    with pytest.raises(QuantityError, match="psf"):
        parse_load(text, "psf")


@pytest.mark.parametrize(
    ("value", "unit", "feet", "meters"),
    [
        (1000, "plf", "1,000 plf", "14.59 kN/m"),  # 1 plf = 14.5939 N/m
        (40, "psf", "40 psf", "1.92 kPa"),  # 1 psf = 47.8803 Pa
        (9771, "lb", "9,771 lb", "43.5 kN"),  # 1 lb = 4.44822 N
        (1500, "psi", "1,500 psi", "10.34 MPa"),  # 1 psi = 6,894.76 Pa
        (6.5, "sq ft", "6.5 sq ft", "0.60 sq m"),
        (0.5, "in", "0.50 in", "12.7 mm"),
        (3, "studs", "3 studs", "3 studs"),
    ],
)
def test_quantities_in_both_measures(value, unit, feet, meters):
    """Factors of the international foot and pound, as in any table of units."""
    assert format_quantity(value, unit) == feet
    assert format_quantity(value, unit, metric=True) == meters


@pytest.mark.parametrize(
    "text", ["3 m", "40cm", "400 mm", "1.9 kPa", "5kN @ 2 ft", "8 kN/m", "2 kN/m2"]
)
def test_metric_is_seen(text):
    assert METRIC.search(text)


@pytest.mark.parametrize("text", ["10 ft", "1200 lb @ 4 ft", "140plf", "2x10", "16in", "30psf"])
def test_feet_are_not_taken_for_meters(text):
    assert not METRIC.search(text)
