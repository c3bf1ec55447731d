"""The drawn plan in reports: the outline of L and T shapes, walls and joists in place."""

from __future__ import annotations

import pytest

from tests.unit.plans import larch_road
from walltriage.case.geometry import Rect
from walltriage.case.read import parse_case
from walltriage.report.plan import plan_drawing
from walltriage.report.plan_of_house import house_plan_view, outline


def area(corners) -> float:
    """The area inside, by the shoelace formula."""
    pairs = zip(corners, (*corners[1:], corners[0]), strict=True)
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs)) / 2


@pytest.mark.parametrize(
    ("rects", "corners"),
    [
        ([Rect(0, 0, 40, 28)], 4),
        ([Rect(0, 0, 40, 28), Rect(24, 28, 40, 42)], 6),  # L
        ([Rect(0, 0, 40, 28), Rect(10, 28, 24, 42)], 8),  # T
        ([Rect(0, 0, 40, 28), Rect(-10, 5, 0, 20), Rect(10, -8, 30, 0)], 12),
    ],
)
def test_outline_goes_once_around(rects, corners):
    found = outline(rects)
    assert len(found) == corners
    assert area(found) == sum((r.x1 - r.x0) * (r.y1 - r.y0) for r in rects)


def test_the_wall_is_where_it_was_drawn(full):
    plan = parse_case(larch_road(), "c.yaml", full.base.questions).plan
    view = house_plan_view(plan, "w1", "kitchen to living")
    asked = [wall for wall in view.walls if wall.asked]
    assert [(w.name, w.start, w.end) for w in asked] == [
        ("kitchen to living", (0.0, -168.0), (264.0, -168.0))
    ]
    assert len(view.outline) == 6
    assert plan_drawing(view).items
    upper = house_plan_view(plan, "w2", "hall")
    assert upper.joists[0].direction == (0.0, 1.0)


def test_what_is_not_drawn_gives_no_view(full):
    text = larch_road((", to: 22 ft}", "}"), ("depth: 14 ft", "depth: unknown"))
    plan = parse_case(text, "c.yaml", full.base.questions).plan
    assert house_plan_view(plan, "w1", "w1") is None
    assert house_plan_view(plan, "w9", "w9") is None
    assert house_plan_view(plan, "w2", "w2") is not None
