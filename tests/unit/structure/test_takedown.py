"""Loads on a wall, by kind and as ranges."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from walltriage.errors import InputError, QuantityError
from walltriage.structure.loads import LoadSet
from walltriage.structure.sources_of_load import ceiling, floor, roof, wall_above
from walltriage.structure.steps import Range
from walltriage.structure.tables import Tables, load_tables
from walltriage.structure.takedown import LineLoad, PointLoad, Strip, take_down, tributary

TABLES = load_tables(Path(__file__).parents[3] / "rules")


def fixed(psf: float) -> Range:
    return Range.of(psf)


def simple(**change) -> Strip:
    asked = {
        "name": "floor", "psf": {"dead": fixed(10), "live": fixed(40)},
        "spans_in": (fixed(144), fixed(120)), "continuous": False,
    }  # fmt: skip
    return Strip(**{**asked, **change})


def test_broken_joists_bring_half_of_each_span(tables: Tables) -> None:
    found = take_down(tables, (simple(),))
    assert found.usual.dead == pytest.approx(10 * 11)
    assert found.usual.live == pytest.approx(40 * 11)
    assert found.governing_plf.usual == pytest.approx(550)
    assert found.combination == "D + L"
    assert found.matters_most == ""  # nothing is open


def test_joists_running_through_two_equal_spans_bring_a_quarter_more(tables: Tables) -> None:
    spans = (fixed(120), fixed(120))
    broken = take_down(tables, (simple(spans_in=spans),)).governing_plf.usual
    through = take_down(tables, (simple(spans_in=spans, continuous=True),)).governing_plf.usual
    assert through == pytest.approx(1.25 * broken)


def test_live_load_takes_its_worst_arrangement() -> None:
    """Three spans: dead gives 1.1 wL at an inner support, live on two of them 1.2 wL."""
    even, worst = tributary((120.0,) * 3, 1, continuous=True)
    assert even / 120 == pytest.approx(1.1)
    assert worst / 120 == pytest.approx(1.2)


def test_end_wall_carries_half_a_span(tables: Tables) -> None:
    found = take_down(tables, (simple(spans_in=(fixed(144),), support=0),))
    assert found.usual.live == pytest.approx(40 * 6)


def test_not_knowing_whether_joists_break_is_a_range_and_a_finding(tables: Tables) -> None:
    found = take_down(tables, (simple(spans_in=(fixed(120), fixed(120)), continuous=None),))
    assert found.governing_plf.usual == pytest.approx(500)
    assert found.governing_plf.high == pytest.approx(625)
    assert found.matters_most == "floor: joists run through"
    assert any("break over the wall" in finding for finding in found.findings)


def test_a_short_continuous_end_span_may_lift(tables: Tables) -> None:
    strip = simple(spans_in=(fixed(36), fixed(180)), support=0, continuous=True)
    found = take_down(tables, (strip,))
    assert found.low.dead < 0
    assert found.low.live == 0
    assert any("lift" in finding for finding in found.findings)


def test_kinds_are_kept_apart(tables: Tables) -> None:
    found = take_down(
        tables,
        (
            floor(tables, "floor above", (144, 120), room="sleeping_rooms", continuous=False),
            ceiling(tables, "attic", (144, 120), attic="attic_with_limited_storage",
                    continuous=False),
            roof(tables, "roof", slope_deg=20, tributary_in=84, ground_snow_psf=30),
        ),
        (wall_above(tables, "wall above", 96),),
        (PointLoad("post", 40, LoadSet(dead=300)),),
    )  # fmt: skip
    assert found.usual.live == pytest.approx((30 + 20) * 11)
    assert found.usual.snow == pytest.approx(21 * 7)
    assert found.usual.roof_live == pytest.approx(16 * 7)
    assert found.plf["dead"].low < found.plf["dead"].usual < found.plf["dead"].high
    assert found.points[0].lb.dead == 300
    assert all(step.source for step in found.steps)
    assert "engineer" in found.note


def test_widest_swing_comes_first(tables: Tables) -> None:
    found = take_down(
        tables, (simple(spans_in=(Range(100, 144, 190), fixed(120)), psf={
            "dead": Range(9, 10, 11), "live": fixed(40)}),)
    )  # fmt: skip
    assert found.matters_most == "floor: span 1"
    assert [swing.width_plf for swing in found.swings] == sorted(
        (swing.width_plf for swing in found.swings), reverse=True
    )
    first = found.swings[0]
    assert first.low_plf == pytest.approx(50 * (100 + 120) / 24)
    assert first.high_plf == pytest.approx(50 * (190 + 120) / 24)


spans = st.floats(36, 300)
three = st.tuples(spans, spans, spans).map(sorted).map(lambda v: Range(*v))


@given(a=three, b=three, through=st.sampled_from([True, False, None]))
def test_usual_lies_within_the_range(a: Range, b: Range, through) -> None:
    found = take_down(TABLES, (simple(spans_in=(a, b), continuous=through),))
    for value in (*found.plf.values(), found.governing_plf):
        assert value.low <= value.usual + 1e-9
        assert value.usual <= value.high + 1e-9


@given(a=spans, b=spans)
def test_all_of_a_continuous_joist_arrives_somewhere(a: float, b: float) -> None:
    shares = [tributary((a, b), support, continuous=True)[0] for support in range(3)]
    assert sum(shares) == pytest.approx(a + b)


@pytest.mark.parametrize(
    ("strips", "lines", "told"),
    [
        ((), (), "none given"),
        ((simple(spans_in=(fixed(1080), fixed(120))),), (), "span"),
        ((simple(spans_in=(fixed(0), fixed(120))),), (), "span"),
        ((simple(psf={"dead": fixed(-5)}),), (), "dead load"),
        ((simple(psf={"wind": fixed(5)}),), (), "wind"),
        ((simple(support=3),), (), "support 3"),
        ((simple(spans_in=(Range(100, 90, 120), fixed(120))),), (), "out of order"),
        ((simple(overhang_in=fixed(-12)),), (), "overhang"),
        ((simple(overhang_in=fixed(9000)),), (), "overhang"),
        ((simple(tributary_in=fixed(100)),), (), "one of the two"),
        ((simple(), simple()), (), "two are called"),
        ((), (LineLoad("wall", {"dead": fixed(1e6)}),), "wall"),
    ],
)
def test_bad_input_gives_no_load(tables: Tables, strips, lines, told: str) -> None:
    with pytest.raises(InputError, match=told):
        take_down(tables, strips, lines)


def test_unknown_words_are_refused(tables: Tables) -> None:
    with pytest.raises(InputError, match="did you mean 'sleeping_rooms'"):
        floor(tables, "floor", (120, 120), room="sleeping_room")
    with pytest.raises(InputError, match="wall"):
        wall_above(tables, "wall", 96, kind="glass")
    with pytest.raises(InputError, match="height"):
        wall_above(tables, "wall", 960)


@pytest.mark.parametrize("value", [(3, 2, 1), (1, 2, 3, 4), (), (1, float("inf"))])
def test_a_range_that_is_none(value) -> None:
    with pytest.raises(QuantityError):
        Range.of(value)
