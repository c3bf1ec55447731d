"""Every answer counts, or the result says why it did not."""

import pytest

from walltriage.case.model import HOUSE, Case
from walltriage.case.model import Wall as CaseWall
from walltriage.rule_testing.rule_cases import case_answers


@pytest.fixture
def left_out(full):
    """Answers in, {question: because} out."""

    def found(given):
        answers = case_answers(full.base, given)
        house = {n: a for n, a in answers.items() if full.base.questions[n].scope == HOUSE}
        own = {n: a for n, a in answers.items() if n not in house}
        case = Case("a house", house=house, walls=(CaseWall("wall", "the wall", own),))
        (wall,) = full.finding(case).walls
        return {item.question: item.because for item in wall.not_counted}

    return found


def test_a_clue_counts(left_out):
    assert left_out({"under_wall": "on_line"}) == {}


def test_a_question_that_does_not_apply_and_is_read_by_nothing(left_out):
    told = left_out({"house_movement": "none_of_these", "ridge_look": "straight"})
    assert told["ridge_look"].startswith("it is asked only where house_movement in")


def test_a_clue_whose_own_condition_is_not_met(left_out):
    rafters = {"above_wall": "only_attic", "attic_frame": "rafters"}
    assert "winter_gap" not in left_out({**rafters, "winter_gap": "opens_and_closes"})
    told = left_out({"levels_over": "two_or_more", "above_wall": "only_attic"})
    assert "levels_over" not in told  # a contradiction uses it
    told = left_out({"joist_material": "solid_boards"})
    assert told["joist_material"].startswith("it is asked only where")
    told = left_out({"joists_below_kind": "solid"})
    assert told["joists_below_kind"].startswith("it counts only where")


def test_an_answer_that_only_steers_what_is_asked(left_out):
    told = left_out({"drawings_at_hand": "none", "year_built": "1990"})
    assert told["drawings_at_hand"] == "no rule that holds here turns on this answer"


def test_what_a_fired_rule_asks_not_to_hold_counts(left_out):
    """Lead paint is warned of where the year is not known to be later."""
    assert "year_built" not in left_out({"year_built": "1950"})


def test_not_knowing_is_not_an_answer(left_out):
    assert left_out({"ridge_look": "unknown", "drawings_at_hand": "out_of_reach"}) == {}
