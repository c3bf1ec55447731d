"""What is asked whatever it is worth: lists followed up, trouble, the last gate."""

from __future__ import annotations

import numpy as np

from tests.conftest import HERE
from walltriage.case.model import Answer, Case, Step, Wall
from walltriage.case.read import read_case
from walltriage.inference.looks.gate_worth import parts_in_lifting
from walltriage.inference.looks.trouble import danger
from walltriage.interview.planner import Planner
from walltriage.interview.session import Session
from walltriage.knowledge.reads import questions_behind


def asked_with(full, answers, **more):
    """Questions asked of somebody who answers so, else does not know; and the session."""
    session = Session(Planner(full), Case(name="h", walls=(Wall("w1", "w"),), **more))
    while session.step is not None:
        session.answer(answers.get(session.step.question, "unknown"))
    return [step.question for step in session.case.asked], session


LOW_WALL = {
    "house_kind": "detached", "walls_made_of": "wood_frame", "house_history": "none_of_these",
    "house_movement": "none_of_these", "above_wall": "only_attic", "wall_place": "inside",
    "wall_height": "part_low", "round_the_wall": "one_or_more", "post_at_wall": "post_or_bump",
}  # fmt: skip


def test_one_or_more_is_followed_up_at_once(full):
    """Each thing of the list, before anything else is asked."""
    asked, _ = asked_with(full, LOW_WALL, reach=2)
    start = asked.index("round_the_wall") + 1
    opened = set(full.base.questions["round_the_wall"].entry.opens["one_or_more"])
    assert set(asked[start : start + len(opened)]) == opened


def test_trouble_is_asked_in_every_interview(full):
    """Whatever ends it: scope, a verdict, or a person who knows nothing."""
    lists, _ = danger(full.worth)
    assert lists == {"house_movement"}
    bears = LOW_WALL | {"wall_place": "once_outside"}
    for answers in ({}, LOW_WALL, bears, {"walls_made_of": "logs"}):
        for reach in (0, 2):
            assert lists <= set(asked_with(full, answers, reach=reach)[0])


def test_a_sagging_house_is_urgent_by_interview_and_by_file(full):
    """What is told of the house counts alike, however it comes in."""
    trouble = LOW_WALL | {
        "house_movement": "one_or_more", "ridge_look": "clear_sag", "crack_kind": "wide",
        "recent_change": "clear_change", "rot_or_insects": "some_seen",
    }  # fmt: skip
    _, session = asked_with(full, trouble, reach=2)
    assert session.finding().walls[0].referral.level == "urgent"


TRUSSED = HERE.parent / "transcripts_demo" / "01-ranch-with-trusses.yaml"


def asked_of_trussed(full, **other):
    """Questions asked of the person of a recorded interview in a trussed house, who answers some
    of them otherwise."""
    case = read_case(TRUSSED, full.base.questions)
    told = {**case.house, **case.walls[0].answers}
    answers = {name: answer.given for name, answer in told.items()} | other
    return asked_with(full, answers, reach=case.reach, role=case.role)[0]


def test_nobody_is_sent_below_before_it_was_asked_what_is_there(full):
    """Under a slab there is no level below."""
    asked = asked_of_trussed(full, below_wall="slab")
    assert "below_wall" in asked
    assert "under_wall" not in asked
    asked = asked_of_trussed(full, below_wall="crawl_space", under_wall="open_joists")
    assert asked.index("below_wall") < asked.index("under_wall")


def test_what_lets_a_gate_go_is_asked_before_what_only_touches_it(full):
    """That the house is small says at once that it needs no bracing inside; trim says little."""
    asked = asked_of_trussed(
        full, house_exposure="one_or_more", quake_or_wind="coast_wind", house_county="second_row",
        outer_walls_open="mostly_solid", house_length="36 ft", house_width="26 ft",
        trim_match="same_kind", opening_in_wall="door",
    )  # fmt: skip
    assert {"house_length", "house_width"} <= set(asked)
    assert not {"trim_match", "opening_in_wall", "plain_length"} & set(asked)


def test_parts_in_lifting_a_gate(full):
    """One measurement lifts what two looks lift together."""
    gates = {gate.id: gate for gate in full.base.guards.gates}
    old_edge, behind = gates["gate_old_edge_not_sought"], questions_behind(full.base)
    parts = parts_in_lifting(old_edge, behind)
    assert (parts["wall_thickness"], parts["outside_traces"]) == (1, 0.5)


def test_unanswered_gates_make_the_next_question(small):
    """With the chance low enough, what lifts the last gate is still asked."""
    case = Case(
        walls=(Wall("w1", answers={"above_wall": Answer("attic", None, "attic")}),),
        asked=(Step("w1", "above_wall"),),
    )
    evaluation = small.evaluate(case, "w1")
    evaluation.beliefs.measures["upper"] = np.array([0.001])
    assert Planner(small).next_step(case, "w1", evaluation).step is not None
