"""What can be drawn in an interview, asked by a script instead of a person."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import pytest

from walltriage.case.geometry import Layout
from walltriage.case.model import Case, Drawing, Wall
from walltriage.case.plan import Area, DrawnLine, Length, Part, Plan
from walltriage.interview import plan_house, plan_things
from walltriage.interview.form import Form
from walltriage.interview.replies import understand

LEVELS = ("basement", "ground", "upstairs")


def feet(number: float) -> Length:
    return Length(number * 12, f"{number:g} ft")


class Scripted:
    """Answers pages by what they ask; every answer must be used, and none be missing."""

    def __init__(self, *answers: tuple[str, str], drawing: Drawing | None = None) -> None:
        self.answers = list(answers)
        self.told: list[str] = []
        self.case = Case(walls=(Wall("w1", "kitchen"),), drawing=drawing)
        self.kept: list[Drawing | None] = []
        self.screen = SimpleNamespace(trouble=self.told.append)

    @property
    def session(self):
        return self

    @property
    def walls(self):
        return self.case.walls

    def set_drawing(self, drawing):
        self.case = replace(self.case, drawing=drawing)

    def save(self):
        self.kept.append(self.case.drawing)

    def ask(self, page):
        start, typed = self.answers.pop(0)
        assert page.ask.startswith(start), (page.ask, start)
        return understand(typed, page)


def asked(build, *answers):
    """What ``build`` makes of the answers."""
    interview = Scripted(*answers)
    (made,) = Form(interview, "it").fill(build)
    assert interview.answers == []
    return made


@pytest.fixture
def plan():
    return Plan(feet(0.5), LEVELS, (), (Part("main", feet(36), feet(26), LEVELS),))


def test_stairs_are_a_hole_in_the_upper_floor(plan):
    made = asked(
        lambda form: plan_things.stairs(form, plan, ("ground", "upstairs")),
        ("On which level is the upper end", "upstairs"),
        ("Where does the hole in that floor begin, counted from the left", "about 10 ft"),
        ("And where does the hole in that floor end", "20 ft"),
        ("Where does the hole in that floor begin, counted from the front", "12'"),
        ("And where does the hole in that floor end", "4.6 m"),
    )
    (hole,) = made.stairs
    assert hole.level == "upstairs"
    ends = (*hole.left, *hole.front)
    assert [end.given for end in ends] == ["about 10 ft", "20 ft", "12'", "4.6 m"]
    assert [end.out_in for end in ends] == [30.0, 0.0, 0.0, 0.0]


def test_what_cannot_be_placed_is_not_drawn(plan):
    stairs = asked(
        lambda form: plan_things.stairs(form, plan, ("basement", "ground")),
        ("Where does the hole", "10 ft"), ("And where", "d"), ("Where", "1 ft"), ("And", "2 ft"),
    )  # fmt: skip
    post = asked(
        lambda form: plan_things.post(form, plan, ("basement",)),
        ("How far is the post", "12 ft"), ("And how far", "d"),
    )  # fmt: skip
    assert stairs == post == plan


def test_knee_walls_are_measured_from_the_side_they_run_beside(plan):
    made = asked(
        lambda form: plan_things.knee_wall(form, plan, ("upstairs",)),
        ("Which outside wall does the knee wall", "The back"),
        ("How far is the knee wall from the back", "5 ft"),
        ("Where does the knee wall begin, counted from the left", "0"),
        ("And where does the knee wall end", "36 ft"),
    )
    (wall,) = Layout(made).walls
    assert (wall.line.kind, wall.at, wall.lo, wall.hi) == ("knee_wall", 21 * 12, 0, 432)


def test_joists_over_a_stretch_only(plan):
    made = asked(
        lambda form: plan_things.joists(form, plan, LEVELS),
        ("Where did you see", "From the basement or crawl space"),
        ("Which way do they run", "From front to back"),
        ("Do they run that way over all", "2"),
        ("Where does that stretch", "0"), ("And where", "18 ft"),
        ("Where does that stretch", "d"), ("And where", "d"),
    )  # fmt: skip
    assert made.joists == (Area("basement", "", (Length(0, "0"), feet(18)), None, "left", "below"),)


def test_an_opening_in_one_of_several_walls(plan):
    first = DrawnLine("front", feet(13), feet(0), feet(20), "ground", "", "w1")
    other = DrawnLine("left", feet(20), feet(0), feet(13), "ground", "", "", "hall")
    drawn = plan.with_wall(first).with_wall(other)
    made = asked(
        lambda form: plan_things.opening(form, drawn, ("ground",)),
        ("In which wall", "hall"),
        ("Where does the opening begin, counted from the front", "4 ft"),
        ("And where does the opening end", "7 ft"),
    )
    assert [line.openings for line in made.walls] == [(), ((feet(4), feet(7)),)]


def outline(*answers):
    return asked(plan_house.outline, *answers)


def test_half_levels_and_a_hip_roof():
    made = outline(
        ("Which levels", "Parts half a story apart (split-level)"),
        ("How will you measure", "With a tape"),
        ("How wide", "30 ft"), ("How deep", "24 ft"),
        ("Is there a wing", "On the right, seen from the street"),
        ("How far from the front end", "0"), ("How wide", "20 ft"), ("How deep", "24 ft"),
        ("How many levels", "One half a flight down and one half a flight up"),
        ("Was it built", "1"), ("Another one", "No"),
        ("On the plan, which way does the main ridge", "3"),
    )  # fmt: skip
    assert [part.levels for part in made.parts] == [("ground",), ("lower", "upper")]
    (ridge,) = made.ridges
    assert [length.inches / 12 for length in (ridge.off, ridge.start, ridge.end)] == [12, 12, 18]


def test_slopes_that_meet_in_a_point_have_no_ridge():
    made = outline(
        ("Which levels", "Main floor only"), ("How will you measure", "1"), ("How wide", "24 ft"),
        ("How deep", "24 ft"), ("Is there a wing", "1"),
        ("On the plan, which way does the main ridge", "3"),
    )  # fmt: skip
    assert made.ridges == ()


def test_back_goes_one_page_back_and_a_slip_is_asked_again(plan):
    interview = Scripted(
        ("On which level", "main floor"), ("Which way", "1"), ("How far", "thirteen"),
        ("How far", "b"), ("Which way", "2"), ("How far", "13 ft"), ("Where", "0"), ("And", "9 ft"),
    )  # fmt: skip
    (line,) = Form(interview, "it").fill(lambda form: plan_things.wall_line(form, plan, "w1"))
    assert (line.along, line.level) == ("left", "ground")
    assert len(interview.told) == 1
    assert "'thirteen' is not a length" in interview.told[0]


def two_lengths(form):
    return form.length("How wide", ""), form.choose("Which way", (("a", "A"), ("b", "B")))


def test_each_reply_is_kept_and_nothing_is_left_at_the_end():
    """What was answered before the last page is on record after every page."""
    interview = Scripted(("How wide", "12 ft"), ("Which way", "2"))
    assert Form(interview, "it").fill(two_lengths) == [(feet(12), "b")]
    assert interview.kept == [
        Drawing("it"), Drawing("it", ("12 ft",)), Drawing("it", ("12 ft", "b")),
    ]  # fmt: skip
    assert interview.case.drawing is None


@pytest.mark.parametrize(
    ("kept", "answers"),
    [
        (Drawing("it", ("12 ft",)), [("Which way", "2")]),
        (Drawing("it", ("12 ft", "b")), []),
        (Drawing("it", ("12 ft", "z")), [("Which way", "2")]),
        (Drawing("it", ("nonsense", "b")), [("How wide", "12 ft"), ("Which way", "2")]),
        (Drawing("other", ("9 ft", "a")), [("How wide", "12 ft"), ("Which way", "2")]),
    ],
)
def test_a_form_goes_on_where_it_stopped(kept, answers):
    """Replies kept before are not asked for again, unless they fit no longer."""
    interview = Scripted(*answers, drawing=kept)
    assert Form(interview, "it").fill(two_lengths) == [(feet(12), "b")]
    assert interview.answers == []
