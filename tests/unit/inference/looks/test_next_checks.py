"""What somebody would have to go and see: the right things first, and never hearsay."""

from __future__ import annotations

import pytest

from tests.published.test_guidance import CLEAR_WALL
from walltriage.inference.looks.next_checks import MOST_CHECKS, deciding_checks
from walltriage.rule_testing.rule_cases import case_answers


def checks(full, given):
    """The checks for one set of answers, and the verdict."""
    answers = case_answers(full.base, given)
    result = full.evaluator.evaluate(answers)
    return [
        c.question for c in deciding_checks(full.evaluator, full.trial, [(result, answers)])[0]
    ], result


def test_nothing_is_left_to_check_once_a_verdict_is_reached(full):
    """Either verdict."""
    assert checks(full, CLEAR_WALL)[0] == []
    assert checks(full, {"wall_top": "board_ends"})[0] == []


def test_what_was_only_guessed_comes_first(full):
    """Each guess that holds a sign back, once."""
    guessed = {
        "beam_meets_wall": {"value": "along_line", "sure": "guess"},
        "post_at_wall": {"value": "post_or_bump", "sure": "guess"},
    }
    found, _ = checks(full, guessed)
    assert set(found[:2]) == set(guessed)
    assert len(found) == MOST_CHECKS


LOW = {"wall_place": "inside", "wall_height": "stops_short", "above_wall": "only_attic"}


@pytest.mark.parametrize(
    ("told", "first"),
    [
        ({}, ["low_part_top", "low_wall_height"]),
        ({"low_part_top": "open_air"}, ["low_wall_height"]),
        ({"low_wall_height": "3 ft 6 in"}, ["low_part_top"]),
        ({"low_part_top": "unknown"}, ["low_part_top", "low_wall_height"]),
    ],
)
def test_looks_that_tell_only_together_come_first(full, told, first):
    """Of a wall that stops short, whatever each by itself would change."""
    found, _ = checks(full, LOW | told)
    assert found[: len(first)] == first
    assert len(found) > len(first)


@pytest.mark.parametrize("told", [{"low_part_top": "reaches"}, {"low_wall_height": "7 ft"}])
def test_looks_that_no_longer_tell_are_not_put_first(full, told):
    """A post on the low wall, or a wall that only leaves a gap: the other look is worth little."""
    found, _ = checks(full, LOW | told)
    assert found[0] not in {"low_part_top", "low_wall_height"}


def test_answers_that_clash_are_looked_at_again(full):
    """Both of them, before anything new."""
    clash = {"above_wall": "only_attic", "attic_joist_run": "along", "laps_elsewhere": "unknown"}
    found, result = checks(full, clash | {"attic_joists_at_wall": "run_through"})
    assert [f.rule for f in result.fired("contradiction")] == ["joists_along_yet_end"]
    assert found[:2] == ["attic_joist_run", "attic_joists_at_wall"]


@pytest.mark.parametrize(
    ("lacking", "more", "gate", "wanted"),
    [
        (
            "round_the_wall",
            {"beam_meets_wall": "none"},
            "gate_rooms_not_looked",
            {"round_the_wall", "post_at_wall"},
        ),
        ("house_movement", {}, "gate_movement_not_asked", {"house_movement", "recent_change"}),
        ("house_kind", {}, "gate_kind_of_house", {"house_kind"}),
    ],
)
def test_the_last_gate_is_asked_for_first(full, lacking, more, gate, wanted):
    """The clear wall with one look left out: that look decides it."""
    given = {name: value for name, value in CLEAR_WALL.items() if name != lacking} | more
    found, result = checks(full, given)
    assert [f.rule for f in result.fired("gate")] == [gate]
    assert found[0] in wanted


def test_the_likeliest_path_gets_a_close_look(full):
    """Under an attic: the wall's top, though questions from a chair cost less."""
    found, result = checks(full, {"above_wall": "only_attic", "wall_place": "inside"})
    highest = max(result.paths, key=lambda name: result.paths[name].high)
    assert highest == "framing_above"
    first = full.base.questions[found[0]]
    assert first.place == "attic"
    assert highest in full.worth.uses[found[0]].sign_paths


@pytest.mark.parametrize("given", [{}, {"above_wall": "rooms_all_along"}, {"wall_level": "top"}])
def test_hearsay_about_the_wall_is_no_check(full, given):
    """Nobody is sent to ask whether work was begun, or what people say."""
    for name in checks(full, given)[0]:
        question = full.base.questions[name]
        assert (question.scope, question.entry.kind) != ("wall", "recalled")


def test_what_was_found_in_the_wrong_way_is_looked_at_again(full):
    """A place judged by eye keeps the last gate up: measure it, before anything new."""
    told = {"attic_spot": "by_eye", "wall_height": "reaches_ceiling"}
    found, result = checks(full, CLEAR_WALL | told)
    assert [f.rule for f in result.fired("gate")] == ["gate_place_in_attic"]
    assert found[0] == "attic_spot"


def test_walls_tried_together_are_told_what_each_is_told_alone(full):
    """However many walls' answers are tried at once, and where some have a verdict."""
    some = [case_answers(full.base, given) for given in (
        {"wall_top": "board_ends"}, {}, {"above_wall": "only_attic"}, {"wall_place": "inside"},
    )]  # fmt: skip
    walls = [(full.evaluator.evaluate(answers), answers) for answers in some]
    together = deciding_checks(full.evaluator, full.trial, walls)
    alone = [deciding_checks(full.evaluator, full.trial, [wall])[0] for wall in walls]
    assert together == alone
    assert [bool(checks) for checks in together] == [
        result.verdict == "cannot_tell" for result, _ in walls
    ]


@pytest.mark.parametrize("told", ["truss_run", "wall_top"])
def test_a_guess_at_the_framing_is_to_be_looked_at(full, told):
    """A guess is no look: with nothing else seen of the framing, it comes first."""
    looks = ("wall_top", "truss_run", "attic_round")
    given = {name: value for name, value in CLEAR_WALL.items() if name not in looks}
    guessed = {"value": CLEAR_WALL[told], "sure": "guess"}
    found, result = checks(
        full, given | {told: guessed, "roof_props": "none_anywhere", "truss_at_wall": "unknown"}
    )
    assert "gate_framing_not_seen" in [f.rule for f in result.fired("gate")]
    assert found[0] == told


def test_the_last_stop_is_lifted_by_the_least_effort(full):
    """Under trusses that are clear of the wall only the insulation is in the way: it is lifted
    before the ceiling is opened."""
    given = CLEAR_WALL | {
        "wall_height": "reaches_ceiling", "attic_fill": "batts", "fill_lifted": "unknown",
    }  # fmt: skip
    found, result = checks(full, given)
    assert [f.rule for f in result.fired("gate")] == ["gate_fill_not_lifted"]
    assert found[:2] == ["fill_lifted", "opened_top"]
