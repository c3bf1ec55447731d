"""Refusals and identities of the beam statics; formulae are under ``tests/published``."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from walltriage.errors import InputError
from walltriage.structure.beams import PointForce, Uniform, solve

spans = st.lists(st.floats(24, 300), min_size=1, max_size=4)


@given(spans=spans, plf=st.floats(1, 900), pounds=st.floats(1, 5000), part=st.floats(0, 1))
def test_reactions_add_up_to_the_load(spans, plf, pounds, part) -> None:
    end = sum(spans)
    beam = solve(tuple(spans), (Uniform(plf, 0, end),), (PointForce(pounds, part * end),))
    assert sum(beam.reactions_lb) == pytest.approx(plf / 12 * end + pounds)
    moments = sum(r * x for r, x in zip(beam.reactions_lb, beam.supports_in, strict=True))
    assert moments == pytest.approx(plf / 12 * end**2 / 2 + pounds * part * end)


@given(spans=spans, part=st.floats(0, 1))
def test_two_halves_of_a_load_are_the_whole(spans, part) -> None:
    end = sum(spans)
    whole = solve(tuple(spans), (Uniform(100, 0, end),))
    cut = solve(tuple(spans), (Uniform(100, 0, part * end), Uniform(100, part * end, end)))
    assert cut.reactions_lb == pytest.approx(whole.reactions_lb, abs=1e-6)
    assert cut.greatest_moment_lb_in() == pytest.approx(whole.greatest_moment_lb_in())


@given(spans=spans, part=st.floats(0, 1))
def test_mirrored_beam_mirrors(spans, part) -> None:
    end = sum(spans)
    one = solve(tuple(spans), (), (PointForce(1000, part * end),))
    other = solve(tuple(reversed(spans)), (), (PointForce(1000, end - part * end),))
    assert one.reactions_lb == pytest.approx(tuple(reversed(other.reactions_lb)), abs=1e-5)
    assert one.greatest_deflection_in(1e8) == pytest.approx(
        other.greatest_deflection_in(1e8), abs=1e-9
    )


def test_no_load_means_nothing() -> None:
    beam = solve((120.0, 100.0))
    assert beam.reactions_lb == (0, 0, 0)
    assert beam.greatest_moment_lb_in() == 0
    assert beam.greatest_deflection_in(1e8) == 0


@pytest.mark.parametrize(
    ("spans", "uniforms", "points"),
    [
        ((), (), ()),
        ((0.0,), (), ()),
        ((-12.0, 100.0), (), ()),
        ((float("nan"),), (), ()),
        ((100.0,), (Uniform(10, 0, 101),), ()),
        ((100.0,), (Uniform(10, 50, 20),), ()),
        ((100.0,), (), (PointForce(10, 100.5),)),
        ((100.0,), (), (PointForce(10, -1),)),
    ],
)
def test_beams_that_are_none(spans, uniforms, points) -> None:
    with pytest.raises(InputError):
        solve(spans, uniforms, points)
