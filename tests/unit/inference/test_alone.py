"""What was seen that alone keeps a wall from "likely non-bearing", and which looks it rests on."""

from __future__ import annotations

from dataclasses import replace

import pytest

from walltriage.case.model import Answer
from walltriage.inference.alone import alone_in_the_way, looks_behind, seen_in_the_way
from walltriage.rule_testing.rule_cases import case_answers


@pytest.fixture(scope="module")
def clear(full):
    """The answers of the first wall that is told as non-bearing in the rules' own cases."""
    verdict = next(v for v in full.base.guards.verdicts if v.id == "verdict_non_bearing")
    answers = case_answers(full.base, verdict.cases.fires[0])
    assert full.evaluator.evaluate(answers).verdict == "likely_non_bearing"
    return answers


def stop_of(full, answers):
    result = full.evaluator.evaluate(answers)
    stop = alone_in_the_way(full.base, result)
    looks = stop and looks_behind(full.base, stop, result.firings, answers)
    return (stop.rule, looks) if looks else None


@pytest.mark.parametrize(
    ("question", "value", "gate"),
    [
        ("stud_cluster_found", "cluster", "gate_load_seen"),  # by a fact of the situation
        ("ridge_look", "clear_sag", "gate_house_in_trouble"),
        ("base_under_line", "old_base", "gate_old_edge"),
        ("fill_lifted", "beam_ends", "gate_rare_load_seen"),
    ],
)
def test_one_thing_seen_is_in_the_way(full, clear, question, value, gate):
    """Its gate is named, and the one look behind it."""
    assert stop_of(full, clear | {question: Answer(value)}) == (gate, {question})


def test_a_guess_in_its_way_is_looked_at_once_more(full, clear):
    """What lifts a stop may not be guessed: of one that only wants a look, the guess alone."""
    guessed = clear | {"attic_spot": replace(clear["attic_spot"], sure="guess")}
    assert full.evaluator.evaluate(guessed).verdict == "cannot_tell"
    assert stop_of(full, guessed) == ("gate_place_in_attic", {"attic_spot"})


def test_two_things_are_not_one(full, clear):
    """A second look at either would free nothing."""
    two = {"ridge_look": Answer("clear_sag"), "fill_lifted": Answer("beam_ends")}
    assert stop_of(full, clear | two) is None


def test_a_look_still_wanted_is_no_thing_seen(full, clear):
    """What mends that is the look itself, and not the same answer told anew."""
    by_eye = clear | {"attic_spot": Answer("by_eye")}
    assert full.evaluator.evaluate(by_eye).verdict == "cannot_tell"
    assert stop_of(full, by_eye) is None


def test_a_wall_that_is_told_has_nothing_in_the_way(full, clear):
    assert stop_of(full, clear) is None


def test_nor_has_one_that_may_well_bear(full):
    """There nothing hangs on one word."""
    assert stop_of(full, {"ridge_look": Answer("clear_sag")}) is None


def test_rules_that_tell_of_no_leaning_name_nothing(full, small):
    """They have stops all the same."""
    assert small.base.leaning is None
    assert small.base.guards.gates
    assert seen_in_the_way(small.base) == ()
    assert "gate_load_seen" in seen_in_the_way(full.base)
