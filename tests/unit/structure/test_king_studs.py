"""Full-height studs beside an opening, by hand and by the code's table."""

from __future__ import annotations

import pytest

from walltriage.structure.king_studs import combined_ratio, king_studs, outside_count
from walltriage.structure.loads import LoadSet
from walltriage.structure.lumber import sawn
from walltriage.structure.tables import Tables


def test_by_hand(tables: Tables) -> None:
    """16 ft in a wall of 1,174 plf, studs 2x6 SPF Stud 97 in high (clauses 3.7.1 and 3.9.2).

    Fc 725, Fb 675, Emin 0.44e6 (NDS Supplement 4A, from memory); 5 psf sideways on inside walls
    (building code, from memory) over half of the opening and of a bay of 16 in.
    """
    found = king_studs(tables, "2x6", 192.0, LoadSet(dead=394, live=780), 97.0)
    axial = 1174 * 16 / 24
    moment = 5 * (192 + 16) / 24 / 12 * 97**2 / 8
    fc, fb = axial / 8.25, moment / (1.5 * 5.5**2 / 6)
    euler = 0.822 * 440_000 / (97 / 5.5) ** 2
    half = (1 + euler / 725) / 1.6
    allowed = 725 * (half - (half**2 - euler / 725 / 0.8) ** 0.5)
    ratio = (fc / allowed) ** 2 + fb / (675 * (1 - fc / euler))
    assert (found.count, found.ratio) == (1, pytest.approx(ratio))
    assert ratio == pytest.approx(0.931, abs=5e-4)
    assert [step.result for step in found.steps] == pytest.approx([axial, moment, ratio])


def test_one_stud_more_where_one_does_not_do(tables: Tables) -> None:
    """2x4: S 3.06 in3 under the same moment makes one stud too few; two share it."""
    found = king_studs(tables, "2x4", 144.0, LoadSet(dead=200, live=400), 97.0)
    stud = sawn(tables, tables.sizes["2x4"], tables.species["SPF"], "Stud")
    axial, moment = 600 * 16 / 24, 5 * (144 + 16) / 24 / 12 * 97**2 / 8
    ratios = [combined_ratio(tables, stud, axial / n, moment / n, 97.0, 1.0) for n in (1, 2)]
    assert ratios[0] > 1 >= ratios[1]
    assert (found.count, found.ratio) == (2, pytest.approx(ratios[1]))


def test_no_number_does(tables: Tables) -> None:
    """A stud 17 ft high and 3-1/2 in thick is past the slenderness limit of 50."""
    assert king_studs(tables, "2x4", 144.0, LoadSet(dead=200), 204.0).count == 0


@pytest.mark.parametrize(
    ("feet", "count"), [(2, 1), (3, 1), (3.5, 2), (4, 2), (8, 3), (10, 5), (16, 6), (16.5, None)]
)
def test_outside_walls(tables: Tables, feet: float, count: int | None) -> None:
    """IRC Table R602.7.5 of 2018, studs 16 in apart: from memory; the next wider row counts."""
    assert outside_count(tables, 12 * feet) == count
