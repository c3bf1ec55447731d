"""The least and the greatest known capacity of joists of one size."""

import pytest

from walltriage.errors import InputError
from walltriage.structure.known_reach import known_reach
from walltriage.structure.tables import Tables


def test_24_ft_of_2x6_is_beyond_every_species_and_grade(tables: Tables) -> None:
    """Of any year: the longest 2x6 ceiling cell at 16 in, 10 psf, is under 21 ft (IRC R802.5.1(1),
    SP and DFL SS)."""
    for use in ("floor", "ceiling"):
        reach = known_reach(tables, size="2x6", spacing_in=16, uses=(use,))
        assert reach.lowest_in < reach.highest_in < 288, use


def test_published_cells_lie_between(tables: Tables) -> None:
    """2x10 at 16 in, 40 psf live and 10 psf dead: SPF No.2 15-5 (2015 IRC R502.3.1(2), seen)."""
    reach = known_reach(tables, size="2x10", spacing_in=16, year=2000)
    assert reach.lowest_in < 185 < reach.highest_in


def test_by_hand(tables: Tables) -> None:
    """The greatest 2x10 floor: by stiffness of the stiffest lumber under the lightest load.

    L = (384 E I 12 / (5 x 360 w))^(1/3) with w in plf over 12: DFL SS, E 1.9e6 psi, I 98.93 in4,
    16 in at 30 psf live: w = 40/12 lb/in (statics; live deflection L/360)."""
    reach = known_reach(tables, size="2x10", spacing_in=16, year=2000)
    length = (384 * 1.9e6 * 98.93 / (5 * 360 * 40 / 12)) ** (1 / 3)
    assert reach.highest_in == pytest.approx(length, rel=2e-3)


@pytest.mark.parametrize("spacing", [0, -3, 1000])
def test_silly_spacings_are_refused(tables: Tables, spacing: float) -> None:
    with pytest.raises(InputError, match="accepted: "):
        known_reach(tables, size="2x10", spacing_in=spacing)
