"""What is put on 2,000 random houses comes down, joists in two-line spans or running through."""

import pytest

from tests.unit.structure.houses import random_house
from walltriage.structure.frame import Frame, widths_on
from walltriage.structure.shapes import LOAD_KINDS


@pytest.mark.parametrize("first", range(0, 2000, 500))
def test_equilibrium(first: int) -> None:
    """Sum of reactions against sum of loads to 1e-9, each kind of load (statics)."""
    for seed in range(first, first + 500):
        house = random_house(seed)
        frame = Frame(house.supports, house.fields, through=seed % 2 == 1)
        ground, applied = frame.follow().ground, frame.applied()
        for kind in LOAD_KINDS:
            down = sum(getattr(one.load, kind) for one in ground)
            put_on = sum(getattr(one.load, kind) for one in applied)
            assert down == pytest.approx(put_on, rel=1e-9, abs=1e-9), (seed, kind)


def test_joists_that_run_through() -> None:
    """Two equal spans: 3/8, 10/8, 3/8 w L; three: 0.4, 1.1, 1.1, 0.4 w L (beam formulas)."""
    assert widths_on((120.0, 120.0)) == pytest.approx((45, 150, 45))
    assert widths_on((100.0,) * 3) == pytest.approx((40, 110, 110, 40))
    assert widths_on((120.0,)) == (60, 60)
