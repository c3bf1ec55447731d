"""The worked example: the hand sums, what the program says, and what the page prints."""

from __future__ import annotations

import math

import pytest

from tests.conftest import HERE
from walltriage.case.read import read_case

DOCS = HERE.parent / "docs"
PAGE = (DOCS / "worked-example.md").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def finding(full):
    return full.finding(read_case(DOCS / "worked-example.yaml", full.base.questions))


def printed(number: float) -> None:
    """The page prints this number, to the pound."""
    assert f"{number:,.0f}" in PAGE, number


def test_loads_of_both_walls(finding):
    """Published dead and live loads over half of 13 ft on each side (statics)."""
    w1, w2 = (wall.numbers.load for wall in finding.walls)
    assert (w2.high.dead, w2.high.live) == pytest.approx((10 * 13 + 6 * 9, 20 * 13))
    assert (w1.high.dead, w1.high.live) == pytest.approx((184 + 12 * 13 + 54, 260 + 40 * 13))
    assert w1.governing_plf.low == pytest.approx(52 + 48 + 104 + 48 + 130 + 390)
    for number in (w1.governing_plf.high, w2.governing_plf.high, w1.governing_plf.low):
        printed(number)


def test_the_beam(finding):
    sizing = finding.walls[0].numbers.sizing
    beam = sizing.members[0]
    assert beam.member.label.startswith("4-1.75x14 LVL")
    weight, length = beam.member.weight_plf, 195.0
    w = 394 + weight + 780
    checks = {check.name: check for check in beam.checks}
    assert checks["bending"].demand == pytest.approx(w / 12 * length**2 / 8 / (7 * 14**2 / 6))
    assert checks["bending"].limit == pytest.approx(2600 * (12 / 14) ** 0.136, rel=1e-3)
    assert checks["shear"].demand == pytest.approx(1.5 * w / 12 * (length / 2 - 14) / 98)
    stiff = 384 * 1.9e6 * 7 * 14**3 / 12
    assert checks["live deflection"].demand == pytest.approx(5 * 65 * length**4 / stiff)
    assert checks["total deflection"].demand == pytest.approx(5 * w / 12 * length**4 / stiff)
    printed(checks["bending"].demand)
    printed(checks["bending"].limit)
    for name in ("bending", "shear", "live deflection", "total deflection"):
        assert f"| {checks[name].ratio:.0%} |".replace("%", " %") in PAGE, name


def test_its_ends_and_what_is_below(finding):
    numbers = finding.walls[0].numbers
    end, point = numbers.sizing.ends[0], numbers.sizing.below[0]
    w = 394 + numbers.sizing.members[0].member.weight_plf + 780
    assert end.reaction_lb == pytest.approx(w * 195 / 24)
    assert end.for_bearing == math.ceil(end.reaction_lb / (750 * 5.5 * 1.5)) == 2
    assert end.studs == end.for_plate == math.ceil(end.reaction_lb / (425 * 8.25)) == 3
    printed(end.reaction_lb)
    assert point.mid_span
    assert (point.span_in, point.from_post_in) == (144, 48)
    assert point.before.moment_lb_ft == pytest.approx(1850 * 12**2 / 8)
    assert point.before.post_lb == pytest.approx(1850 * (12 + 8) / 2)
    left = 676 * 6 + 1174 * 8 * 8 / 12 + 1174 * 16 / 2 * 4 / 12
    assert point.after.shear_lb == pytest.approx(left)
    assert point.after.moment_lb_ft == pytest.approx(left**2 / (2 * 1850))
    for number in (left, point.before.moment_lb_ft, point.after.moment_lb_ft):
        printed(number)


def test_temporary_lines(finding):
    shored = finding.walls[0].numbers.shoring
    assert shored.one_side_plf.high == pytest.approx(1174 * 0.5 * 13 / 10)
    printed(shored.one_side_plf.high)
