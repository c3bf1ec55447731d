"""The ``span`` and ``beam`` commands: text, JSON, units and refusals."""

import json
import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from walltriage.commands import beam, span
from walltriage.errors import InputError
from walltriage.rules_folder import default_rules_folder

SPAN = ["--use", "floor", "--size", "2x10", "--species", "SPF", "--grade", "No.2",
        "--spacing", "16in", "--live", "40psf", "--dead", "10psf"]  # fmt: skip
BEAM = ["--opening", "10 ft", "--dead", "140plf", "--live", "280plf"]


def run(command, args: list[str]) -> str:
    result = CliRunner().invoke(command, args)
    if result.exception and not isinstance(result.exception, SystemExit):
        raise result.exception
    assert result.exit_code == 0, result.output
    return result.output


def changed(args: list[str], **options: str) -> list[str]:
    out = list(args)
    for name, value in options.items():
        flag = "--" + name.replace("_", "-")
        if flag in out:
            out[out.index(flag) + 1] = value
        else:
            out += [flag, value]
    return out


def test_span_text() -> None:
    out = run(span.command, SPAN)
    assert out.startswith("2x10 SPF No.2 at 16 in: 15 ft 5 in, governed by bending\n")
    assert out.rstrip().endswith("not for construction.")


def test_span_json() -> None:
    data = json.loads(run(span.command, [*SPAN, "--json"]))
    assert data["span_in"] == pytest.approx(184.647)
    assert data["span"] == "15 ft 5 in"
    assert data["governs"] == "bending"
    assert {check["name"] for check in data["checks"]} >= {"bending", "live deflection", "shear"}
    assert "not for construction" in data["note"]


def test_span_of_unknown_lumber() -> None:
    args = [a for a in SPAN if a not in ("--species", "SPF", "--grade", "No.2")]
    out = run(span.command, args)
    assert [line.split(":")[0] for line in out.splitlines() if "governed" in line] == [
        "lowest", "usual", "highest",
    ]  # fmt: skip
    data = json.loads(run(span.command, [*args, "--json"]))
    low, usual, high = (data["range"][word]["span_in"] for word in ("lowest", "usual", "highest"))
    assert low < usual == data["span_in"] < high


def test_span_in_metric_is_the_same() -> None:
    metric = changed(SPAN, spacing="40.64 cm", live="1.9152103 kPa", dead="0.47880259 kPa")
    assert run(span.command, [*metric, "--json"]) == run(span.command, [*SPAN, "--json"])
    assert "4.69 m, governed by bending" in run(span.command, metric)


def test_span_deflection_and_duration() -> None:
    stiff = json.loads(run(span.command, [*changed(SPAN, deflection="L/480"), "--json"]))
    assert stiff["governs"] == "live deflection"
    longer = json.loads(run(span.command, [*changed(SPAN, duration="1.25"), "--json"]))
    assert longer["governs"] == "live deflection"
    assert longer["span_in"] == pytest.approx(188.033, abs=0.01)


@pytest.mark.parametrize(
    ("options", "told"),
    [
        ({"size": "2x11"}, "did you mean '2x10'"),
        ({"species": "SPFF"}, "did you mean 'SPF'"),
        ({"grade": "No.22"}, "did you mean 'No.2'"),
        ({"spacing": "16psf"}, "--spacing"),
        ({"spacing": "0"}, "spacing"),
        ({"spacing": "90 ft"}, "accepted: 4 in to 4 ft"),
        ({"live": "-40psf"}, "--live"),
        ({"live": "40plf"}, "--live"),
        ({"dead": "much"}, "--dead"),
        ({"deflection": "stiff"}, "--deflection"),
        ({"duration": "9"}, "duration"),
    ],
)
def test_span_refuses(options: dict[str, str], told: str) -> None:
    with pytest.raises(InputError) as caught:
        run(span.command, changed(SPAN, **options))
    assert told in str(caught.value)


def test_beam_text_says_what_must_be_said() -> None:
    out = run(beam.command, BEAM)
    assert "beams tried pass these checks" in out
    assert "nothing under it is the classic mistake" in out
    assert out.rstrip().endswith("not for construction.")


def test_beam_json() -> None:
    data = json.loads(run(beam.command, [*BEAM, "--point", "1200 lb @ 4 ft", "--json"]))
    assert data["works"] is True
    first = data["members"][0]
    assert first["utilisation"] <= 1
    assert {check["name"] for check in first["checks"]} >= {"bending", "shear", "left bearing"}
    left, right = first["ends"]["left"], first["ends"]["right"]
    assert left["reaction_lb"] > right["reaction_lb"]  # the point stands left of the middle
    assert data["way_down"]
    assert "not for construction" in first["note"]


def test_steps_are_printed_when_asked() -> None:
    assert "L_bending = sqrt(8 Fb' S / w)" in run(span.command, [*SPAN, "--steps"])
    out = run(beam.command, [*BEAM, "--steps"])
    assert "fb = M / S" in out
    assert "A_footing = R / soil pressure" in out
    assert "fb = M / S" not in run(beam.command, BEAM)


def test_beam_point_load_by_kind() -> None:
    plain = json.loads(run(beam.command, [*BEAM, "--point", "900 lb @ 5 ft", "--json"]))
    snow = json.loads(run(beam.command, [*BEAM, "--point", "900 lb snow @ 5 ft", "--json"]))
    assert plain["members"][0]["combination"] == "D + L"
    assert snow["members"] != plain["members"]


def test_beam_when_nothing_works() -> None:
    args = changed(BEAM, opening="29 ft", dead="1400plf", live="2800plf")
    assert "Nothing listed works" in run(beam.command, args)
    data = json.loads(run(beam.command, [*args, "--json"]))
    assert data["works"] is False
    assert data["members"] == []
    assert data["nearest"]["utilisation"] > 1


def test_beam_in_metric_is_the_same() -> None:
    metric = changed(BEAM, opening="3.048 m", dead="2.0431455 kN/m", live="4.0862910 kN/m")
    inches, meters = (
        json.loads(run(beam.command, [*args, "--json"]))["members"] for args in (BEAM, metric)
    )
    assert [row["member"] for row in inches] == [row["member"] for row in meters]
    for one, other in zip(inches, meters, strict=True):
        assert one["utilisation"] == pytest.approx(other["utilisation"], abs=1e-4)
    assert " over 3.09 m:" in run(beam.command, metric)


IN_FEET = re.compile(r"\d (?:psi|psf|plf|lb|in|ft|sq ft)\b")


@pytest.mark.parametrize(
    ("module", "args", "shown"),
    [
        # 1,000 plf on 10 ft: 14.6 kN/m on 3.05 m, 22.3 kN and more at each end
        (beam, ["--opening", "3.048 m", "--dead", "4.864 kN/m", "--live", "9.73 kN/m", "--flush"],
         "kN; footing"),
        (beam, ["--opening", "3 m", "--point", "5 kN @ 1 m", "--dead", "1 kN/m"], "MPa"),
        (beam, ["--spans", "3 m, 2 m", "--overhang", "right 1 m", "--live", "8 kN/m"], " mm of "),
        (beam, ["--header", "roof", "--house-width", "8.5 m", "--ground-snow", "1.4 kPa"],
         "ground snow 1.40 kPa"),
        (span, ["--use", "floor", "--size", "2x10", "--species", "SPF", "--grade", "No.2",
                "--spacing", "40 cm", "--live", "1.9 kPa", "--dead", "0.5 kPa", "--spans", "2"],
         "at 400.0 mm over two equal spans"),
    ],
)  # fmt: skip
def test_metric_in_is_metric_out(module, args: list[str], shown: str) -> None:
    """Nothing is answered in feet, inches or pounds but what published tables name by them."""
    text = run(module.command, args)
    assert shown in text
    left = text.replace("studs 16 in apart", "")  # the code's own words
    assert not IN_FEET.search(left), IN_FEET.search(left)


def test_one_metric_load_is_enough() -> None:
    """An opening in feet under kilonewtons a meter is answered in meters as well."""
    assert "kN; footing" in run(beam.command, ["--opening", "10 ft", "--live", "5 kN/m"])


def test_steps_tell_both() -> None:
    """The arithmetic goes by inches and pounds, each result told in metric units behind it."""
    text = run(beam.command, [*changed(BEAM, opening="3.048 m"), "--steps"])
    fb = re.search(r"fb = M / S = .* = ([\d,.]+) psi .*\(([\d.]+) MPa\)", text)
    assert fb is not None
    # 1 MPa is 145.04 psi (by definition of pound-force and inch)
    assert float(fb[2]) * 145.04 == pytest.approx(float(fb[1].replace(",", "")), rel=2e-3)


def test_headers_by_house_width_and_snow() -> None:
    """3-2x10 inside, one floor, 24 ft wide: 8-1 and one stud (IRC R602.7(2), from memory)."""
    asked = ["--header", "interior_one_floor", "--house-width", "24 ft"]
    rows = json.loads(run(beam.command, [*asked, "--json"]))["headers"]
    found = next(row for row in rows if row["header"] == "3-2x10")
    assert abs(found["span_in"] - 97) <= 2
    assert found["studs"] == 1
    assert "3-2x10" in run(beam.command, asked)


def test_an_opening_or_a_header_is_asked_for() -> None:
    for args in (["--dead", "100"], ["--header", "roof"]):
        result = CliRunner().invoke(beam.command, args)
        assert isinstance(result.exception, InputError)
        assert "is missing" in str(result.exception)


@pytest.mark.parametrize(
    ("options", "told"),
    [
        ({"opening": "90 ft"}, "accepted: 12 in to 30 ft"),
        ({"opening": "0"}, "opening"),
        ({"opening": "wide"}, "--opening"),
        ({"dead": "140psf"}, "--dead"),
        ({"dead": "0", "live": "0"}, "there is none"),
        ({"live": "-1"}, "--live"),
        ({"point": "1200 lb"}, "--point"),
        ({"point": "@ 4 ft"}, "--point"),
        ({"point": "-1200 lb @ 4 ft"}, "'-1200 lb' is not a load in lb"),
        ({"point": "-1200 lb @ 4 ft"}, "accepted: 0 to 60,000 lb"),
        ({"point": "90 kips @ 4 ft"}, "90000 lb is out of range; accepted: 0 lb to 60000 lb"),
        ({"point": "1200 lb @ 14 ft"}, "off the opening"),
        ({"soil": "mud"}, "soil"),
        ({"species": "oak"}, "species"),
        ({"height": "90 ft"}, "height"),
    ],
)
def test_beam_refuses(options: dict[str, str], told: str) -> None:
    with pytest.raises(InputError) as caught:
        run(beam.command, changed(BEAM, **options))
    assert told in str(caught.value)


@pytest.mark.parametrize("module", [span, beam])
def test_help_has_an_example(module) -> None:
    out = run(module.command, ["--help"])
    assert "Example:" in out
    assert f"walltriage {module.command.name}" in out


def test_own_rules_folder(tmp_path: Path) -> None:
    shutil.copytree(default_rules_folder(), tmp_path / "rules")
    path = tmp_path / "rules" / "members" / "species.yaml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("No.2: [875, 450, 135", "No.2: [700, 450, 135"), encoding="utf-8")
    own = json.loads(run(span.command, [*SPAN, "--json", "--rules", str(tmp_path / "rules")]))
    assert own["span_in"] == pytest.approx(184.647 * 0.8**0.5, abs=0.01)
    with pytest.raises(InputError, match=r"sources\.yaml"):
        run(span.command, [*SPAN, "--rules", str(tmp_path)])


def test_long_term_sag_is_for_information() -> None:
    """No limit of the code, so it neither decides nor stands there without saying so."""
    out = run(beam.command, BEAM)
    (line,) = [line for line in out.splitlines() if "long-term sag" in line]
    assert line.endswith("for information")
    data = json.loads(run(beam.command, [*BEAM, "--json"]))
    for member in data["members"]:
        (sag,) = [one for one in member["checks"] if one["name"] == "long-term sag"]
        assert sag["decides"] is False


def test_every_factor_from_the_published_value_on() -> None:
    """3-2x10 SPF No.2: Fb 875 x CM 1 x CF 1.1 x Cr 1.15 x CD 1 x CL 1 = 1,107 psi (NDS Supplement
    table 4A, from memory)."""
    data = json.loads(run(beam.command, [*BEAM, "--kind", "sawn", "--json"]))
    member = next(one for one in data["members"] if one["member"] == "3-2x10 SPF No.2")
    step = next(one for one in member["steps"] if one["symbol"] == "Fb'")
    assert step["formula"] == "Fb x CM x CF x Cr x CD x CL"
    assert step["numbers"] == "875 x 1 x 1.1 x 1.15 x 1 x 1"
    assert step["result"] == pytest.approx(875 * 1.1 * 1.15)
