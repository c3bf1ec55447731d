"""The second family of houses: valid answers, a truthful perfect person, wrong together."""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest

from tests.second_family.answers import answer_all, tell
from tests.second_family.houses import draw
from tests.second_family.look import Look
from tests.second_family.spans import allowed_ft
from walltriage.inference.columns.codes import FIRST_VALUE
from walltriage.inference.columns.evaluator import ColumnEvaluator
from walltriage.lab.reporter import REPORTERS


def test_spans_agree_with_the_code():
    """IRC 2018 Table R502.3.1(2), spruce-pine-fir No. 2, 16 in, 40 and 10 psf: within 3 %."""
    for size, feet in (("2x6", 9.33), ("2x8", 12.25), ("2x10", 15.42)):
        assert allowed_ft(size, 40, 10, 360) == pytest.approx(feet, rel=0.03)


@pytest.mark.parametrize("reporter", REPORTERS)
def test_every_answer_is_one_of_its_question(full, reporter):
    questions = full.base.questions
    for number in range(150):
        house = draw(number)
        for wall in house.walls:
            for name, told in tell(house, wall, number, reporter, "opened").items():
                assert name in questions
                if isinstance(told, str) and told not in ("unknown", "out_of_reach"):
                    assert told in questions[name].values, name


def test_truth_is_of_every_kind():
    walls = [w for number in range(500) for w in draw(number).walls]
    assert 0.2 < np.mean([w.bears for w in walls]) < 0.5
    counted = Counter(path for w in walls for path in w.paths)
    assert set(counted) == {"framing_above", "roof_struts", "wall_above", "point_load", "perimeter"}
    assert all(not w.bears for w in walls if w.kind == "later")
    low = [w for w in walls if w.kind == "half"]
    assert all(w.bears == bool(w.see.get("post")) for w in low)
    assert 0 < sum(w.bears for w in low) < len(low) / 2
    assert {w.bears for w in walls if w.kind == "knee"} == {True, False}


def test_what_is_out_of_view_or_between_holes_is_not_told():
    """A strut outside the part seen, and joist ends between holes, are told by nobody."""
    hidden = closed = 0
    for number in range(400):
        house = draw(number)
        for wall in house.walls:
            look = Look(house, wall, number, "usual")
            said = tell(house, wall, number, "perfect", "opened")
            view = Look(house, wall, number, "perfect")
            if wall.see["above_is"] == "attic" and wall.see.get("strut") and not view.in_view():
                assert said["props_at_wall"] != "on_wall"
                assert said["wall_top"] != "clear_all_along"
                hidden += 1
            if wall.kind == "support" and said["opened_joist_end"] == "end_or_lap":
                closed += not look.laps_through_holes()
    assert hidden > 10
    assert closed > 10


def test_lost_people_tell_of_the_nearest_wall(monkeypatch):
    """At the wrong place in the attic, the run of the joists is that of the nearest wall."""
    from tests.second_family import people

    care = {**people.CARE, "usual": (1.0, 0.0, 1.0, 0.0, 0)}
    monkeypatch.setattr(people, "CARE", care)
    told = Counter()
    for number in range(300):
        house = draw(number)
        for wall in house.walls:
            if wall.near is not None and "ends_over" in wall.near.see:
                continue
            if wall.near is None or wall.see["above_is"] != "attic" or wall.kind == "half":
                continue
            said = tell(house, wall, number, "usual", "attic").get("attic_joists_at_wall")
            words = {"breaks": "end_or_lap", "through": "run_through", "beside": "none_touch"}
            there = wall.near.kind != "half" or said != "none_touch"
            told[
                said == words.get(str(wall.near.see["joist_at_wall"]), "unknown") or not there
            ] += 1
    assert told[True] > 100
    assert not told[False]


def test_same_format_as_the_first_family(full):
    evaluator = ColumnEvaluator(full.base)
    batch, truth = answer_all(evaluator, 7, 60, "perfect", "attic")
    assert len(batch) == len(truth) == 60
    assert (batch.codes >= FIRST_VALUE).sum(axis=1).min() > 20
    assert 0 < truth.seen.mean() < 1
