"""Looks along a wall in case files: read, written, and refused with their place."""

from __future__ import annotations

import typing

import pytest
import yaml

from walltriage.case.looks import PLACES, SAW, Thing
from walltriage.case.read import parse_case
from walltriage.case.write import case_text
from walltriage.errors import InputError
from walltriage.knowledge.seen_along import Framing, SeenFrom, Spot

LOOKS = {
    "zero_end": "the window end",
    "other_end": "the hall end",
    "length": "14 ft",
    "marked": [{"from": "the east wall", "below": "11 ft", "above": "11 ft 6 in"}],
    "seen": [
        {"place": "attic", "from": 0, "to": "9 ft", "saw": "along", "sure": "fairly", "by": "me"},
        {"place": "hole", "at": "9 ft 3 1/2 in", "found": [{"what": "joist_end_or_lap"}]},
        {"place": "below", "whole": True, "found": [{"what": "wood_post", "at": 6}]},
    ],
}


def case(**changed):
    looks = {**LOOKS, **changed}
    data = {"schema": "walltriage/case/1", "walls": [{"id": "w1", "looks": looks}]}
    return parse_case(yaml.safe_dump(data, sort_keys=False), "c.yaml", {})


def test_looks_are_the_same_after_writing_and_reading():
    """Feet, fractions of inches and finds come back as they were."""
    first = case()
    again = parse_case(case_text(first), "again.yaml", {})
    assert again.walls == first.walls
    looks = first.walls[0].looks
    assert [look.from_in for look in looks.looks] == [0, 111.5, 0]
    assert looks.looks[1].found[0].at_in == 111.5
    assert looks.looks[2].found[0].at_in == 72


def test_words_are_the_same_in_cases_and_in_rules():
    """The rules may name every place, framing and find of a case file, and no other."""
    assert typing.get_args(SeenFrom) == PLACES
    assert typing.get_args(Framing) == SAW
    assert typing.get_args(Spot) == typing.get_args(Thing)


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"zero_end": ""}, "the zero end has no name"),
        ({"seen": [{"place": "attic", "from": 9, "to": 3, "saw": "along"}]}, "not before its end"),
        ({"seen": [{"place": "attic", "from": 9, "to": 15, "saw": "along"}]}, "outside the wall"),
        ({"seen": [{"place": "hole", "at": 15, "saw": "along"}]}, "outside the wall"),
        ({"seen": [{"place": "hole", "from": 1, "to": 2, "saw": "along"}]}, "is unclear"),
        ({"seen": [{"place": "attic", "from": 1, "to": 2}]}, "does not say what was seen"),
        ({"seen": [{"place": "attic", "saw": "along"}]}, "the look has no stretch"),
        ({"seen": [{"place": "roof", "from": 1, "to": 2}]}, "'roof' is not allowed"),
        ({"seen": [{"place": "attic", "whole": False, "saw": "along"}]}, "'whole' is unclear"),
        ({"seen": [{"place": "attic", "from": 0, "to": "x", "saw": "along"}]}, "from 0 to 100 ft"),
        ({"seen": 3}, "is not a list"),
        ({"seen": [4]}, "'4' is not a set of keys"),
        ({"marked": [{"from": "east", "below": 3}]}, "the mark is not complete"),
        ({"sene": []}, "did you mean 'seen'"),
        (
            {
                "seen": [
                    {"place": "attic", "from": 0, "to": 9, "saw": "along"},
                    {"place": "attic", "from": 8, "to": 12, "saw": "one_piece"},
                ]
            },
            "the same stretch is 'along' and 'one_piece'",
        ),
        (
            {
                "seen": [
                    {
                        "place": "attic", "from": 0, "to": 9, "saw": "along",
                        "found": [{"what": "strut_foot", "at": 10}],
                    }
                ]
            },
            "outside the stretch",
        ),
    ],
)  # fmt: skip
def test_bad_looks_are_told_with_their_place(changed, told):
    """One message, with line and column."""
    with pytest.raises(InputError) as error:
        case(**changed)
    assert len(error.value.problems) == 1
    problem = error.value.problems[0]
    assert told in str(problem)
    assert problem.line > 0
    assert problem.column > 0
    assert problem.expected
