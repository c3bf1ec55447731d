"""What follows from a plan: answers, doubts, contradictions, verdicts from above."""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import permutations

import pytest

from tests.conftest import RULES
from tests.unit.plans import larch_road
from walltriage.case.model import Answer, Case, Wall
from walltriage.case.plan import DrawnLine, Length, Part, Plan
from walltriage.case.read import parse_case
from walltriage.errors import InputError
from walltriage.inference.record import outcome
from walltriage.inference.relations.plan_answers import PlanReader, check_relations
from walltriage.knowledge.load import load_knowledge


def case_of(full, *changes):
    return parse_case(larch_road(*changes), "c.yaml", full.base.questions)


def told(full, wall, *changes):
    case = case_of(full, *changes)
    answers = full.answers(case, wall)
    return {n: a.value if a.number is None else a.number for n, a in answers.items()}


@pytest.mark.parametrize(
    ("wall", "expected"),
    [
        ("w1", {
            "house_width": 336.0, "ridge_direction": "along_length", "additions": "one_part",
            "wall_level": "ground", "above_wall": "rooms_all_along", "wall_length": 264.0,
            "wall_against_ridge": "with_ridge", "place_in_depth": "middle_third",
            "distance_one_side": 168.0, "distance_other_side": 168.0, "hall_wall": "no_hall",
            "wall_over_wall": "within_1_ft", "under_wall": "on_line",
            "wall_ends_over": "none_cross",
            "post_below": "post_or_pad", "ridge_over_wall": "under_ridge",
            "bearing_wall_above": "bearing_above",
        }),
        ("w2", {
            "wall_level": "top", "above_wall": "only_attic", "attic_joist_run": "across",
            "hall_wall": "hall_side", "below_wall": "covered_ceiling", "wall_line": "long_line",
            "wall_below_wall": "on_line", "distance_one_side": 171.0, "distance_other_side": 39.0,
        }),
        ("w3", {
            "wall_place": "once_outside", "wing_corner": "at_wing", "wall_length": 192.0,
            "outer_wall_above": "stands_over", "wall_over_wall": "within_1_ft",
        }),
    ],
)  # fmt: skip
def test_answers_by_hand(full, wall, expected):
    """Each worked out by hand from the numbers on the plan."""
    found = told(full, wall)
    assert {name: found.get(name) for name in expected} == expected


def test_within_the_tolerance_of_an_edge_nothing_is_said(full):
    """A wall 7 in off the one above is within a foot by tape; paced, it may not be."""
    off = ("off: 14 ft 3 in", "off: 14 ft 7 in")
    assert told(full, "w1", off)["wall_over_wall"] == "within_1_ft"
    paced = told(full, "w1", off, ("tolerance: 3 in", "tolerance: 1 ft"))
    assert "wall_over_wall" not in paced


def test_a_number_across_a_band_carries_no_evidence(full):
    """22 ft paced is a length, but 12 ft and a foot may be on either side of a band's end."""
    paced = ("tolerance: 3 in", "tolerance: 1 ft")
    clear = full.answers(case_of(full, paced), "w1")["wall_length"]
    assert (clear.number, clear.value) == (264.0, "long")
    doubt = full.answers(case_of(full, paced, ("to: 22 ft}", "to: 12.5 ft}")), "w1")["wall_length"]
    assert (doubt.number, doubt.value) == (150.0, "")


def test_walls_not_drawn_are_not_taken_for_absent(full):
    """Without the level drawn whole, no distance, no "none", no "alone"."""
    found = told(full, "w1", ("whole: [ground, upstairs]", "whole: []"))
    assert not {"distance_one_side", "hall_wall", "wall_ends_over", "wall_line"} & set(found)
    assert found["wall_over_wall"] == "within_1_ft"  # a wall that is drawn is there


MEETS_STACK = (  # w3 from the back to w1, over which w2 stands upstairs
    ("{wall: w3, level: ground, along: back, off: 0 ft, from: 24 ft, to: 40 ft}",
     "{wall: w3, level: ground, along: left, off: 18 ft, from: 14 ft, to: 28 ft}"),
    ("from: 0 ft, to: 30 ft}", "from: 0 ft, to: 12 ft}"),
)  # fmt: skip


def test_a_wall_that_meets_a_stacked_wall_has_nothing_over_it(full):
    """What stands over its very end goes down by the wall there: no clash with "nothing"."""
    found = told(full, "w3", *MEETS_STACK)
    assert not {"wall_ends_over", "upstairs_round"} & set(found)
    case = case_of(full, *MEETS_STACK).with_answer("w3", "upstairs_round", Answer("none_of_these"))
    assert not full.finding(case).walls[-1].contradictions


@pytest.mark.parametrize(
    ("change", "ends_over"),
    [
        # w1 stops short of it: the upper wall crosses with nothing under it there
        (("from: 0, to: 22 ft", "from: 0, to: 10 ft"), "crosses"),
        # the upper wall runs 4 ft in from the end, on nothing
        (("off: 14 ft 3 in", "off: 18 ft"), "crosses"),
    ],
)
def test_a_wall_over_it_that_stands_on_nothing_else_still_counts(full, change, ends_over):
    found = told(full, "w3", *MEETS_STACK, change)
    assert (found["wall_ends_over"], found["upstairs_round"]) == (ends_over, "one_or_more")


def test_sureness_goes_with_the_tolerance(full):
    for tolerance, sure in (("3 in", "certain"), ("6 in", "fairly"), ("2 ft", "guess")):
        case = case_of(full, ("tolerance: 3 in", f"tolerance: {tolerance}"))
        assert full.answers(case, "w1")["wall_level"].sure == sure


ROUGH_HALL = ("off: 17 ft 6 in", "off: about 17 ft 6 in")


def test_one_rough_line_leaves_what_does_not_rest_on_it(full):
    """A hall wall by eye, the rest by tape: the other wall's own place stays sure, the hall not."""
    answers = full.answers(case_of(full, ROUGH_HALL), "w2")
    assert answers["wall_length"].sure == "certain"
    assert answers["house_width"].sure == "certain"
    assert answers["above_wall"].sure == "certain"
    assert answers["wall_line"].sure == "guess"
    assert "hall_wall" not in answers  # 3 ft 3 in from this one, give or take 3 ft 6 in
    taped = full.answers(case_of(full), "w2")
    assert (taped["hall_wall"].value, taped["hall_wall"].sure) == ("hall_side", "certain")
    assert taped["wall_line"].sure == "certain"


@pytest.mark.parametrize("wall", ["w1", "w2", "w3"])
def test_a_rough_line_says_no_more_than_a_rough_plan(full, wall):
    """Where everything counts as by eye an answer may be missing; it is never another one."""
    by_eye = told(full, wall, ("tolerance: 3 in", "tolerance: 2 ft 6 in"))
    rough, taped = told(full, wall, ROUGH_HALL), told(full, wall)
    assert set(rough) <= set(taped)
    assert all(rough[name] == value for name, value in by_eye.items() if name in rough)
    assert set(by_eye) <= set(rough)


def test_a_wall_given_roughly_is_itself_a_guess(full):
    """Its own place is out by what its words say: give or take 4 in is less than by eye."""
    for off, sure in (("about 14 ft 3 in", "guess"), ("14 ft 3 in ± 4 in", "fairly")):
        case = case_of(full, ("off: 14 ft 3 in", f"off: {off}"))
        assert full.answers(case, "w2")["wall_length"].sure == sure
        assert full.answers(case, "w1")["wall_length"].sure == "certain"


def test_the_person_counts_before_the_plan_and_the_clash_is_told(full):
    case = case_of(full).with_answer("w1", "wall_over_wall", Answer("none_within_4_ft"))
    assert full.answers(case, "w1")["wall_over_wall"].value == "none_within_4_ft"
    clash = [
        c for c in full.finding(case).walls[0].contradictions if c.rule == "plan_against_answers"
    ]
    [told] = clash[0].answers
    assert told.question == "plan_and_answers"
    assert told.says.endswith(
        "Answered: no wall near the line above. Drawn: a wall above, within 1 ft of the line."
    )


def test_a_measured_answer_clashes_beyond_the_tolerance_only(full):
    for inches, clashes in ((172.0, False), (190.0, True)):
        answer = Answer("", inches, f"{inches:g} in")
        case = case_of(full).with_answer("w1", "distance_one_side", answer)
        assert ("plan_and_answers" in full.answers(case, "w1")) is clashes


def test_dont_know_gives_way_to_the_plan(full):
    case = case_of(full).with_answer("w1", "wall_over_wall", Answer("unknown"))
    assert full.answers(case, "w1")["wall_over_wall"].value == "within_1_ft"


def test_contradiction_between_levels_names_both_answers(full):
    case = case_of(full)
    case = case.with_answer("w1", "opened_joist_run", Answer("along"))
    case = case.with_answer("w2", "joists_below_run", Answer("across"))
    told = {c.rule: c.answers for c in full.finding(case).walls[0].contradictions}
    assert "w1: opened_joist_run is along; w2: joists_below_run is across" in str(
        told["walls_against_each_other"]
    )


def test_offset_beyond_a_joist_depth_is_no_wall_above(full):
    """IRC R502.4: farther off than the joists are deep, the verdict above says nothing here."""
    near = told(full, "w1", ("off: 14 ft 3 in", "off: 15 ft 2 in"))
    far = told(full, "w1", ("off: 14 ft 3 in", "off: 15 ft 6 in"))
    assert near["bearing_wall_above"] == "bearing_above"
    assert "bearing_wall_above" not in far


def test_laps_on_the_other_hall_wall(full):
    """What was answered of one hall wall reaches the other, by answers and not by verdicts."""
    change = ("{name: hall, level: upstairs", "{wall: w4, level: upstairs")
    more = ("walls:\n  - {id: w1", "walls:\n  - {id: w4}\n  - {id: w1")
    assert told(full, "w4", change, more)["hall_neighbour_laps"] == "neighbour_laps"


def test_order_of_walls_changes_nothing(full):
    case = case_of(full)
    first = {w["id"]: w for w in outcome(full.finding(case))["walls"]}
    for walls in permutations(case.walls):
        other = outcome(full.finding(replace(case, walls=walls)))["walls"]
        assert {w["id"]: w for w in other} == first


def random_case(seed: int) -> Case:
    """Up to six walls on up to three levels, stacked and beside each other at random."""
    rng = random.Random(seed)
    levels = ("ground", "upstairs", "top")[: rng.randint(1, 3)]
    walls, lines = [], []
    for number in range(rng.randint(2, 6)):
        wall, at = f"w{number}", rng.choice([100, 104, 110, 150, 160, 230]) + number * 0.01
        level = rng.choice(levels)
        walls.append(Wall(wall, "", _some_answers(rng)))
        lines.append(DrawnLine("front", _in(at), _in(rng.randint(0, 60)),
                               _in(rng.randint(120, 360)), level, "", wall))  # fmt: skip
    plan = Plan(_in(3), levels, levels, (Part("main", _in(400), _in(300), levels),), (),
                tuple(lines))  # fmt: skip
    house = {"top_space": Answer("attic"), "levels_in_house": Answer("two")}
    return Case("h", house, tuple(walls), plan=plan)


def _in(inches: float) -> Length:
    return Length(float(inches), f"{inches} in")


def _some_answers(rng: random.Random) -> dict[str, Answer]:
    choices = {
        "attic_joists_at_wall": ["none_touch", "run_through", "end_or_lap"],
        "attic_joist_run": ["along", "across"],
        "under_wall": ["open_joists", "on_line"],
    }
    return {q: Answer(rng.choice(v)) for q, v in choices.items() if rng.random() < 0.5}


def test_random_houses_end_and_do_not_hang_on_the_order(full):
    """Verdicts wait for verdicts of higher levels only, so every house comes to an end."""
    for seed in range(25):
        case = random_case(seed)
        forward = outcome(full.finding(case))["walls"]
        back = outcome(full.finding(replace(case, walls=case.walls[::-1])))["walls"]
        assert sorted(map(str, forward)) == sorted(map(str, back)), seed


def test_answers_on_one_level_never_wait_for_verdicts_there(full):
    """Of walls on one level none asks for the verdict of another."""
    case = random_case(4)
    flat = replace(case.plan, walls=tuple(replace(w, level="ground") for w in case.plan.walls))
    reader = PlanReader(full.base, flat)
    for wall in case.walls:
        for entry in full.base.relations.verdicts:
            assert list(reader.related(wall.id, entry.relation)) == []


@pytest.mark.parametrize(
    ("was", "now", "message"),
    [
        ("relation: level_kind", "relation: level_kin", "'level_kin' (did you mean 'level_kind'?)"),
        ("verdicts:\n  - relation: above_in_line", "verdicts:\n  - relation: shared_bay",
         "unknown relation 'shared_bay'; expected one of above_in_line"),
    ],
)  # fmt: skip
def test_relations_that_nothing_works_out_are_refused(tmp_path, was, now, message):
    """Among them verdicts read along the level, which could wait for each other."""
    import shutil

    folder = tmp_path / "rules"
    shutil.copytree(RULES, folder)
    path = folder / "relations.yaml"
    text = path.read_text()
    assert was in text
    path.write_text(text.replace(was, now))
    with pytest.raises(InputError) as caught:
        check_relations(load_knowledge(folder))
    assert message in str(caught.value)
