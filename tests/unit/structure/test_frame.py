"""The take-down of whole houses: nothing is lost, and nothing moves sideways."""

from __future__ import annotations

import pytest

from tests.unit.structure.houses import random_house
from walltriage.structure.frame import Frame, JoistField, Support
from walltriage.structure.loads import LoadSet
from walltriage.structure.shapes import LOAD_KINDS


@pytest.mark.parametrize("first", range(0, 500, 50))
def test_ground_takes_what_was_put_on(first):
    """Force and both moments balance, for each kind of load, to a thousandth, in 500 houses."""
    for seed in range(first, first + 50):
        frame = random_house(seed)
        ground, applied = frame.follow().ground, frame.applied()
        for kind in LOAD_KINDS:
            put_on = sum(getattr(a.load, kind) for a in applied)
            came = sum(getattr(a.load, kind) for a in ground)
            assert came == pytest.approx(put_on, rel=1e-3), (seed, kind)
            for axis in "xy":
                turned = sum(getattr(a.load, kind) * getattr(a, axis) for a in applied)
                held = sum(getattr(a.load, kind) * getattr(a, axis) for a in ground)
                assert held == pytest.approx(turned, rel=1e-3, abs=put_on), (seed, kind, axis)


def box(level: int, width: float = 240, depth: float = 288) -> list[Support]:
    return [
        Support(f"front{level}", level, "x", 0, 0, width),
        Support(f"back{level}", level, "x", depth, 0, width),
    ]


def test_middle_wall_takes_half():
    """By hand: 20 ft by 24 ft at 50 psf with a middle wall: 600 plf there, 300 at the edges."""
    middle = Support("w", 0, "x", 144, 0, 240)
    area = JoistField("f", 0, 0, 0, 240, 288, "y", LoadSet(dead=10, live=40))
    found = Frame([*box(0), middle], [area]).follow()
    assert found.worst_plf("w") == LoadSet(dead=120, live=480)
    assert found.worst_plf("front0") == LoadSet(dead=60, live=240)
    assert found.spans_in["f"] == 144


def test_wall_off_its_support_goes_by_the_lever():
    """By hand: a line load a quarter of the span from a wall leaves three quarters on it."""
    upper = Support("up", 1, "x", 144 + 36, 0, 240, plf=LoadSet(dead=100))
    middle = Support("w", 0, "x", 144, 0, 240)
    area = JoistField("f", 0, 0, 0, 240, 288, "y", LoadSet())
    found = Frame([*box(0), middle, upper], [area]).follow()
    assert found.worst_plf("w").dead == pytest.approx(75)
    assert found.worst_plf("back0").dead == pytest.approx(25)


def test_wall_along_joists_comes_down_at_spots():
    """By hand: 100 plf over 10 ft of a 20 ft joist, from its start: 750 lb and 250 lb."""
    upper = Support("up", 1, "y", 60, 0, 120, plf=LoadSet(dead=100))
    sides = [Support("front0", 0, "x", 0, 0, 240), Support("back0", 0, "x", 240, 0, 240)]
    area = JoistField("f", 0, 0, 0, 240, 240, "y", LoadSet())
    found = Frame([*sides, upper], [area]).follow()
    assert [(p.lo, p.load.dead) for p in found.spots("front0")] == [(60, pytest.approx(750))]
    assert [(p.lo, p.load.dead) for p in found.spots("back0")] == [(60, pytest.approx(250))]


def test_beam_stands_on_its_posts():
    """By hand: a beam of 20 ft with a post in the middle: half its load there."""
    beam = Support("b", 0, "x", 144, 0, 240, beam=True, posts=(120,))
    area = JoistField("f", 0, 0, 0, 240, 288, "y", LoadSet(live=40))
    ends = [Support("l", 0, "y", 0, 0, 288), Support("r", 0, "y", 240, 0, 288)]
    found = Frame([*box(0), *ends, beam], [area]).follow()
    post = [a for a in found.ground if a.source == "b"]
    assert [(a.x, a.y, a.load.live) for a in post] == [(120, 144, pytest.approx(4800))]
    assert found.spots("l")[0].load.live == pytest.approx(2400)
    assert not found.findings


def test_what_stands_on_nothing_is_named():
    """A beam with an end in the air, and joists with an edge in the air."""
    beam = Support("b", 1, "x", 144, 0, 120, beam=True)
    area = JoistField("f", 1, 0, 0, 240, 288, "y", LoadSet(live=40))
    found = Frame([*box(0), *box(1), beam], [area]).follow()
    assert any(
        text.startswith("b: nothing is drawn under one of its ends") for text in found.findings
    )
    lone = Frame(box(0)[:1], [JoistField("f", 0, 0, 0, 240, 288, "y", LoadSet(live=40))]).follow()
    assert lone.findings == ["f: joists without a line to rest on at one end"]
