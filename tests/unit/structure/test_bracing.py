"""The distance between braced wall lines, with a wall and without it, by hand."""

import pytest

from walltriage.case.geometry import Layout
from walltriage.case.read import parse_case
from walltriage.report.number_words import bracing_line
from walltriage.structure.bracing import bracing_gaps

HOUSE = """schema: walltriage/case/1
plan:
  levels: [ground]
  whole: [ground]
  parts: [{{id: main, width: 30 ft, depth: {depth} ft}}]
  walls:
    - {{wall: w1, level: ground, along: front, off: {off} ft, from: 0 ft, to: {to} ft}}
walls: [{{id: w1}}]
"""


def gaps(full, tables, depth, off, *, to=30, earthquakes=False):
    case = parse_case(HOUSE.format(depth=depth, off=off, to=to), "c.yaml", full.base.questions)
    return bracing_gaps(tables, Layout(case.plan), ("w1",), earthquakes=earthquakes)


def test_70_ft_deep_in_wind(full, tables):
    """Lines at 0, 30 and 70 ft: 40 ft with the wall, 70 without; 60 ft allowed (IRC R602.10.1.3,
    from memory)."""
    (gap,) = gaps(full, tables, 70, 30)
    assert (gap.before_in, gap.after_in, gap.limit_in) == (480, 840, 720)
    assert gap.broken
    assert "up to 70 ft apart, with it 40 ft" in bracing_line(gap)
    assert "R602.10.1.3" in bracing_line(gap)


@pytest.mark.parametrize(("depth", "quake", "beyond"), [(24, True, False), (40, True, True),
                                                        (40, False, False)])  # fmt: skip
def test_25_ft_where_earthquakes_count(full, tables, depth, quake, beyond):
    """25 ft in earthquake country (IRC R602.10.1.3, seismic design categories, from memory)."""
    (gap,) = gaps(full, tables, depth, depth / 2, earthquakes=quake)
    assert gap.limit_in == (300 if quake else 720)
    assert gap.beyond == beyond


def test_a_stub_is_no_line(full, tables):
    """Under a third of the house along it, a wall braces nothing that its loss could widen."""
    assert gaps(full, tables, 70, 30, to=9) == ()
