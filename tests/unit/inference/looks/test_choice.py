"""What is asked whatever it is worth: lists followed up, trouble, the last gate."""

from __future__ import annotations

import numpy as np

from walltriage.case.model import Answer, Case, Step, Wall
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
