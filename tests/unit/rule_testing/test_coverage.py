"""What counts as exercised, and what is told when something is not."""

from __future__ import annotations

import pytest

from walltriage.case.answers import make_answer
from walltriage.inference.engine.closure import RuleClosures
from walltriage.rule_testing.coverage import Coverage


@pytest.fixture
def look(small):
    """Count runs on the small rules; returns the gaps of one entry as kind and test."""
    closures = RuleClosures(small.evaluator)

    def gaps(entry, *given):
        coverage = Coverage(small.base, closures.stratified)
        for raw in given:
            answers = {q: make_answer(q, small.base.questions[q], v) for q, v in raw.items()}
            coverage.add(closures.whole(answers), answers)
        return [(gap.kind, gap.what) for gap in coverage.gaps() if gap.entry == entry]

    return gaps


CLASH = "clash_run_and_end"
RUN = "in contradiction 'clash_run_and_end' the test 'joists_run is along' "
END = "in contradiction 'clash_run_and_end' the test 'joists_end is some_end' "
STOP, CARRY = "is never what stops it", "is never true when it fires"


def test_nothing_run(look):
    """Without any run everything is missing."""
    assert {kind for kind, _ in look(CLASH)} == {"fires", "quiet", "carries", "stops"}
    assert len(look(CLASH)) == 6


def test_firing_carries_every_test(look):
    """One firing shows the rule and both tests true; nothing has stopped it yet."""
    left = look(CLASH, {"joists_run": "along", "joists_end": "some_end"})
    assert sorted(what for _, what in left) == sorted(
        [RUN + STOP, END + STOP, "contradiction 'clash_run_and_end' always fires"]
    )


def test_two_false_tests_stop_nothing_alone(look):
    """Where both tests are false neither is the one that stops the rule."""
    left = look(CLASH, {"joists_run": "across", "joists_end": "none_end"})
    assert sorted(what for _, what in left) == sorted(
        [RUN + STOP, END + STOP, RUN + CARRY, END + CARRY, f"contradiction '{CLASH}' never fires"]
    )


def test_each_false_test_alone_is_the_one_that_stops(look):
    """A firing and one near miss a test leave nothing."""
    fires = {"joists_run": "along", "joists_end": "some_end"}
    assert look(CLASH, fires, fires | {"joists_run": "across"}) == [("stops", END + STOP)]
    assert look(CLASH, fires, fires | {"joists_run": "across"}, {"joists_run": "along"}) == []


def test_a_base_rate_too_late_is_not_stopped_by_its_test(look):
    """Where an earlier base rate counts, the last one is quiet without any test at fault."""
    assert look("rate_framing", {"above_wall": "room"}) == [
        ("fires", "base rate 'rate_framing' never fires")
    ]
    assert look("rate_framing", {"above_wall": "room"}, {}) == []


def test_a_clue_is_stopped_by_a_missing_answer(look):
    """The answer to its question is a test of a clue, at the line of the question."""
    left = look("clue_wall_below", {"wall_below": "wall"})
    assert ("quiet", "clue 'clue_wall_below' always fires") in left
    assert look("clue_wall_below", {"wall_below": "wall"}, {"wall_below": "unknown"}) == []


def test_an_alternative_never_met_is_told(look):
    """A rule of two alternatives fires by one; the other's test is still missing."""
    left = look("gate_scope", {"built_of": "brick"}, {})
    assert ("carries", "in gate 'gate_scope' the test 'contradiction any' " + CARRY) in left
    assert all("scope any" not in what for _, what in left)


def test_options_and_bands(look):
    """Every option and band must be answered; 'unknown' is neither."""
    assert look("wall_length", {"wall_length": "unknown"}) == [
        ("option", "'short' is never answered to 'wall_length'"),
        ("option", "'long' is never answered to 'wall_length'"),
    ]
    assert look("wall_length", {"wall_length": "3 ft"}, {"wall_length": "9 ft"}) == []


def test_gaps_have_places(small):
    """A gap is told as file:line, tests at their own line."""
    closures = RuleClosures(small.evaluator)
    coverage = Coverage(small.base, closures.stratified)
    told = {gap.what: str(gap).split("small_rules/")[1].split(": ")[0] for gap in coverage.gaps()}
    assert told["in verdict 'verdict_bearing' the test 'not scope any' " + STOP] == "guards.yaml:50"
    assert told["'long' is never answered to 'wall_length'"] == "questions/all.yaml:56"
    assert told[f"contradiction '{CLASH}' never fires"] == "contradictions.yaml:2"
