"""What if several walls went together."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.unit.plans import larch_road
from walltriage.case.read import parse_case
from walltriage.errors import InputError
from walltriage.inference.numbers.removal import Removal, check_removed
from walltriage.inference.numbers.results import NewSpan
from walltriage.inference.numbers.what_if import _together, remove
from walltriage.report.house_words import TOGETHER_WORDS, removal_numbers

# Two walls of a hall in the middle of 36 ft; each alone has the other beside it.
HALL = """
schema: walltriage/case/1
name: two hall walls
plan:
  tolerance: 3 in
  levels: [ground]
  whole: [ground]
  parts: [{id: main, width: 40 ft, depth: 36 ft}]
  ridges: [{along: front, off: 18 ft, from: 0 ft, to: 40 ft}]
  walls:
    - {wall: w1, level: ground, along: front, off: 16 ft, from: 0 ft, to: 40 ft}
    - {wall: w2, level: ground, along: front, off: 20 ft, from: 0 ft, to: 40 ft}
house: {year_built: 1990, top_space: attic}
walls: [{id: w1}, {id: w2}]
"""


def hall(full):
    return parse_case(HALL, "c.yaml", full.base.questions)


def with_verdicts(full, case, verdict) -> Removal:
    """As if every wall had been judged so."""
    finding = full.finding(case)
    walls = tuple(replace(wall, verdict=verdict) for wall in finding.walls)
    return remove(full, case, replace(finding, walls=walls), tuple(w.id for w in case.walls))


def test_two_walls_each_clear_are_refused_together(full):
    """36 ft is beyond the joists of 1990, and without both walls nothing is between."""
    removal = with_verdicts(full, hall(full), "likely_non_bearing")
    assert removal.together == "not_together"
    assert any("would span 36 ft" in reason for reason in removal.reasons)
    assert any("No choice of the lines that stay" in reason for reason in removal.reasons)


def test_one_of_the_two_leaves_a_line(full):
    case = hall(full)
    removal = remove(full, case, full.finding(case), ("w1",))
    assert removal.numbers.spans == (NewSpan("w1", 240.0),)
    assert not any("No choice" in reason for reason in removal.reasons)
    moved = {row.line: row for row in removal.numbers.moves}
    assert moved["w2"].after_plf > moved["w2"].before_plf
    # by hand: w2 bore half of 4 ft and half of 16 ft, and then half of 20 ft and of 16 ft
    own = 48
    before, after = (plf - own for plf in (moved["w2"].before_plf, moved["w2"].after_plf))
    assert after / before == pytest.approx(18 / 10, abs=0.03)


def test_members_and_ways_down(full):
    case = parse_case(larch_road(), "c.yaml", full.base.questions)
    removal = remove(full, case, full.finding(case), ("w1", "w2"))
    assert removal.together == "carries"
    assert [row.wall for row in removal.numbers.openings] == ["w1", "w2"]
    under = {(end.wall, end.under) for end in removal.numbers.ends}
    assert ("w1", ("beam 1 (basement)",)) in under
    assert all(len(lines) == 1 for _, lines in under)
    girder = next(e.below for e in removal.numbers.ends if e.below.kind == "girder")
    assert girder.mid_span
    told = " ".join(removal_numbers(removal, "firm"))
    assert "IN MID-SPAN, 10 ft from the nearer support of a span of 28 ft" in told
    assert "BETWEEN ITS POSTS" in " ".join(removal_numbers(removal, "buyer"))


PARTITION = HALL.replace(
    "w2, level: ground, along: front, off: 20 ft, from: 0 ft, to: 40 ft",
    "w2, level: ground, along: left, off: 13 ft, from: 2 ft, to: 14 ft",
)


def test_no_beam_for_a_partition_that_carries_itself(full):
    """Joists pass beside it: 6 psf x 8 ft to 9 ft, 48 to 54 plf, and nothing else."""
    case = parse_case(PARTITION, "c.yaml", full.base.questions)
    removal = remove(full, case, full.finding(case), ("w2",))
    for opening in removal.numbers.openings:
        assert opening.load.carries_only_itself
        assert opening.load.governing_plf.high == pytest.approx(54)
        assert opening.members == ()
    assert not removal.numbers.ends
    told = removal_numbers(removal, "firm")
    assert any("no beam, as drawn it carries nothing but itself" in line for line in told)


def test_without_a_plan_the_set_has_no_answer(full):
    case = replace(hall(full), plan=None)
    removal = with_verdicts(full, case, "likely_non_bearing")
    assert removal.together == "not_together"
    assert "What they do together cannot be worked out: not on the plan: w1, w2." in removal.reasons


@pytest.mark.parametrize(
    ("verdicts", "reasons", "word"),
    [
        (["likely_non_bearing", "likely_bearing"], [], "carries"),
        (["likely_non_bearing", "cannot_tell"], [], "open"),
        (["likely_non_bearing"] * 2, ["why"], "not_together"),
        (["likely_non_bearing"] * 2, [], "non_bearing_together"),
    ],
)
def test_the_set_is_no_clearer_than_its_least_clear_wall(verdicts, reasons, word):
    assert _together(dict(enumerate(verdicts)), reasons) == word
    assert word in TOGETHER_WORDS


def test_walls_that_do_not_exist(full):
    with pytest.raises(InputError) as caught:
        check_removed(hall(full), ["w1", "w7"], "--remove")
    assert str(caught.value) == ("--remove: no wall 'w7' to take out; walls of this case: w1, w2")
    with pytest.raises(InputError, match="no wall to take out"):
        check_removed(hall(full), [], "--remove")
    assert check_removed(hall(full), ["w2", "w2"], "--remove") == ("w2",)
