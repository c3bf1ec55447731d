"""Whether a condition could hold, and whether one implies another."""

from __future__ import annotations

import pytest

from walltriage.knowledge.satisfy import Satisfier, covers, implies
from walltriage.knowledge.terms import branches


def leaf(term):
    """The one test of a term."""
    ((only,),) = branches(term)
    return only


CAN_HOLD = [
    {"answer": "above_wall", "is": "attic"},
    {"all": [{"answer": "joists_end", "is": "some_end"}, {"answer": "above_wall", "is": "attic"}]},
    {"all": [{"answer": "wall_length", "above": "4 ft"}, {"answer": "wall_length", "is": "long"}]},
    {"all": [{"not": {"answered": "joists_end"}}, {"answer": "above_wall", "is": "room"}]},
    {"all": [{"answer": "above_wall", "is": "unknown"}, {"not": {"answered": "above_wall"}}]},
    {"all": [{"sign": "any"}, {"fact": "attic_above", "is": "yes"}]},
    {"all": [{"path": "framing_above", "is": "open"}, {"seen_against": "framing_above"}]},
    {"all": [{"measure": "lower", "at_least": "bearing_at_least"}, {"not": {"sign": "any"}}]},
    {"all": [{"contradiction": "any"}, {"scope": "any"}, {"block": "gate_sign"}]},
    {"not": {"verdict": "likely_non_bearing"}},
    {"all": [{"answer": "wall_length", "at_most": "1 ft"}]},
]
CANNOT_HOLD = [
    {"all": [{"answer": "above_wall", "is": "attic"}, {"answer": "above_wall", "is": "room"}]},
    {"all": [{"answer": "above_wall", "is": "attic"}, {"not": {"answered": "above_wall"}}]},
    {"all": [{"answer": "joists_end", "is": "some_end"}, {"answer": "above_wall", "is": "room"}]},
    {"all": [
        {"answer": "wall_length", "at_least": "4 ft"}, {"answer": "wall_length", "is": "short"},
    ]},
    {"answer": "wall_length", "above": "100 ft"},
    {"all": [{"sign": "any"}, {"not": {"answered": "joists_end"}}]},
    {"all": [{"fact": "attic_above", "is": "yes"}, {"answer": "above_wall", "is": "room"}]},
    {"all": [
        {"not": {"fact": "attic_above", "is": "yes"}}, {"answer": "above_wall", "is": "attic"},
    ]},
    {"all": [
        {"path": "framing_above", "is": "open"}, {"path": "framing_above", "is": "ruled_out"},
    ]},
    {"all": [{"scope": "any"}, {"answer": "built_of", "is": "wood"}]},
    {"all": [{"block": "gate_sign"}, {"not": {"sign": "any"}}]},
    {"all": [{"contradiction": "any"}, {"answer": "joists_run", "is": "across"}]},
    {"all": [
        {"measure": "upper", "at_most": "non_bearing_at_most"},
        {"measure": "upper", "above": "bearing_at_least"},
    ]},
    {"all": [{"verdict": "likely_non_bearing"}, {"not": {"seen_against": "framing_above"}}]},
]  # fmt: skip


@pytest.mark.parametrize("term", CAN_HOLD, ids=str)
def test_can_hold(small, term):
    """A condition that some house fulfils is not called impossible."""
    assert Satisfier(small.base).term(branches(term))


@pytest.mark.parametrize("term", CANNOT_HOLD, ids=str)
def test_cannot_hold(small, term):
    """A condition that no house fulfils is seen through facts, signs, gates and 'applies'."""
    assert not Satisfier(small.base).term(branches(term))


def test_a_case_file_may_answer_what_does_not_apply(small):
    """Outside an interview an answer may stand though its question does not apply."""
    term = branches(
        {
            "all": [
                {"answer": "joists_end", "is": "some_end"},
                {"answer": "above_wall", "is": "room"},
            ]
        }
    )
    assert Satisfier(small.base, interview=False).term(term)


IMPLIED = [
    ({"answer": "a", "is": "x"}, {"answer": "a", "in": ["x", "y"]}, True),
    ({"answer": "a", "in": ["x", "y"]}, {"answer": "a", "is": "x"}, False),
    ({"answer": "a", "is": "x"}, {"answered": "a"}, True),
    ({"answer": "a", "in": ["x", "unknown"]}, {"answered": "a"}, False),
    ({"answer": "a", "is": "x"}, {"answer": "b", "is": "x"}, False),
    ({"answer": "a", "at_least": 5}, {"answer": "a", "above": 4}, True),
    ({"answer": "a", "at_least": 5}, {"answer": "a", "above": 5}, False),
    ({"answer": "a", "above": 5}, {"answer": "a", "at_least": 5}, True),
    ({"answer": "a", "below": 5}, {"answer": "a", "at_most": 9}, True),
    ({"answer": "a", "below": 5}, {"answer": "a", "at_least": 1}, False),
    ({"answer": "a", "above": 5}, {"answered": "a"}, True),
    ({"sign": "s"}, {"sign": "any"}, True),
    ({"sign": "any"}, {"sign": "s"}, False),
    ({"scope": "s"}, {"sign": "any"}, False),
    ({"not": {"sign": "any"}}, {"not": {"sign": "s"}}, True),
    ({"not": {"answer": "a", "in": ["x", "y"]}}, {"not": {"answer": "a", "is": "x"}}, True),
    ({"not": {"answer": "a", "is": "x"}}, {"answer": "a", "is": "y"}, False),
]


@pytest.mark.parametrize(("stronger", "weaker", "expected"), IMPLIED, ids=str)
def test_implies(stronger, weaker, expected):
    """One test implies another only where no datum could tell them apart."""
    assert implies(leaf(stronger), leaf(weaker)) is expected


def test_covers():
    """A condition covers one each of whose alternatives has a broader one."""
    wide = branches({"any": [{"answer": "a", "is": "x"}, {"answered": "b"}]})
    narrow = branches({"all": [{"answer": "b", "is": "y"}, {"answer": "c", "is": "z"}]})
    assert covers(wide, narrow)
    assert not covers(narrow, wide)
    assert covers(branches(None), narrow)
