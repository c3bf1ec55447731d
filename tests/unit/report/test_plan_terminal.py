"""The plan as text: what is drawn where, in any house, and in ASCII."""

from __future__ import annotations

import re

import pytest

from tests.unit.plans import larch_road
from walltriage.case.plan import Length, Part, Plan
from walltriage.case.read import parse_case
from walltriage.report.plan_of_house import house_plan_view
from walltriage.report.plan_terminal import WIDEST, plan_text, plan_texts


@pytest.fixture(scope="module")
def plan(full):
    return parse_case(larch_road(), "c.yaml", full.base.questions).plan


def test_drawn_where_they_stand(plan):
    text = plan_text(plan, "ground")
    lines = text.split("\n")
    row = {name: next(i for i, line in enumerate(lines) if f" {name} " in line and "▓" in line)
           for name in ("w1", "w3")}  # fmt: skip
    front = next(i for i, line in enumerate(lines) if "┗" in line)
    back = next(i for i, line in enumerate(lines) if "┏" in line)
    # 42 ft deep in all: w3 stands 28 ft and w1 14 ft from the front
    for name, feet in (("w1", 14), ("w3", 28)):
        assert (front - row[name]) / (front - back) == pytest.approx(feet / 42, abs=0.04)
    wide = len(lines[front].strip())
    assert lines[row["w1"]].strip().count("▓") == pytest.approx(wide * 22 / 40 - 4, abs=2)
    assert "family, 1988" in text
    assert "28 ft deep" not in text
    assert "42 ft deep" in text


def test_every_sign_is_in_the_legend(plan):
    for level in plan.levels:
        text = plan_text(plan, level)
        drawing, _, legend = text.partition("front\n\n")
        for sign in set("▓─│·┅┇■/") & set(drawing):
            assert sign in legend, (level, sign)


def test_openings_are_gaps(full):
    text = larch_road(("to: 22 ft}", "to: 22 ft, openings: [[14 ft, 20 ft]]}"))
    plan = parse_case(text, "c.yaml", full.base.questions).plan
    drawn = plan_text(plan, "ground")
    wall = next(line for line in drawn.split("\n") if " w1 " in line and "▓" in line)
    assert re.search(r"▓ {6,8}▓", wall)
    assert "a gap in a wall: an opening" in drawn
    assert "open for 6 ft" in drawn
    asked = next(w for w in house_plan_view(plan, "w1", "w").walls if w.asked)
    assert asked.openings == ((168.0, 240.0),)


def test_ascii_and_width(plan):
    text = plan_texts(plan, ascii_only=True)
    assert text.isascii()
    assert max(map(len, text.split("\n"))) <= WIDEST + 10
    assert "#" in text
    assert "^" in text


def test_what_was_not_measured_is_said(full):
    text = larch_road((", to: 22 ft}", "}"))
    plan = parse_case(text, "c.yaml", full.base.questions).plan
    assert "w1: 14 ft from the front, ends not measured" in plan_text(plan, "ground")
    bare = Plan(levels=("ground",), parts=(Part("main", None, Length(240, "20 ft"), ("ground",)),))
    assert "nothing to draw yet" in plan_text(bare, "ground")


@pytest.mark.parametrize("width", [3, 8, 40, 190])
@pytest.mark.parametrize("depth", [3, 30, 190])
def test_any_size_fits(width, depth):
    sizes = (Length(width * 12.0, f"{width} ft"), Length(depth * 12.0, f"{depth} ft"))
    text = plan_text(Plan(levels=("g",), parts=(Part("main", *sizes, ("g",)),)), "g")
    assert max(map(len, text.split("\n"))) <= 84
    assert len(text.split("\n")) <= 40
