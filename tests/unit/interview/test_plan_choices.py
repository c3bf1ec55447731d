"""What is offered to be drawn on a level."""

from __future__ import annotations

from walltriage.case.plan import DrawnLine, Length, Part, Plan
from walltriage.interview.plan_choices import choices


def offered(*walls: DrawnLine) -> set[str]:
    size = Length.of("30 ft")
    plan = Plan(levels=("ground",), parts=(Part("main", size, size, ("ground",)),), walls=walls)
    return {choice.value for choice in choices(plan, "ground", 0)}


def test_an_opening_is_offered_where_a_wall_can_have_one():
    """A short wall under the roof slope has no doors to be drawn."""
    knee = DrawnLine("left", level="ground", kind="knee_wall")
    wall = DrawnLine("left", level="ground")
    assert "opening" not in offered()
    assert "opening" not in offered(knee)
    assert "opening" in offered(knee, wall)


def test_joists_are_asked_of_people_who_may_have_seen_them():
    assert "joists" not in offered()
