"""Closed-form beam formulae and published continuous-beam coefficients.

Simple, cantilever-free cases: AISC Manual Table 3-23 and AWC Design Aid 6 (recalled).
Continuous beams: Civil Engineering Formulas (Hicks), Table 2.1, and an engineering formula page
(seen); unequal spans from the same page, its signs corrected by statics.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from walltriage.structure.beams import PointForce, Uniform, solve
from walltriage.structure.lumber import LumberSection
from walltriage.structure.takedown import tributary

EI = 1.0e8
lengths = st.floats(24, 480)
loads = st.floats(1, 5000)


@given(length=lengths, plf=loads)
def test_simple_span_under_uniform_load(length: float, plf: float) -> None:
    beam, w = solve((length,), (Uniform(plf, 0, length),)), plf / 12
    assert beam.reactions_lb == pytest.approx((w * length / 2,) * 2)
    assert beam.greatest_moment_lb_in() == pytest.approx(w * length**2 / 8)
    assert beam.greatest_shear_lb() == pytest.approx(w * length / 2)
    assert beam.greatest_deflection_in(EI) == pytest.approx(5 * w * length**4 / (384 * EI))


@given(length=lengths, pounds=loads)
def test_simple_span_with_a_load_at_the_middle(length: float, pounds: float) -> None:
    beam = solve((length,), (), (PointForce(pounds, length / 2),))
    assert beam.reactions_lb == pytest.approx((pounds / 2,) * 2)
    assert beam.greatest_moment_lb_in() == pytest.approx(pounds * length / 4)
    assert beam.greatest_deflection_in(EI) == pytest.approx(pounds * length**3 / (48 * EI))


@given(length=lengths, pounds=loads, part=st.floats(0.05, 0.95))
def test_simple_span_with_a_load_anywhere(length: float, pounds: float, part: float) -> None:
    a, b = part * length, (1 - part) * length
    beam = solve((length,), (), (PointForce(pounds, a),))
    assert beam.reactions_lb == pytest.approx((pounds * b / length, pounds * a / length))
    assert beam.greatest_moment_lb_in() == pytest.approx(pounds * a * b / length)


# spans, then reactions / wL, and the moment over the first inner support / wL^2
EQUAL_SPANS = {
    2: ((0.375, 1.25, 0.375), 0.125),
    3: ((0.4, 1.1, 1.1, 0.4), 0.1),
    4: ((0.392857, 1.142857, 0.928571, 1.142857, 0.392857), None),
}


@pytest.mark.parametrize("count", EQUAL_SPANS)
def test_equal_continuous_spans(count: int) -> None:
    shares, support = EQUAL_SPANS[count]
    beam = solve((120.0,) * count, (Uniform(12.0, 0, 120.0 * count),))
    assert [r / 120 for r in beam.reactions_lb] == pytest.approx(shares, abs=1e-6)
    if support is not None:
        assert -beam.moment_lb_in(120.0) / 120**2 == pytest.approx(support)


def test_two_equal_spans_in_full() -> None:
    beam = solve((120.0, 120.0), (Uniform(12.0, 0, 240.0),))
    assert beam.greatest_shear_lb() / 120 == pytest.approx(0.625)
    assert beam.moment_lb_in(120.0 * 3 / 8) / 120**2 == pytest.approx(9 / 128)
    # the published 1/185 is itself rounded: within 0.3 %, and at 0.4215 L from the end
    assert beam.greatest_deflection_in(EI) == pytest.approx(120**4 / (185 * EI), rel=0.003)
    assert beam.deflection_in(0.4215 * 120, EI) == pytest.approx(beam.greatest_deflection_in(EI))


def test_three_equal_spans_inside_the_end_span() -> None:
    beam = solve((120.0,) * 3, (Uniform(12.0, 0, 360.0),))
    assert max(beam.moment_lb_in(x) for x in range(120)) / 120**2 == pytest.approx(0.08, abs=1e-4)
    assert beam.moment_lb_in(0.8 * 120) == pytest.approx(0, abs=1e-6)


@given(a=lengths, b=lengths, plf=loads)
def test_two_unequal_spans(a: float, b: float, plf: float) -> None:
    w = plf / 12
    moment = w * (a**3 + b**3) / (8 * (a + b))
    beam = solve((a, b), (Uniform(plf, 0, a + b),))
    end_a, end_b = w * a / 2 - moment / a, w * b / 2 - moment / b
    wanted = (end_a, w * (a + b) - end_a - end_b, end_b)
    assert beam.reactions_lb == pytest.approx(wanted, rel=1e-6, abs=1e-6 * w * (a + b))
    assert -beam.moment_lb_in(a) == pytest.approx(moment)


def test_unequal_spans_of_10_and_14_ft() -> None:
    beam = solve((120.0, 168.0), (Uniform(50, 0, 288.0),))
    assert -beam.moment_lb_in(120.0) / 12 == pytest.approx(975.0)
    assert beam.reactions_lb == pytest.approx((152.5, 767.142857, 280.357143))


def test_middle_support_of_two_equal_spans_takes_a_quarter_more() -> None:
    broken, _ = tributary((120.0, 120.0), 1, continuous=False)
    through, _ = tributary((120.0, 120.0), 1, continuous=True)
    assert through / broken == pytest.approx(1.25)


# National Design Specification Supplement, Table 1B: A, S, I (recalled)
PROPERTIES = {
    (1.5, 3.5): (5.250, 3.063, 5.359),
    (1.5, 5.5): (8.250, 7.563, 20.80),
    (1.5, 7.25): (10.88, 13.14, 47.63),
    (1.5, 9.25): (13.88, 21.39, 98.93),
    (1.5, 11.25): (16.88, 31.64, 178.0),
    (3.5, 3.5): (12.25, 7.146, 12.51),
    (5.5, 5.5): (30.25, 27.73, 76.26),
}


@pytest.mark.parametrize("size", PROPERTIES)
def test_section_properties(size: tuple[float, float]) -> None:
    section = LumberSection(*size)
    found = (section.area_in2, section.s_in3, section.i_in4)
    assert found == pytest.approx(PROPERTIES[size], rel=5e-4)


@given(length=lengths, part=st.floats(0.05, 0.9), plf=loads)
def test_overhang_under_uniform_load(length: float, part: float, plf: float) -> None:
    """Span L with a free end a, w on everything: AISC Manual Table 3-23 (recalled)."""
    a, w = part * length, plf / 12
    for overhangs in ((0.0, a), (a, 0.0)):
        beam = solve((length,), (Uniform(plf, 0, length + a),), overhangs_in=overhangs)
        far, near = w * (length**2 - a**2) / (2 * length), w * (length + a) ** 2 / (2 * length)
        assert sorted(beam.reactions_lb) == pytest.approx(sorted((far, near)))
        assert -beam.extreme_moments_lb_in()[0] == pytest.approx(w * a**2 / 2)
        tip = w * a * (4 * a**2 * length - length**3 + 3 * a**3) / (24 * EI)
        free = length + a if overhangs[1] else 0.0
        assert beam.deflection_in(free, EI) == pytest.approx(tip, abs=1e-9)


@given(length=lengths, part=st.floats(0.05, 0.9), pounds=loads)
def test_point_load_at_the_end_of_an_overhang(length: float, part: float, pounds: float) -> None:
    """P at the free end: M = P a, sag P a^2 (L + a) / 3 E I (AISC Manual Table 3-23, recalled)."""
    a = part * length
    right = solve((length,), (), (PointForce(pounds, length + a),), overhangs_in=(0.0, a))
    left = solve((length,), (), (PointForce(pounds, 0.0),), overhangs_in=(a, 0.0))
    for beam, free in ((right, length + a), (left, 0.0)):
        assert beam.greatest_moment_lb_in() == pytest.approx(pounds * a)
        assert beam.deflection_in(free, EI) == pytest.approx(pounds * a**2 * (length + a) / 3 / EI)
        assert min(beam.reactions_lb) == pytest.approx(-pounds * a / length)
