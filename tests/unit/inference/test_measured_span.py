"""A measured span as evidence: over every known capacity, or under the least of them."""

from __future__ import annotations

import pytest

from walltriage.case.answers import make_answer
from walltriage.case.model import Case, Wall
from walltriage.inference.belief.tree import logit_db
from walltriage.inference.numbers.computed import computed_answers

LONG = {"distance_one_side": "12 ft", "distance_other_side": "12 ft"}
SHORT = {"distance_one_side": "3 ft", "distance_other_side": "3 ft"}
HELD = {"joists_end_one_side": "on_next_wall", "joists_end_other_side": "on_next_wall"}
LUMBER = {"joist_size": "two_by_six", "joist_spacing": "in_16"}
CEILING = {"above_wall": "only_attic", "attic_frame": "rafters"}


def answers_of(full, given):
    questions = full.base.questions
    return {n: make_answer(n, questions[n], value) for n, value in given.items()}


def worked_out(full, **given: object):
    return computed_answers(full.base, answers_of(full, given)).get("measured_span")


def test_24_ft_of_2x6_at_16_in_decides(full):
    """No 2x6 at 16 in reaches 24 ft: the longest cell of the ceiling tables, 10 psf live, is
    under 21 ft (IRC R802.5.1(1), from memory).  The year need not be known."""
    found = worked_out(full, **LONG, **LUMBER, **CEILING)
    assert found.value == "beyond_all"
    assert "24 ft without the wall is 1." in found.given
    assert "times the" in found.given


def test_what_nobody_measured_is_not_compared(full):
    for missing in ("joist_size", "joist_spacing", "distance_one_side"):
        given = {**LONG, **LUMBER, **CEILING}
        del given[missing]
        assert worked_out(full, **given) is None
    assert worked_out(full, **{**LONG, **LUMBER, **CEILING, "attic_joist_run": "along"}) is None
    assert worked_out(full, **{**LONG, **LUMBER, **CEILING, "attic_frame": "trusses"}) is None


def test_short_only_between_seen_supports(full):
    """6 ft is under 0.8 of the weakest 2x6 at 16 in under 20 psf live and 10 psf dead."""
    assert worked_out(full, **SHORT, **LUMBER, **CEILING) is None
    assert worked_out(full, **SHORT, **LUMBER, **CEILING, **HELD).value == "well_within"
    one = {"joists_end_one_side": "on_next_wall", "joists_end_other_side": "past_it"}
    assert worked_out(full, **SHORT, **LUMBER, **CEILING, **one) is None


def test_an_unknown_use_has_to_pass_both(full):
    """With nobody knowing what is above, a ceiling may be what is there: 16 ft of 2x6 at 16 in is
    too far for a floor and not for a ceiling (DFL SS, L/240 under 10 psf: 20-8 or less)."""
    given = {"distance_one_side": "8 ft", "distance_other_side": "8 ft", **LUMBER}
    assert worked_out(full, **given).value == "in_between"
    assert worked_out(full, **given, above_wall="rooms_all_along").value == "beyond_all"


@pytest.mark.parametrize("sure", ["certain", "fairly", "guess"])
def test_no_surer_than_the_tape(full, sure):
    questions = full.base.questions
    answers = answers_of(full, {**LONG, **LUMBER, **CEILING})
    value = LUMBER["joist_size"]
    answers["joist_size"] = make_answer("joist_size", questions["joist_size"], value, sure=sure)
    assert computed_answers(full.base, answers)["measured_span"].sure == sure


def framing(full, given):
    """The framing path of a wall with these answers."""
    case = Case(walls=(Wall("w1", "", answers_of(full, given)),))
    wall = full.finding(case).walls[0]
    return next(path for path in wall.load_paths if path.id == "framing_above")


def test_it_weighs_strongly_where_the_joists_pass_over(full):
    """24 ft of 2x6 in one piece over the wall needs it: ten to one, nearly, both bounds."""
    seen = {**CEILING, "attic_joist_run": "across", "attic_joists_at_wall": "run_through"}
    before = framing(full, seen).probability
    after = framing(full, {**seen, **LONG, **LUMBER}).probability
    for low, high in zip(before, after, strict=True):
        assert logit_db(high) - logit_db(low) > 9


def test_it_weighs_less_where_nobody_saw_the_joists(full):
    """Joists may run along the wall, and then its distances are no span: over four decibans for;
    never three against."""

    def evidence(given):
        return {e.question: e.decibans for e in framing(full, given).evidence}

    far = evidence({**LONG, **LUMBER, **CEILING})
    assert far["measured_span"] > 4
    near = evidence({**SHORT, **LUMBER, **CEILING, **HELD})
    assert -3 < near["measured_span"] < 0
