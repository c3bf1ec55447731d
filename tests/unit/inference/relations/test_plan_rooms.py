"""What follows from rooms, stairs, jogs, slanted roof lines and half levels: each by hand."""

from __future__ import annotations

import pytest

from tests.unit.plans import larch_road
from walltriage.case.model import Answer
from walltriage.case.read import parse_case

# 40 ft by 20 ft under a hip roof; the ridge runs from 10 ft to 30 ft.
HIP = """
schema: walltriage/case/1
name: hip roof
plan:
  tolerance: 3 in
  levels: [crawl_space, ground]
  whole: [ground]
  parts: [{id: main, width: 40 ft, depth: 20 ft}]
  ridges: [{along: front, off: 10 ft, from: 10 ft, to: 30 ft}]
  walls:
    - {wall: w1, level: ground, along: left, off: 5 ft, from: 0 ft, to: 20 ft}
    - {wall: w2, level: ground, along: left, off: 20 ft, from: 0 ft, to: 20 ft}
    - {wall: w3, level: ground, along: front, off: 12 ft, from: 20 ft, to: 40 ft}
  beams: [{level: crawl_space, along: front, off: 10 ft, from: 0 ft, to: 40 ft}]
house: {quake_or_wind: neither}
walls: [{id: w1}, {id: w2}, {id: w3}]
"""

# A part of one level, and beside it one half a stair down and one half a stair up.
SPLIT = """
schema: walltriage/case/1
name: split level
plan:
  tolerance: 3 in
  levels: [lower, ground, upper]
  whole: [lower, ground, upper]
  parts:
    - {id: main, width: 24 ft, depth: 26 ft, levels: [ground]}
    - {id: beside, side: right, of: main, start: 0 ft, width: 22 ft, depth: 26 ft,
       levels: [lower, upper]}
  walls:
    - {wall: low, level: lower, part: beside, along: front, off: 13 ft, from: 0 ft, to: 22 ft}
    - {wall: mid, level: ground, along: front, off: 13 ft, from: 0 ft, to: 24 ft}
    - {wall: up, level: upper, part: beside, along: front, off: 13 ft, from: 0 ft, to: 22 ft}
house: {top_space: attic}
walls: [{id: low}, {id: mid}, {id: up}]
"""


def told(full, text, wall):
    answers = full.answers(parse_case(text, "c.yaml", full.base.questions), wall)
    return {n: a.value if a.number is None else a.number for n, a in answers.items()}


@pytest.mark.parametrize(
    ("wall", "expected"),
    [
        # its hips leave the corners at half a right angle: at 5 ft off the end they cross it
        ("w1", {"slanted_line_over_wall": "under_slanted_line", "roof_shape": "hip",
                "room_side": "long_side", "base_of_house": "crawl_space",
                "middle_support": "along_length", "levels_in_house": "one",
                "other_cross_walls": "one_or_two"}),
        # in the middle the roof has its ridge, and the hips are 10 ft away
        ("w2", {"slanted_line_over_wall": "off_slanted_lines",
                "house_corner_in_line": "no_corner"}),
        # the room in front is 20 ft by 12 ft, the one behind 20 ft by 8 ft
        ("w3", {"room_side": "long_side", "other_cross_walls": "none"}),
    ],
)  # fmt: skip
def test_under_a_hip_roof(full, wall, expected):
    found = told(full, HIP, wall)
    assert {name: found.get(name) for name in expected} == expected


def test_a_ridge_from_end_to_end_leaves_the_shape_open(full):
    """It can be a gable or a barn roof; and without a known end nothing is said of hips."""
    gable = HIP.replace("from: 10 ft, to: 30 ft", "from: 0 ft, to: 40 ft")
    found = told(full, gable, "w1")
    assert "roof_shape" not in found
    assert found["slanted_line_over_wall"] == "off_slanted_lines"
    unknown = HIP.replace(", from: 10 ft, to: 30 ft", "")
    assert not {"roof_shape", "slanted_line_over_wall"} & set(told(full, unknown, "w1"))


def test_walls_that_may_be_all_doors_are_not_counted_on(full):
    """A wall of 6 ft may have 4 ft without a door or not: with one of those, nothing is said."""
    short = HIP.replace("off: 20 ft, from: 0 ft, to: 20 ft", "off: 20 ft, from: 0 ft, to: 6 ft")
    assert "other_cross_walls" not in told(full, short, "w1")
    partly = HIP.replace("whole: [ground]", "whole: []")
    assert "other_cross_walls" not in told(full, partly, "w1")
    assert "room_side" not in told(full, partly, "w1")


@pytest.mark.parametrize(
    ("wall", "expected"),
    [
        ("low", {"above_wall": "rooms_all_along", "levels_over": "one", "wall_level": "ground",
                 "wall_over_wall": "within_1_ft", "levels_in_house": "split"}),
        ("mid", {"above_wall": "only_attic", "levels_over": None, "wall_level": "ground"}),
        ("up", {"above_wall": "only_attic", "wall_below_wall": "on_line", "wall_level": "top"}),
    ],
)  # fmt: skip
def test_half_levels_stand_on_their_own_part(full, wall, expected):
    """The level that comes next in the list lies beside the wall, and not above it."""
    found = told(full, SPLIT, wall)
    assert {name: found.get(name) for name in expected} == expected


def test_half_levels_come_down_on_their_own_part(full):
    """The take-down of a split-level loses nothing and finds something under every line."""
    case = parse_case(SPLIT, "c.yaml", full.base.questions)
    assert full.finding(case).house.findings == ()


def test_an_addition_and_stairs(full):
    assert told(full, larch_road(), "w1")["part_of_house"] == "first_house"
    assert told(full, larch_road(), "w3")["part_of_house"] == "at_the_joint"
    assert told(full, larch_road(), "w1")["house_history"] == "one_or_more"
    # the stairs stand 6 in and more off the wall's end: only a look can tell
    assert "stair_beside" not in told(full, larch_road(), "w1")
    beside = larch_road(("[10 ft, 13.5 ft]", "[10 ft, 14 ft]"), ("to: 22 ft}", "to: 34 ft}"))
    found = told(full, beside, "w1")
    assert found["stair_beside"] == "on_own_stringer"
    assert found["round_the_wall"] == "one_or_more"


def test_how_much_of_the_wall_stands_on_the_line_below(full):
    assert told(full, larch_road(), "w1")["support_length"] == "whole"
    short = larch_road(("along: front, off: 14 ft, from: 0 ft, to: 40 ft}\n  posts",
                        "along: front, off: 14 ft, from: 0 ft, to: 12 ft}\n  posts"))  # fmt: skip
    # nobody said that all of the basement is drawn: more may be there
    assert "support_length" not in told(full, short, "w1")


@pytest.mark.parametrize(
    ("ends", "answer"), [("[4 ft, 7 ft]", None), ("[4 ft, 11 ft]", "very_wide")]
)
def test_a_wide_opening_that_is_drawn_is_there(full, ends, answer):
    """A narrow one says nothing: a wider one may be there undrawn."""
    text = larch_road(("to: 22 ft}", f"to: 22 ft, openings: [{ends}]}}"))
    assert told(full, text, "w1").get("opening_in_wall") == answer


def test_joists_of_one_bay_are_asked_of_one_wall_only(full):
    case = parse_case(HIP, "c.yaml", full.base.questions)
    case = case.with_answer("w1", "joist_size", Answer("two_by_eight"))
    answer = full.answers(case, "w2")["joist_size"]
    assert (answer.value, answer.note) == ("two_by_eight", "w1")
