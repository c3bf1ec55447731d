"""The drawn plan in reports: the outline of L and T shapes, walls and joists in place."""

from __future__ import annotations

import pytest

from tests.unit.plans import larch_road
from walltriage.case.geometry import Rectangle
from walltriage.case.read import parse_case
from walltriage.report.drawing import LETTER, WIDTH, Label, Shape
from walltriage.report.plan import plan_drawing
from walltriage.report.plan_of_house import house_plan_view, outline


def area(corners) -> float:
    """The area inside, by the shoelace formula."""
    pairs = zip(corners, (*corners[1:], corners[0]), strict=True)
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs)) / 2


@pytest.mark.parametrize(
    ("rects", "corners"),
    [
        ([Rectangle(0, 0, 40, 28)], 4),
        ([Rectangle(0, 0, 40, 28), Rectangle(24, 28, 40, 42)], 6),  # L
        ([Rectangle(0, 0, 40, 28), Rectangle(10, 28, 24, 42)], 8),  # T
        ([Rectangle(0, 0, 40, 28), Rectangle(-10, 5, 0, 20), Rectangle(10, -8, 30, 0)], 12),
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


def labels(drawing):
    return {item.text: item for item in drawing.items if isinstance(item, Label)}


def test_sizes_beams_posts_stairs_and_other_walls_are_told(full):
    plan = parse_case(larch_road(), "c.yaml", full.base.questions).plan
    ground = plan_drawing(house_plan_view(plan, "w1", "kitchen to living"))
    assert {"40 ft", "42 ft", "front", "ridge", "w3", "kitchen to living"} <= set(labels(ground))
    assert "w2" not in labels(ground)  # on another level
    named = plan_drawing(house_plan_view(plan, "w1", "kitchen to living", {"w3": "den to hall"}))
    assert {"kitchen to living", "den to hall"} <= set(labels(named))
    assert "w3" not in labels(named)
    upper = plan_drawing(house_plan_view(plan, "w2", "upstairs hall"))
    assert "Stair opening: ladder." in upper.caption
    assert "Also drawn: stair opening: ladder." in upper.desc
    inside = larch_road(("{level: basement, along: front", "{level: ground, along: front"),
                        ("level: basement, left: 12 ft", "level: ground, left: 12 ft"))  # fmt: skip
    told = plan_drawing(house_plan_view(parse_case(inside, "c.yaml", full.base.questions).plan,
                                        "w1", "kitchen to living")).caption  # fmt: skip
    assert "Beam: dashed double line. Post: filled square." in told


def test_metric_houses_are_told_in_metres(full):
    metric = larch_road(("width: 40 ft, depth: 28 ft", "width: 12.2 m, depth: 8.5 m"),
                        ("width: 16 ft, depth: 14 ft", "width: 4.9 m, depth: 4.3 m"))  # fmt: skip
    plan = parse_case(metric, "c.yaml", full.base.questions).plan
    assert "12.22 m" in labels(plan_drawing(house_plan_view(plan, "w1", "kitchen")))


@pytest.mark.parametrize("at", [2, 6, 13, 20, 26])
@pytest.mark.parametrize("along", ["front", "left"])
def test_a_name_never_lies_on_its_own_wall_nor_off_the_sheet(full, at, along):
    text = larch_road(("along: front, off: 14 ft, from: 0, to: 22 ft",
                       f"along: {along}, off: {at} ft, from: 2 ft, to: 12 ft"))  # fmt: skip
    plan = parse_case(text, "c.yaml", full.base.questions).plan
    drawing = plan_drawing(house_plan_view(plan, "w1", "kitchen to living room"))
    name = labels(drawing)["kitchen to living room"]
    half = len(name.text) * name.size * LETTER / 2
    assert half <= name.x <= WIDTH - half
    wall = next(s for s in drawing.items if isinstance(s, Shape) and s.width == 2 and s.fill)
    xs, ys = [x for x, _ in wall.points], [y for _, y in wall.points]
    beside = name.x + half < min(xs) or name.x - half > max(xs)
    assert beside or name.y < min(ys) or name.y - name.size > max(ys)
