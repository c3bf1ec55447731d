"""The opening-up plan: places without a gap, only steps that can help, none for a settled wall."""

from __future__ import annotations

import json
from dataclasses import replace
from itertools import pairwise

import jsonschema
import pytest
from click.testing import CliRunner

from tests.conftest import HERE
from walltriage.case.looks import Found, Look, WallLooks
from walltriage.case.model import Answer, Case, Wall
from walltriage.cli import main
from walltriage.inference.looks.opening_plan import opening_plan, spots_left
from walltriage.inference.seen_along import Reach, covers
from walltriage.report.elevation import elevation, elevation_lines, told
from walltriage.report.opening_words import outcome_words, place_words
from walltriage.report.svg import svg

REACH = Reach(48.0, 12.0)


@pytest.mark.parametrize("length_in", [8, 30, 60, 61, 100.5, 168, 169.25, 400])
def test_places_followed_leave_no_gap(length_in):
    """Whoever opens where the plan says has seen the wall, and no more holes are asked then."""
    spots = spots_left(length_in, [], REACH)
    seen = [(spot, spot) for spot in spots]
    assert covers(seen, length_in, REACH)
    assert all(b - a <= 48 for a, b in pairwise(spots))
    assert spots_left(length_in, seen, REACH) == ()


def test_places_seen_already_are_left_out():
    """Half of the wall from the attic, and one hole."""
    assert spots_left(168, [(0, 100), (123, 123)], REACH) == (162.0,)


def plan(full, looks):
    case = Case("c", walls=(Wall("w1", looks=looks),))
    wall = full.finding(case).walls[0]
    return wall, wall.opening


def test_no_hole_is_planned_at_a_top_that_is_not_at_the_ceiling(full):
    """A low wall is open to the eye."""
    told = {"wall_height": Answer("stops_short", None, "stops_short")}
    wall = full.finding(Case("c", walls=(Wall("w1", answers=told),))).walls[0]
    assert wall.verdict == "cannot_tell"
    assert wall.opening is None


def test_a_wall_left_open_gets_steps_in_order(full):
    """Each with place, size, tool, outcomes, and what it cannot show; cautions first."""
    looks = WallLooks("the window end", length_in=168.0)
    wall, found = plan(full, looks)
    assert wall.verdict == "cannot_tell"
    names = [step.id for step in found.steps]
    assert names == ["covers_off", "camera_holes", "small_holes", "strip_along_top"]
    assert found.first
    holes = found.steps[2]
    assert holes.at_in == (6.0, 45.0, 84.0, 123.0, 162.0)
    where = place_words(holes, found)
    assert where.startswith("at 6 in, 3 ft 9 in, 7 ft, 10 ft 3 in, 13 ft 6 in, measured")
    assert all(seen.means in outcome_words(holes) for seen in holes.outcomes)


def test_without_a_length_the_wall_is_to_be_measured_first(full):
    """No place in feet is made up."""
    _, found = plan(full, None)
    assert all(not step.at_in for step in found.steps)
    assert "measure the wall first" in place_words(found.steps[2], found)


def test_steps_that_cannot_help_are_left_out(full):
    """A step whose load paths are all settled, and any wall with a verdict."""
    looks = WallLooks("the window end", length_in=168.0)
    wall, _ = plan(full, looks)
    paths = tuple(
        replace(path, status="ruled_out") if path.id in ("framing_above", "roof_struts") else path
        for path in wall.load_paths
    )
    found = opening_plan(full.base, replace(wall, load_paths=paths), looks, {})
    assert [step.id for step in found.steps] == ["strip_along_top"]
    roof_open = tuple(p for p in wall.load_paths if p.id == "roof_struts")
    found = opening_plan(full.base, replace(wall, load_paths=roof_open), looks, {})
    assert [step.id for step in found.steps] == ["small_holes", "strip_along_top"]
    bearing = replace(wall, verdict="likely_bearing")
    assert opening_plan(full.base, bearing, looks, {}) is None


@pytest.mark.parametrize(
    "told",
    [
        {"attic_fill": "pebbles"},
        {"recent_change": "clear_change"},
        {"work_begun": "creaks_or_dust"},
        {"wall_place": "shared"},
    ],
)
def test_no_hole_is_planned_or_asked_for_where_a_caution_forbids_it(full, told):
    """Fill that may hold asbestos, a frame that moves, a wall that keeps fire apart."""
    answers = {question: Answer(value, None, value) for question, value in told.items()}
    quiet, moved = (
        full.finding(Case("c", walls=(Wall("w1", answers=given),))).walls[0]
        for given in ({}, answers)
    )
    opened = {q for q, asked in full.base.questions.items() if asked.place == "opened"}
    assert quiet.opening is not None
    assert opened & {check.question for check in quiet.next_checks}
    assert moved.verdict == "cannot_tell"
    assert moved.opening is None
    checks = {check.question for check in moved.next_checks}
    assert not opened & checks
    if "attic_fill" in told:
        assert not {q for q in checks if full.base.questions[q].place == "attic"}


def test_the_elevation_shows_seen_not_seen_and_found():
    """In letters, in words and as a drawing."""
    looks = WallLooks(
        "the window end",
        length_in=168.0,
        looks=(
            Look("attic", 0, 84, saw="along", found=(Found("strut_foot", 42.0),)),
            Look("hole", 126, 126, saw="along"),
        ),
    )
    attic, hole, to_open, *_ = elevation_lines(looks, 168.0, (162.0,))
    assert attic.startswith("from the attic ====")
    assert attic.count("#") == 1
    assert attic.endswith(".....")
    assert hole.count("o") == 2  # one in the word
    assert to_open.count("^") == 1
    words = told(looks, 168.0)
    assert words[0] == (
        "From the attic, seen from 0 in to 7 ft of 14 ft: joists run along it, none on it"
    )
    assert words[1] == "From the attic, at 3 ft 6 in: roof brace"
    drawing = elevation(looks, 168.0, "kitchen wall", (162.0,))
    text = svg(drawing)
    assert "roof brace" in text
    assert "To open: at 13 ft 6 in" in text
    assert text.count("<circle") == 2
    assert elevation(looks, None, "kitchen wall") is None


def test_triage_writes_the_plan_as_json(tmp_path):
    """It holds to the published schema; a wall that is told has none."""
    path = tmp_path / "c.yaml"
    path.write_text(CASE, encoding="utf-8")
    result = CliRunner().invoke(main, ["triage", "--json", str(path)])
    assert result.exit_code == 0, result.output
    data = json.loads(result.output)
    schema = json.loads((HERE.parent / "docs" / "finding.schema.json").read_text(encoding="utf-8"))
    jsonschema.validate(data, schema, jsonschema.Draft202012Validator)
    open_wall, told_wall = data["walls"]
    assert open_wall["opening"]["zero_end"] == "the window end"
    assert open_wall["opening"]["steps"][2]["at_in"] == [6, 45, 84, 123, 162]
    assert told_wall["verdict"] == "likely_bearing"
    assert told_wall["opening"] is None


CASE = """
schema: walltriage/case/1
walls:
  - id: w1
    looks: {zero_end: the window end, length: 14 ft, seen: []}
  - id: w2
    answers: {above_wall: only_attic, opened_joist_end: end_or_lap}
    looks:
      zero_end: the window end
      length: 14 ft
      seen: [{place: attic, from: 0, to: 7, saw: along, found: [{what: strut_foot, at: 3}]}]
"""


@pytest.mark.parametrize(
    ("told", "step", "words", "asks", "answer"),
    [
        ({"beam_meets_wall": "box_ends_at_wall"}, "box_side", "side of the box", "box_opened",
         "pipes_or_air"),
        ({"opening_near_joint": "wide_near"}, "joint_corner", "height of the opening's top",
         "joint_header", "own_studs"),
        ({"garage_signs": "more_signs"}, "in_the_wall", "on both faces", "siding_inside", "none"),
        ({"ceiling_at_wall": "slope_one_side", "above_wall": "sloped_ceiling",
          "place_in_depth": "outer_third"}, "under_the_slope", "under the slope",
         "opened_knee_top", "gap"),
    ],
)  # fmt: skip
def test_what_was_told_asks_for_a_hole_at_its_spot(full, told, step, words, asks, answer):
    """A box, a wide opening close by or signs of a former outside wall are a step, until somebody
    has looked."""

    def steps(answers):
        given = {name: Answer(value, None, value) for name, value in answers.items()}
        found = full.finding(Case("c", walls=(Wall("w1", answers=given),))).walls[0].opening
        return {s.id: place_words(s, found) for s in found.steps}

    assert step not in steps({})
    assert words in steps(told)[step]
    assert step in steps({**told, asks: "unknown"})
    assert step not in steps({**told, asks: answer})
    if step == "under_the_slope":
        assert step in steps({**told, asks: "gap_in_part"})  # the rest of the rafters is left


def test_a_slope_asks_for_holes_only_where_knee_walls_stand(full):
    """What only counts with other answers is no step without each of them."""
    told = {"ceiling_at_wall": "slope_one_side", "above_wall": "sloped_ceiling",
            "place_in_depth": "outer_third"}  # fmt: skip
    for name, other in (("above_wall", "flat_roof"), ("place_in_depth", "middle_third")):
        given = {n: Answer(v, None, v) for n, v in {**told, name: other}.items()}
        found = full.finding(Case("c", walls=(Wall("w1", answers=given),))).walls[0].opening
        assert "under_the_slope" not in {step.id for step in found.steps}
