"""What looks along a wall answer, and that they never answer more than was seen."""

from __future__ import annotations

import random
from itertools import pairwise

import pytest

from walltriage.case.looks import Found, Look, MarkedDistance, WallLooks
from walltriage.case.model import Answer, Case, Wall
from walltriage.inference.answers import answers_that_count
from walltriage.inference.columns.evaluator import ColumnEvaluator
from walltriage.inference.seen_answers import with_looks

FT = 12.0


@pytest.fixture(scope="module")
def base(full):
    return full.base


def wall(*looks, other_end="the hall end", length_ft=14, marked=()):
    return WallLooks("the window end", other_end, length_ft and length_ft * FT, marked, looks)


def look(place, start, end=None, saw="nothing_rests", found=(), **more):
    end = start if end is None else end
    found = tuple(Found(what, at * FT) for what, at in found)
    return Look(place, start * FT, end * FT, saw=saw, found=found, **more)


def values(base, looks, **given):
    answers = {name: Answer(value, None, value) for name, value in given.items()}
    return {name: answer.value for name, answer in with_looks(base, looks, answers).items()}


def test_an_attic_seen_in_part_is_told_in_feet(base):
    """The part is named, and the question is answered for that part only."""
    found = with_looks(base, wall(look("attic", 0, 9)), {})
    assert found["wall_top"].value == "seen_in_part"
    assert found["wall_traced"].value == "part"
    assert found["wall_top"].note == "seen from 0 in to 9 ft of 14 ft"
    assert "attic_joists_at_wall" not in found


def test_an_attics_half_and_holes_make_a_whole_for_framing_only(base):
    """Holes show what joists do; of feet of roof props they say nothing."""
    holes = [look("hole", at) for at in (12.5, 13.5)]
    found = values(base, wall(look("attic", 0, 9), *holes))
    assert found["attic_joists_at_wall"] == "none_touch"
    assert found["opened_joist_end"] == "gap_or_none"
    assert found["wall_top"] == "seen_in_part"


@pytest.mark.parametrize("holes", [[0.5], [0.5, 13.5], [0.5, 4, 8], [4, 8, 12], [0.5, 5, 9, 13.5]])
def test_holes_with_a_gap_or_without_an_end_answer_nothing(base, holes):
    """No gap wider than 4 ft, and both ends."""
    assert "opened_joist_end" not in values(base, wall(*(look("hole", at) for at in holes)))


def test_holes_all_along_answer(base):
    """Both ends and every 4 ft."""
    found = values(base, wall(*(look("hole", at) for at in (0.5, 4.5, 8.5, 12.5, 13.5))))
    assert found["opened_joist_end"] == "gap_or_none"
    assert "opened_joist_run" not in found  # nothing rests there, whichever way it runs


def test_random_holes_never_leave_a_gap(base):
    """Holes answer when both ends and every 4 ft were seen, and never else."""
    draw = random.Random(5)
    answered = 0
    for _ in range(300):
        spots = sorted(draw.uniform(0, 14) for _ in range(draw.randint(1, 14)))
        found = values(base, wall(*(look("hole", at) for at in spots)))
        ends = spots[0] <= 1 and spots[-1] >= 13
        close = ends and all(b - a <= 4 for a, b in pairwise(spots))
        assert ("opened_joist_end" in found) is close
        answered += close
    assert 10 < answered < 290


def test_one_find_answers_at_once(base):
    """A lap at the third hole; the worst thing of several looks."""
    holes = [look("hole", 0.5), look("hole", 4)]
    lap = look("hole", 8, saw=None, found=[("joist_end_or_lap", 8)], sure="fairly")
    found = with_looks(base, wall(*holes, lap), {})
    assert found["opened_joist_end"].value == "end_or_lap"
    assert found["opened_joist_end"].sure == "fairly"
    assert found["opened_joist_end"].note == "found at 8 ft"


def test_whole_counts_only_with_both_ends_described(base):
    """Who does not say where a wall stops has not seen all of it."""
    whole = Look("attic", whole=True, saw="nothing_rests")
    assert values(base, wall(whole))["wall_top"] == "clear_all_along"
    assert values(base, wall(whole, other_end=""))["wall_top"] == "seen_in_part"
    assert values(base, wall(whole, length_ft=None))["wall_top"] == "seen_in_part"


def test_a_bare_answer_gives_way_to_looks_in_part(base):
    """'None rests there', said of the whole, with half of it seen."""
    found = values(base, wall(look("attic", 0, 9)), attic_joists_at_wall="none_touch",
                   wall_top="clear_all_along")  # fmt: skip
    assert found["attic_joists_at_wall"] == "unknown"
    assert found["wall_top"] == "seen_in_part"


def test_a_find_told_stays_beside_clear_looks_and_is_a_contradiction(base):
    """Looks never take away what somebody found."""
    found = values(base, wall(look("attic", 0, 14)), attic_joists_at_wall="end_or_lap")
    assert found["attic_joists_at_wall"] == "end_or_lap"
    assert found["looks_along_wall"] == "clash"


def test_looks_from_below_say_nothing_of_the_top(base):
    """They answer for posts below alone."""
    below = look("below", 0, 14, found=[("steel_post", 6)])
    assert values(base, wall(below)) == {"post_below": "post_or_pad"}


@pytest.mark.parametrize(
    ("looks", "clash"),
    [
        (wall(look("hole", 4), look("hole", 4.2, saw="one_piece")), True),
        (wall(look("hole", 4), look("hole", 8, saw="one_piece")), False),
        (wall(look("attic", 0, 9), look("hole", 4, saw="one_piece")), True),
        (wall(look("attic", 0, 9), look("hole", 4, saw="along")), False),
        (
            wall(
                look("attic", 0, 9),
                look("hole", 4, saw=None, found=[("joist_end_or_lap", 4)]),
            ),
            True,
        ),
        (wall(look("attic", 0, 9, length_in=16 * FT)), True),
        (wall(look("attic", 0, 9, length_in=14.5 * FT)), False),
    ],
)
def test_looks_that_cannot_all_be_true_are_a_contradiction(base, looks, clash):
    """Shown by the rules, never averaged and never refused."""
    assert ("looks_along_wall" in values(base, looks)) is clash


@pytest.mark.parametrize(
    ("above_ft", "told"), [((11.5, 6), "marked"), ((13, 6), "by_eye"), ((11,), "by_eye")]
)
def test_the_place_is_marked_by_two_distances_that_agree(base, above_ft, told):
    """Within a foot; one distance alone does not mark a place."""
    below = (11, 6.5)
    marks = tuple(
        MarkedDistance(f"outside wall {i}", b * FT, a * FT)
        for i, (b, a) in enumerate(zip(below, above_ft, strict=False))
    )
    found = values(base, wall(look("attic", 0, 9), marked=marks), attic_spot="marked")
    assert found["attic_spot"] == told


def test_every_way_in_takes_looks(full, base):
    """One wall at a time and many at once see the same answers, and the contradiction fires."""
    looks = wall(look("hole", 4), look("hole", 4, saw="one_piece"))
    case = Case("c", walls=(Wall("w1", looks=looks), Wall("w2")))
    one = answers_that_count(base, case, "w1", None, lambda _: "cannot_tell")
    many = ColumnEvaluator(base).answers([case])
    assert [dict(a) for a in many] == [one, {}]
    finding = full.finding(case)
    assert [c.rule for c in finding.walls[0].contradictions] == ["looks_against_each_other"]
