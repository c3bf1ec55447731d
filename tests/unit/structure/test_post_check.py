"""Posts and pads that were measured, under the load of a new point."""

from __future__ import annotations

import pytest

from walltriage.structure.columns import measured_post_lb
from walltriage.structure.frame_parts import Prop, Support
from walltriage.structure.post_check import GirderReaction, check_posts
from walltriage.structure.tables import Tables

GIRDER = Support(
    "girder", 0, "x", 156, 12, 396, beam=True, posts=(156, 252), size="3-2x10",
    props=(Prop(156, "6x6", 84, 24), Prop(252)),
)  # fmt: skip


def stability(emin: float, fc: float, slender: float) -> float:
    """Clause 3.7.1 with c = 0.8, written out."""
    a = 0.822 * emin / slender**2 / fc
    return (1 + a) / 1.6 - (((1 + a) / 1.6) ** 2 - a / 0.8) ** 0.5


def test_a_timber_by_hand(tables: Tables) -> None:
    """6x6, 7 ft: the weakest of four No.2 is SPF, Fc 500, Emin 0.37e6 (Table 4D, from memory)."""
    wanted = 500 * stability(370_000, 500, 84 / 5.5) * 5.5**2
    assert measured_post_lb(tables, "6x6", 84) == pytest.approx(wanted)


def test_one_piece_by_hand(tables: Tables) -> None:
    """4x4, 8 ft: hem-fir, Emin 0.47e6, is the weakest, its Fc of 1,300 x 1.15 not the least."""
    hem_fir = 1495 * stability(470_000, 1495, 96 / 3.5) * 12.25
    spruce = 1322.5 * stability(510_000, 1322.5, 96 / 3.5) * 12.25
    assert hem_fir < spruce
    assert measured_post_lb(tables, "4x4", 96) == pytest.approx(hem_fir)


def test_nailed_plies_by_hand(tables: Tables) -> None:
    """3-2x6, 8 ft (clause 15.3): 0.6 across the plies, d = 4.5 in; the least of the two ways."""
    found = measured_post_lb(tables, "3-2x6", 96)
    four = []
    for fc, emin in (
        (1350 * 1.1, 0.58e6),
        (1300 * 1.1, 0.47e6),
        (1400.0, 0.51e6),
        (1265.0, 0.51e6),
    ):
        across, along = stability(emin, fc, 96 / 4.5), stability(emin, fc, 96 / 5.5)
        four.append(fc * min(0.6 * across, along) * 4.5 * 5.5)
    assert found == pytest.approx(min(four))


def test_a_post_too_slender_carries_nothing(tables: Tables) -> None:
    """Slenderness over 50 (clause 3.7.1.4)."""
    assert measured_post_lb(tables, "4x4", 3.5 * 50 + 1) == 0


def test_a_measured_post_and_its_pad(tables: Tables) -> None:
    """12,000 lb grow to 18,000: column, crushing of the girder at 405 psi, ground at 1,500 psf."""
    before = (
        GirderReaction(0, 4e3),
        GirderReaction(144, 12e3),
        GirderReaction(240, 9e3),
        GirderReaction(384, 4e3),
    )
    after = (
        GirderReaction(0, 4e3),
        GirderReaction(144, 18e3),
        GirderReaction(240, 7e3),
        GirderReaction(384, 4e3),
    )
    measured, unknown = check_posts(tables, GIRDER, before, after)
    assert (measured.from_start_in, measured.before_lb, measured.load_lb) == (144, 12e3, 18e3)
    assert measured.column == pytest.approx(18e3 / measured_post_lb(tables, "6x6", 84))
    assert measured.crushing == pytest.approx(18e3 / (405 * 4.5 * 5.5))
    assert measured.pad == pytest.approx(18e3 / (1500 * 4))
    assert not measured.works
    assert measured.unchecked == ()
    assert (unknown.column, unknown.crushing, unknown.pad) == (None, None, None)
    assert unknown.unchecked == ("post", "footing")


@pytest.mark.parametrize(
    ("post", "girder", "seat"),
    [
        ("4x6", "3-2x10", 3.5 * 5.5),
        ("4x6", "2-2x10", 3.0 * 5.5),
        ("4x6", "", 3.5 * 5.5),
        ("3-2x4", "2-2x10", 3.0 * 4.5),
    ],
)
def test_where_post_and_girder_touch(tables: Tables, post: str, girder: str, seat: float) -> None:
    """The better way to stand a post is taken: the greater common area (geometry)."""
    line = Support("g", 0, "x", 0, 0, 240, beam=True, posts=(120,), size=girder,
                   props=(Prop(120, post),))  # fmt: skip
    (found,) = check_posts(tables, line, (GirderReaction(120, 1.0),), (GirderReaction(120, 8e3),))
    assert found.crushing == pytest.approx(8e3 / (405 * seat))
