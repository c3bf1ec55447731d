"""The worked example: the hand sums, what the program says, and what the page prints."""

from __future__ import annotations

import math

import pytest

from tests.conftest import HERE
from walltriage.case.read import parse_case, read_case
from walltriage.report.below_words import below_words

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
    assert w1.governing_plf.usual == pytest.approx(65 + 48 + 130 + 48 + 130 + 520)
    for number in (w1.governing_plf.high, w2.governing_plf.high, w1.governing_plf.low,
                   w1.governing_plf.usual):  # fmt: skip
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


def test_a_girder_whose_size_was_measured(full):
    """4-2x12 of the weakest of DFL, HF, SP and SPF No.2 (Fb x Cr: SP 750 x 1.15; Fv 135, SPF;
    E 1.3e6, HF: NDS Supplement 4A and 4B, from memory), under the demand worked out above."""
    text = (DOCS / "worked-example.yaml").read_text(encoding="utf-8")
    measured = text.replace("{name: girder,", "{name: girder, size: 4-2x12,")
    case = parse_case(measured, "c.yaml", full.base.questions)
    point = full.finding(case).walls[0].numbers.sizing.below[0]
    girder, section = point.girder, (6.0, 11.25)
    modulus = section[0] * section[1] ** 2 / 6
    assert girder.bending == pytest.approx(12 * point.after.moment_lb_ft / (750 * 1.15 * modulus))
    assert girder.shear == pytest.approx(1.5 * point.after.shear_lb / (135 * 6 * 11.25))
    assert girder.deflection == pytest.approx(
        point.after.stiffness_lb_in2 / (1.3e6 * 6 * 11.25**3 / 12)
    )
    # before, uniform: E I = 5 w L^4 / 384 over L / 240 (statics)
    stiff = 5 * 1850 / 12 * 144**4 / 384 * 240 / 144
    assert point.before.stiffness_lb_in2 == pytest.approx(stiff, rel=1e-6)
    assert not girder.works
    assert "DOES NOT PASS" in below_words(point)


def test_the_post_in_place_of_studs(finding):
    """4x8 DFL No.2: Fc 1,350 x CF 1.05, Emin 0.58e6 (NDS Supplement 4A, from memory)."""
    (post,) = finding.walls[0].numbers.sizing.ends[0].posts
    area, fc = 3.5 * 7.25, 1350 * 1.05
    euler = 0.822 * 580_000 / (97 / 3.5) ** 2
    half = (1 + euler / fc) / 1.6
    stability = half - (half**2 - euler / fc / 0.8) ** 0.5
    assert post.label.startswith("4x8")
    assert 425 * area < fc * stability * area
    assert post.capacity_lb == pytest.approx(425 * area)
    for number in (euler, fc * stability * area, post.capacity_lb):
        printed(number)
    assert f"Cp {stability:.3f}" in PAGE


def test_joists_without_the_wall(finding):
    """Statics and NDS Supplement 4A values: the best by sag, the weakest by bending."""
    compared = finding.walls[0].numbers.span.compared
    inertia, modulus = 1.5 * 9.25**3 / 12, 1.5 * 9.25**2 / 6
    best = (384 * 1.9e6 * inertia / (5 * 30 * 16 / 144 * 360)) ** (1 / 3)
    weakest = (8 * 350 * 1.1 * 1.15 * modulus / (55 * 16 / 144)) ** 0.5
    assert compared.cuts.highest_in == pytest.approx(best)
    assert compared.cuts.lowest_in == pytest.approx(weakest)
    assert (compared.to_highest, compared.to_lowest) == pytest.approx((312 / best, 312 / weakest))
    for number in (best, weakest):
        assert f"**{number:.0f} in**" in PAGE
        assert f"**{312 / number:.2f}**" in PAGE


def test_all_that_comes_to_the_ground(full, finding):
    """Published loads on 832 sq ft, written out; no stud wall round the crawl space."""
    case = read_case(DOCS / "worked-example.yaml", full.base.questions)
    work = full.house_work(case, {wall.id: wall.verdict for wall in finding.walls})
    area, around = 32 * 26, 2 * (32 + 26)
    parts = (2 * 10 * area, 5 * area, 12 / math.cos(math.radians(26)) * area,
             2 * 8 * 8 * around, 6 * 8 * (32 + 32))  # fmt: skip
    dead, live, snow = sum(parts), (2 * 40 + 10) * area, 0.7 * 30 * area
    ground = work.loads.ground()
    assert (ground.dead, ground.live, ground.snow) == pytest.approx((dead, live, snow))
    for number in (*parts, dead, live, snow, dead + 0.75 * (live + snow), dead + live):
        printed(number)
    assert finding.house.ground_lb == pytest.approx(dead + live)


def test_full_height_studs(finding):
    """By clauses 3.7.1 and 3.9.2, written out in tests/unit/structure/test_king_studs.py."""
    kings = finding.walls[0].numbers.sizing.ends[0].kings
    axial, moment = 1174 * 16 / 24, 5 * (192 + 16) / 24 / 12 * 97**2 / 8
    assert [step.result for step in kings.steps[:2]] == pytest.approx([axial, moment])
    euler = 0.822 * 440_000 / (97 / 5.5) ** 2
    half = (1 + euler / 725) / 1.6
    stability = half - (half**2 - euler / 725 / 0.8) ** 0.5
    stress, bent = axial / 8.25, moment / (1.5 * 5.5**2 / 6)
    ratio = (stress / (725 * stability)) ** 2 + bent / (675 * (1 - stress / euler))
    assert (kings.count, kings.ratio, kings.outside) == (1, pytest.approx(ratio), 6)
    for number in (axial, moment, stress, bent, euler, 725 * stability):
        printed(number)
    assert f"**{ratio:.2f}**" in PAGE
    assert f"Cp {stability:.3f}" in PAGE


def test_a_post_and_pad_that_were_measured(full):
    """6x6 of SPF No.2, Fc 500, Emin 0.37e6 (NDS Supplement 4D, from memory); hem-fir 405 across."""
    text = (DOCS / "worked-example.yaml").read_text(encoding="utf-8")
    place = "left: 12 ft, front: 13 ft"
    measured = text.replace(place, f"{place}, size: 6x6, height: 3 ft, footing: 42 in")
    case = parse_case(measured, "c.yaml", full.base.questions)
    point = full.finding(case).walls[0].numbers.sizing.below[0]
    post, other = point.posts
    load = 1850 * 8 + 676 * 4 + 9392 - 13448 + 676 * 8 / 2
    assert (post.from_start_in, post.load_lb) == (144, pytest.approx(load, abs=0.5))
    assert post.before_lb == pytest.approx(1850 * (12 + 8) / 2)
    euler = 0.822 * 370_000 / (36 / 5.5) ** 2
    half = (1 + euler / 500) / 1.6
    stability = half - (half**2 - euler / 500 / 0.8) ** 0.5
    ratios = (load / (500 * stability * 5.5**2), load / (405 * 5.5**2), load / (1500 * 3.5**2))
    assert (post.column, post.crushing, post.pad) == pytest.approx(ratios, rel=1e-3)
    for ratio in ratios:
        assert f"**{ratio:.0%}**".replace("%", " %") in PAGE
    printed(load)
    printed(euler)
    assert not post.works
    assert other.unchecked == ("post", "footing")
    told = below_words(point)
    assert "DOES NOT PASS: a 6x6 3 ft high at 108% as a column" in told
    assert told.endswith("the girder, the other post, the other footing")


def test_temporary_lines(finding):
    shored = finding.walls[0].numbers.shoring
    assert shored.one_side_plf.high == pytest.approx(1174 * 0.5 * 13 / 10)
    printed(shored.one_side_plf.high)
