"""Holes along a wall: a set that leaves a gap never speaks for the whole, and never frees it."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, pairwise

import pytest

pytest.importorskip("z3", reason="the extra 'verify' is not installed")

from tests.conftest import HERE
from walltriage.case.read import read_case
from walltriage.inference import seen_answers
from walltriage.prove.holes import hole_sets, holes_with_a_gap
from walltriage.prove.prover import Prover

pytestmark = pytest.mark.extras
CLEARED = HERE / "demo_houses" / "17-attic-half-and-holes.yaml"
GAP_IN, END_IN = 48.0, 12.0  # common practice: every four feet and both ends


@pytest.fixture(scope="module")
def prover(full):
    return Prover(full.base)


def test_every_set_is_tried_and_none_speaks_for_what_it_left_out(prover):
    proof = holes_with_a_gap(prover)
    assert proof.holds, proof.told
    assert int(proof.told.split()[0]) == sum(1 for _ in hole_sets()) > 4000


def test_the_proof_breaks_where_gaps_are_overlooked(prover, monkeypatch):
    monkeypatch.setattr(seen_answers, "covers", lambda *_: True)
    assert not holes_with_a_gap(prover).holds


def test_a_wall_cleared_by_holes_is_open_again_with_any_gap(full):
    """Of the recorded wall that holes cleared, every set of its holes that leaves a gap."""
    case = read_case(CLEARED, full.base.questions)
    told = case.walls[0]
    # the same said in one word is left out: here the holes alone have to say it
    wall = replace(told, answers={q: a for q, a in told.answers.items() if q != "opened_top"})
    holes = [look for look in wall.looks.looks if look.place == "hole"]
    rest = [look for look in wall.looks.looks if look.place != "hole"]
    (attic,) = (look for look in rest if look.place == "attic")
    length = wall.looks.length_in
    assert full.evaluate(replace(case, walls=(wall,)), wall.id).verdict == "likely_non_bearing"
    tried = 0
    for count in range(len(holes)):
        for kept in combinations(holes, count):
            # from the attic its first eight feet were seen; holes there add nothing
            spots = [attic.to_in, *sorted(h.from_in for h in kept if h.from_in > attic.to_in)]
            gap = length - spots[-1] > END_IN or any(b - a > GAP_IN for a, b in pairwise(spots))
            if not gap:
                continue
            left = replace(wall, looks=replace(wall.looks, looks=(*rest, *kept)))
            changed = replace(case, walls=(left,))
            assert full.evaluate(changed, wall.id).verdict != "likely_non_bearing", spots
            tried += 1
    assert tried >= 10
