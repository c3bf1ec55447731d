"""Beams over several supports and with free ends, and joists over two spans, by hand."""

import json

import pytest
from click.testing import CliRunner

from walltriage.case.read import parse_case
from walltriage.commands import beam, span
from walltriage.errors import InputError
from walltriage.structure.continuous import Supported, check_continuous, findings
from walltriage.structure.loads import LoadSet
from walltriage.structure.spans import allowable_span
from walltriage.structure.stock import glulam_beam, sawn_beam
from walltriage.structure.strips import PointLoad
from walltriage.structure.two_span import one_span_sag, worked_two_spans


@pytest.fixture(scope="module")
def member(tables):
    return sawn_beam(tables, "2x12", "SPF", "No.2", 3)


def check(result, name):
    return next(one for one in result.checks if one.name == name)


def test_two_equal_spans_by_coefficients(tables, member):
    """Hogging moment 0.125 w L^2; reactions 1.25 w L, and 0.375 w_dead + 0.4375 w_live at the end
    of a span loaded alone (AISC Manual Table 3-23, from memory); sagging R^2 / 2 w (statics)."""
    dead, live, length = 200 - member.weight_plf, 300.0, 144.0
    found = check_continuous(tables, member, Supported((length,) * 2), LoadSet(dead, live))
    s, total = member.section.s_in3, 500 / 12
    hogging = check(found, "bending over supports")
    assert hogging.demand == pytest.approx(total * length**2 / 8 / s)
    end = 0.375 * 200 + 0.4375 * 300  # of L, at the end of the loaded span; shear is 0 at end / w
    sagging = end**2 / (2 * 500) / 12 * length**2
    assert check(found, "bending, top held").demand == pytest.approx(sagging / s)
    assert check(found, "shear").demand == pytest.approx(
        1.5 * 5 / 8 * total * length / member.section.area_in2
    )
    end, middle, _ = found.reactions
    assert middle.most_lb == pytest.approx(1.25 * total * length)
    assert end.most_lb == pytest.approx((0.375 * 200 + 0.4375 * 300) / 12 * length)


def test_glulam_bent_up_has_its_lower_value(tables):
    """24F-1.8E: 1,450 psi where the top is in tension, 2,400 psi below (NDS Supplement 5A, from
    memory)."""
    glulam = glulam_beam(tables, 5.125, 12.0)
    found = check_continuous(tables, glulam, Supported((120.0, 120.0)), LoadSet(100.0, 200.0))
    up, down = check(found, "bending over supports"), check(found, "bending, top held")
    assert down.limit == pytest.approx(2400)
    assert up.limit <= 1450
    assert up.limit == pytest.approx(1450, rel=0.02)


def test_a_free_end_by_hand(tables, member):
    """10 ft and 3 ft free: M = w a^2 / 2 over the support, R = w (L + a)^2 / 2 L."""
    dead = 200 - member.weight_plf
    supported = Supported((120.0,), (0.0, 36.0))
    found = check_continuous(tables, member, supported, LoadSet(dead, 300.0))
    w, s = 500 / 12, member.section.s_in3
    assert check(found, "bending over supports").demand == pytest.approx(w * 36**2 / 2 / s)
    assert found.reactions[1].most_lb == pytest.approx(w * 156**2 / 240)
    assert not [told for told in findings(found) if "LIFTED" in told]


def test_a_load_at_a_free_end_lifts_the_other(tables, member):
    """P a / L less the dead load there: 4,000 x 36 / 120 = 1,200 lb (statics, D + L)."""
    dead = LoadSet(dead=30 - member.weight_plf)
    point = PointLoad("p", 156.0, LoadSet(live=4000.0))
    found = check_continuous(tables, member, Supported((120.0,), (0.0, 36.0)), dead, (point,))
    least = 30 / 12 * (120**2 - 36**2) / 240 - 1200
    assert found.reactions[0].least_lb == pytest.approx(least)
    assert f"LIFTED by up to {-least:,.0f} lb" in findings(found)[0]


def test_joists_over_two_spans(tables):
    """2x10 SPF No.2 at 16 in, 40 + 10 psf: bending as for a simple span, 15-5 (IRC R502.3.1(2),
    SPF No.2 15-5, seen), since M = w L^2 / 8 both times; deflection farther by (0.01302 / c)^(1/3)
    where c = 0.0092 with one span loaded (AISC Manual Table 3-23, from memory)."""
    asked = {"use": "floor", "size": "2x10", "species": "SPF", "grade": "No.2", "spacing_in": 16,
             "live_psf": 40, "dead_psf": 10}  # fmt: skip
    one, two = (
        allowable_span(tables, **asked),
        allowable_span(tables, **asked, work=worked_two_spans),
    )
    assert one_span_sag() == pytest.approx(0.0092, rel=0.01)
    assert two.span_in == pytest.approx(one.span_in)
    assert two.governs == one.governs == "bending"
    assert two.reaction_lb == pytest.approx(10 / 8 * 50 * 16 / 144 * two.span_in)
    stiff = {step.symbol: step.result for step in two.steps}["L_deflection"]
    simple = {step.symbol: step.result for step in one.steps}["L_deflection"]
    assert stiff / simple == pytest.approx((5 / 384 / one_span_sag()) ** (1 / 3))


BEAM = [
    "--spans",
    "12 ft, 10 ft",
    "--overhang",
    "right 2 ft",
    "--dead",
    "140plf",
    "--live",
    "280plf",
]


def run(command, args):
    result = CliRunner().invoke(command, args)
    if result.exception and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result.output


def test_the_commands():
    out = run(beam.command, BEAM)
    assert "beams tried pass these checks" in out
    assert "support at 12 ft" in out
    data = json.loads(run(beam.command, [*BEAM, "--point", "900 lb @ 24 ft", "--json"]))
    assert data["works"]
    assert [row["at_in"] for row in data["supports"]] == [0, 144, 264]
    metric = ["--spans", "3.6 m, 3 m", "--dead", "2 kN/m", "--live", "4 kN/m"]
    assert "support at 3.60 m" in run(beam.command, metric)
    joist = ["--use", "floor", "--size", "2x10", "--species", "SPF", "--grade", "No.2",
             "--spacing", "16in", "--live", "40psf", "--dead", "10psf", "--spans", "2"]  # fmt: skip
    assert "over two equal spans: 15 ft 5 in" in run(span.command, joist)


@pytest.mark.parametrize(
    ("args", "told"),
    [
        (["--spans", "61 ft", "--live", "40"], "accepted: 12 in to 30 ft"),
        (["--spans", "0 ft", "--live", "40"], "span"),
        (["--spans", "8 ft, 8 ft, 8 ft, 8 ft, 8 ft", "--live", "40"], "expected 1 to 4"),
        (["--spans", "8 ft", "--overhang", "9 ft", "--live", "40"], "such as 'right 2 ft'"),
        (["--spans", "8 ft", "--overhang", "left 9 ft", "--live", "40"], "expected 0 to 96 in"),
        (["--spans", "8 ft"], "there is none"),
        (["--spans", "8 ft", "--snow", "-20"], "--snow: '-20' is not a load in plf"),
        (["--spans", "8 ft", "--snow", "-20"], "accepted: 0 to 10,000 plf"),
        (["--opening", "61 ft", "--live", "40"], "61 ft is out of range; accepted: 12 in to 30 ft"),
        (["--spans", "8 ft", "--live", "40", "--point", "9 lb @ 9 ft"], "off the beam"),
        (
            ["--header", "roof", "--house-width", "28 ft", "--ground-snow", "-20psf"],
            "--ground-snow: '-20psf' is not a load in psf; expected a number in psf, or in kpa or "
            "kn/m2; accepted: 0 to 300 psf",
        ),
    ],
)
def test_silly_input_is_refused_with_what_is_sensible(args, told):
    with pytest.raises(InputError) as caught:
        run(beam.command, args)
    assert told in str(caught.value)


@pytest.mark.parametrize(
    ("command", "args", "told"),
    [
        (beam, ["--opening", "25 m", "--live", "4 kN/m"],
         "opening: 24.99 m is out of range; accepted: 305 mm to 9.14 m"),
        (beam, ["--opening", "3 m", "--live", "900 kN/m"], "accepted: 0.00 kN/m to 145.94 kN/m"),
        (beam, ["--opening", "3 m", "--live=-4 kN/m"], "accepted: 0.00 to 145.94 kN/m"),
        (span, ["--use", "floor", "--size", "2x10", "--spacing", "40 cm", "--live", "0 kPa",
                "--dead", "0.5 kPa"],
         "0.00 kPa is out of range; accepted: 0.24 kPa to 11.97 kPa"),
        (beam, ["--opening", "3 miles", "--live", "4 kN/m"],
         "expected a length such as 12 ft 6 in, 12'-6\", 12.5 ft, 3.81 m"),
    ],
)  # fmt: skip
def test_asked_in_metric_the_range_is_metric(command, args, told):
    """By hand: 30 ft x 0.3048 = 9.14 m, 250 psf x 0.04788 = 11.97 kPa."""
    with pytest.raises(InputError) as caught:
        run(command.command, args)
    assert told in str(caught.value)


@pytest.mark.parametrize(
    ("live", "told"),
    [
        ("0", "0 psf is out of range; accepted: 5 psf to 250 psf"),
        ("0psf", "0 psf is out of range; accepted: 5 psf to 250 psf"),
        ("-40psf", "'-40psf' is not a load in psf; expected a number in psf, or in kpa or kn/m2; "
         "accepted: 5 to 250 psf"),
        ("900psf", "900 psf is out of range; accepted: 5 psf to 250 psf"),
    ],
)  # fmt: skip
def test_no_pressure_is_no_load(live, told):
    joist = ["--use", "floor", "--size", "2x10", "--spacing", "16in", "--live", live,
             "--dead", "10psf"]  # fmt: skip
    with pytest.raises(InputError) as caught:
        run(span.command, joist)
    assert told in str(caught.value)


@pytest.mark.parametrize(
    ("answers", "told"),
    [
        ("distance_one_side: 81 ft", "'81 ft' is out of range; expected 1 ft to 80 ft"),
        ("held_distance_other_side: 70 ft", "'70 ft' is out of range; expected 1 ft to 60 ft"),
        ("wall_length: 0", "'0' is out of range; expected 6 in to 150 ft"),
        ("distance_one_side: 25 m", "'25 m' is out of range; expected 0.30 m to 24.38 m"),
    ],
)
def test_a_case_file_is_held_to_what_a_house_can_be(full, answers, told):
    """No joist of a house spans 60 ft; snow is never less than none."""
    head = "schema: walltriage/case/1\nwalls:\n- id: w1\n  answers: "
    with pytest.raises(InputError) as caught:
        parse_case(f"{head}{{{answers}}}\n", "c.yaml", full.base.questions)
    assert told in str(caught.value)


def test_snow_below_none_is_refused(full):
    text = "schema: walltriage/case/1\nhouse: {ground_snow: -30}\nwalls: [{id: w1}]\n"
    with pytest.raises(InputError, match="'-30' is out of range; expected 0 to 400"):
        parse_case(text, "c.yaml", full.base.questions)
