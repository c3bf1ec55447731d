"""The span without a wall is "easy" only between supports that somebody has seen."""

from __future__ import annotations

import pytest

from walltriage.case.answers import make_answer
from walltriage.inference.numbers.computed import computed_answers

# 2x8 at 16 in, no species known: over 9 ft 6 in by any table of floor joists, so 9 ft is easy
FLOOR = {
    "above_wall": "rooms_all_along", "joist_size": "two_by_eight", "joist_spacing": "in_16",
    "year_built": 1990,
}  # fmt: skip
NEXT_WALLS = {"distance_one_side": "4 ft", "distance_other_side": "4 ft"}


def word(full, **given: object) -> str | None:
    """What is worked out from the answers."""
    base = full.base
    answers = {n: make_answer(n, base.questions[n], value) for n, value in given.items()}
    found = computed_answers(base, answers).get("span_without_wall")
    return None if found is None else found.value


@pytest.mark.parametrize("ends", ["joists_end", "overhead_ends", "opened_ends"])
def test_easy_needs_both_supports(full, ends):
    """From whichever place they were seen; one side alone leaves it conditional."""
    one, other = f"{ends}_one_side", f"{ends}_other_side"
    assert word(full, **FLOOR, **NEXT_WALLS) == "easily_if_held"
    assert word(full, **FLOOR, **NEXT_WALLS, **{one: "on_next_wall"}) == "easily_if_held"
    held = {one: "on_next_wall", other: "before_it"}
    assert word(full, **FLOOR, **NEXT_WALLS, **held) == "easily"


def test_not_knowing_is_no_support(full):
    """Whoever could not see where they end has not shown that the next wall holds them."""
    unseen = {"joists_end_one_side": "unknown", "joists_end_other_side": "out_of_reach"}
    assert word(full, **FLOOR, **NEXT_WALLS, **unseen) == "easily_if_held"


def test_joists_that_run_on_are_not_easy(full):
    """Past the next wall, nobody knows how far: the short way to that wall proves nothing."""
    past = {"joists_end_one_side": "past_it", "joists_end_other_side": "on_next_wall"}
    assert word(full, **FLOOR, **NEXT_WALLS, **past) == "marginal"
    measured = {**past, "held_distance_one_side": "5 ft"}
    assert word(full, **FLOOR, **NEXT_WALLS, **measured) == "easily"


def test_the_true_support_counts_and_not_the_next_wall(full):
    """Twenty-eight feet between supports are too much, whatever stands between."""
    past = {
        "joists_end_one_side": "past_it", "held_distance_one_side": "14 ft",
        "joists_end_other_side": "past_it", "held_distance_other_side": "14 ft",
    }  # fmt: skip
    assert word(full, **FLOOR, **NEXT_WALLS, **past) == "could_not"
    assert word(full, **FLOOR, **past) == "could_not"


def test_too_far_stays_too_far(full):
    """What the next walls alone make too long is not mended by not knowing."""
    far = {"distance_one_side": "14 ft", "distance_other_side": "14 ft"}
    assert word(full, **FLOOR, **far) == "could_not"
    assert word(full, **FLOOR, **far, joists_end_one_side="on_next_wall") == "could_not"


def test_the_result_is_no_surer_than_what_was_seen(full):
    """A guess where they end is a guess in the result."""
    base = full.base
    given = {**FLOOR, **NEXT_WALLS, "joists_end_other_side": "on_next_wall"}
    answers = {n: make_answer(n, base.questions[n], value) for n, value in given.items()}
    guessed = make_answer(
        "joists_end_one_side", base.questions["joists_end_one_side"], "on_next_wall", sure="guess"
    )
    answers["joists_end_one_side"] = guessed
    found = computed_answers(base, answers)["span_without_wall"]
    assert (found.value, found.sure) == ("easily", "guess")
