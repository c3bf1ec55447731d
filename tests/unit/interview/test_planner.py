"""The order of questions, the places they are asked in, and where the asking ends."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from walltriage.case.model import HOUSE, Answer, Case, Step, Wall
from walltriage.inference.engine.strata import stratify
from walltriage.inference.looks.choice import LookChoice
from walltriage.inference.looks.policy import InterviewPolicy
from walltriage.inference.looks.progress import PLACES, Progress
from walltriage.interview.planner import Planner
from walltriage.interview.session import Session


@pytest.fixture(scope="module")
def housed_planner(housed):
    return Planner(housed)


def walk(planner, answers, **more):
    """Ask until the end; answers not given are unknown.  Steps and session."""
    session = Session(planner, Case(name="h", walls=(Wall("w1", "w"),), **more))
    while session.step is not None:
        session.answer(answers.get(session.step.question, "unknown"))
    return [step.question for step in session.case.asked], session


BY_THE_BOOK = {
    "storeys": "one",
    "built_of": "wood",
    "above_wall": "attic",
    "joists_end": "none_end",
    "joists_run": "along",
    "wall_below": "nothing",
}


def test_house_first_then_the_wall_then_guards(housed_planner):
    """First questions of the house, first ones of the wall, what shuts a building out, the rest."""
    asked, session = walk(housed_planner, BY_THE_BOOK)
    assert asked[:3] == ["storeys", "above_wall", "built_of"]
    assert session.case.asked[0] == Step(HOUSE, "storeys")
    assert session.next.stop == "verdict"
    assert session.finding().walls[0].verdict == "likely_non_bearing"


def test_question_nothing_reads_is_never_asked(housed_planner):
    """An answer that could not matter is not asked for."""
    asked, session = walk(housed_planner, {"storeys": "one", "built_of": "wood"})
    assert "colour" not in asked
    assert session.next.stop == "futile"


def test_only_who_can_answer_is_asked(housed_planner):
    """A question for firms is put to firms alone."""
    assert "license" not in walk(housed_planner, BY_THE_BOOK, role="trade")[0]
    assert "license" in walk(housed_planner, BY_THE_BOOK, role="firm")[0]


def test_out_of_scope_nobody_is_sent_anywhere(housed_planner, housed):
    """What can be told without a walk may still show weight; nothing clears such a wall."""
    asked, session = walk(housed_planner, BY_THE_BOOK | {"built_of": "brick"})
    assert all(housed.base.questions[name].entry.effort <= 1 for name in asked)
    assert session.next.stop == "scope"
    assert session.finding().walls[0].verdict == "cannot_tell"


def test_decisive_sign_ends_it(housed_planner):
    """Once something is known to stand on the wall, no more is asked."""
    asked, session = walk(housed_planner, BY_THE_BOOK | {"joists_end": "some_end"})
    assert asked[-1] == "joists_end"
    assert session.next.stop == "verdict"
    assert session.finding().walls[0].verdict == "likely_bearing"


def test_attic_is_finished_before_coming_down(housed_planner, housed):
    """Questions of one far place follow each other."""
    asked, _ = walk(housed_planner, {"above_wall": "attic"})
    places = [housed.base.questions[name].place for name in asked]
    runs = [p for i, p in enumerate(places) if i == 0 or places[i - 1] != p]
    assert runs.count("attic") == 1
    assert places.count("attic") == 2


def test_more_here_counts_down(housed_planner):
    """Progress tells how many questions are left at this place."""
    session = Session(housed_planner, Case(walls=(Wall("w1"),)))
    counts = []
    while session.step is not None:
        if session.question(session.step).place == "attic":
            counts.append(session.next.more_here)
        session.answer({"above_wall": "attic"}.get(session.step.question, "unknown"))
    assert counts == [1, 0]


def test_two_questions_without_an_answer_close_a_place(housed_planner):
    """A place where nobody gets to or knows anything is left alone, until something is seen."""
    gone = {"joists_run": Answer("out_of_reach"), "joists_end": Answer("out_of_reach")}
    blocked = housed_planner.closed_places
    case = Case(walls=(Wall("w1", answers=gone),))
    assert blocked(case, "w1") == {"attic"}
    lost = {"joists_run": Answer("unknown"), "joists_end": Answer("out_of_reach")}
    assert blocked(Case(walls=(Wall("w1", answers=lost),)), "w1") == {"attic"}
    once = {"joists_run": Answer("out_of_reach")}
    assert blocked(Case(walls=(Wall("w1", answers=once),)), "w1") == set()
    seen = gone | {"joists_run": Answer("along", None, "along")}
    assert blocked(Case(walls=(Wall("w1", answers=seen),)), "w1") == set()


def test_closed_place_is_not_asked_about(housed):
    """What is closed is passed over."""
    answers = BY_THE_BOOK | {"joists_end": "out_of_reach"}
    asked, _ = walk(Planner(housed, InterviewPolicy(closed_after=1)), answers)
    assert "joists_end" in asked
    assert "joists_run" not in asked


def test_length_is_bounded(housed):
    """Nobody is asked more than a person can bear about one wall."""
    planner = Planner(housed, InterviewPolicy(most_wall_questions=2))
    _, session = walk(planner, {"above_wall": "attic"})
    assert len([s for s in session.case.asked if s.subject == "w1"]) == 2
    assert session.next.stop == "length"


def test_nearly_there_gets_a_few_more(housed):
    """Close to a verdict the bound on length gives way a little, and then holds as well."""
    planner = Planner(housed, InterviewPolicy(most_wall_questions=1, most_when_nearly_there=2))
    case = Case(
        house={"storeys": Answer("one"), "built_of": Answer("wood")},
        walls=(Wall("w1", answers={"above_wall": Answer("attic")}),),
        asked=(Step("w1", "above_wall"),),
    )
    far = housed.evaluate(case, "w1")
    upper = {"upper": np.array([planner.policy.nearly * 0.01])}
    near = replace(far, believed=replace(far.beliefs, measures=far.beliefs.measures | upper))
    assert planner.next_step(case, "w1", far).stop == "length"
    assert planner.next_step(case, "w1", near).step == Step("w1", "joists_end")
    asked = replace(case, asked=(*case.asked, Step("w1", "joists_end")))
    assert planner.next_step(asked, "w1", near).stop == "length"


def choice(triager) -> LookChoice:
    return LookChoice(triager.worth, tuple(item.id for item in stratify(triager.base)))


def standing(here: str, been: set[str]) -> Progress:
    """Somebody who is here and has been there."""
    return Progress(
        np.array([PLACES.index(here)]), np.array([[place in been for place in PLACES]]),
        np.array([0]), np.array([4]), np.array([0]), np.zeros((1, 0), bool),
    )  # fmt: skip


def routed(triager, best: str, left: set[str], progress: Progress) -> str:
    """What is asked before ``best``, or itself."""
    ours, names = choice(triager), list(triager.base.questions)
    row = np.array([[name in left for name in names]])
    picked = ours._router(np.array([names.index(best)]), row, ours._costs(progress), progress)
    return names[picked[0]]


def test_what_tells_whether_others_apply_comes_first(housed):
    """When it costs no more; and nobody is called down from the attic for it."""
    left = {"joists_end", "above_wall", "wall_below"}
    at_the_desk = standing("desk", set())
    assert routed(housed, "joists_end", left, at_the_desk) == "above_wall"
    assert routed(housed, "wall_below", left, at_the_desk) == "wall_below"
    assert routed(housed, "joists_end", left, standing("attic", {"attic"})) == "joists_end"


def test_going_back_is_dear(housed):
    """A place one has come down from costs more than one not yet visited."""
    ours, column = choice(housed), list(housed.base.questions).index("joists_end")

    def cost(here: str, been: set[str]) -> float:
        return float(ours._costs(standing(here, been))[0, column])

    fresh = cost("rooms", {"rooms"})
    assert cost("attic", {"attic"}) < fresh
    assert cost("rooms", {"attic", "rooms"}) == InterviewPolicy().going_back * fresh


def test_planning_is_deterministic(small):
    """Two planners over the same case agree on every step."""
    for pick in ("unknown", "out_of_reach"):
        one = walk(Planner(small), {"above_wall": "attic", "wall_below": pick})[0]
        two = walk(Planner(small), {"above_wall": "attic", "wall_below": pick})[0]
        assert one == two
