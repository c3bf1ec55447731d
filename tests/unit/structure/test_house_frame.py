"""The frame that is made of a plan: what is put on random houses comes down to the ground."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from tests.conftest import RULES
from walltriage.case.geometry import Layout
from walltriage.case.plan import Area, DrawnLine, DrawnPost, Length, Part, Plan
from walltriage.case.plan_check import plan_problems
from walltriage.structure.house_frame import build_house
from walltriage.structure.settled import HEAVY, Settled, Site
from walltriage.structure.shapes import LOAD_KINDS
from walltriage.structure.steps import Range
from walltriage.structure.tables import load_tables

LIGHT = Settled(all_carry=False, roof_inside=False)
SITE = Site(Range(96, 96, 108), Range(18, 26, 45))
LEVELS = ("basement", "ground", "upstairs", "top")


def feet(number: float) -> Length:
    return Length(number * 12, f"{number:g} ft")


def random_plan(seed: int) -> Plan:
    """A house of one to three levels, some with a wing or with half levels beside it."""
    dice = random.Random(seed)
    wide, deep = dice.randint(24, 50), dice.randint(20, 36)
    split = dice.random() < 0.2
    levels = ("lower", "ground", "upper") if split else LEVELS[: dice.randint(2, 4)]
    main = Part("main", feet(wide), feet(deep), ("ground",) if split else levels)
    parts = [main]
    if split or dice.random() < 0.5:
        on = ("lower", "upper") if split else levels[1 : dice.randint(2, len(levels))]
        parts.append(Part("wing", feet(dice.randint(10, 20)), feet(deep if split else 14), on,
                          "right", "main", feet(0)))  # fmt: skip
    walls = [_line(dice, part, f"w{n}") for n in range(dice.randint(1, 6))
             for part in [dice.choice(parts)]]  # fmt: skip
    beams = [_line(dice, main, "", whole=True) for _ in range(dice.randint(0, 2))]
    posts = [
        DrawnPost(b.level, feet(wide / 2), b.off) for b in beams if b.along == "front" and b.off
    ]
    joists = [Area(dice.choice(main.levels), "", None, None, dice.choice(["front", "left"]),
                   "attic")] if dice.random() < 0.5 else []  # fmt: skip
    ridge = DrawnLine("front", feet(deep / 2), feet(0), feet(wide))
    return Plan(feet(0.25), levels, (), tuple(parts), (ridge,), tuple(walls), tuple(beams),
                tuple(posts), (), tuple(joists))  # fmt: skip


def _line(dice: random.Random, part: Part, wall: str, whole: bool = False) -> DrawnLine:
    along = dice.choice(["front", "left"])
    long, across = (part.width, part.depth) if along == "front" else (part.depth, part.width)
    most = round(long.inches / 12)
    start, end = (0, most) if whole else sorted(dice.sample(range(most + 1), 2))
    off = feet(dice.randint(3, round(across.inches / 12) - 3))
    name = "" if part.side is None else part.id
    return DrawnLine(along, off, feet(start), feet(end), dice.choice(part.levels), name, wall)


@pytest.mark.parametrize("first", range(0, 100, 25))
def test_what_is_put_on_comes_down(first):
    """Force and both moments of each kind of load to a thousandth, settled four ways, 100 plans."""
    tables = load_tables(RULES)
    for seed in range(first, first + 25):
        plan = random_plan(seed)
        wrong = {where[:2] for where, _, _ in plan_problems(plan)}  # walls on each other
        kept = tuple(w for n, w in enumerate(plan.walls) if ("walls", n) not in wrong)
        layout, dice = Layout(replace(plan, walls=kept)), random.Random(seed)
        bears = {w.wall: dice.choice([True, False, None]) for w in kept}
        for settled in (LIGHT, HEAVY, replace(HEAVY, through=True), replace(HEAVY, end="high")):
            frame = build_house(tables, SITE, layout, bears, settled).frame
            ground, applied = frame.follow().ground, frame.applied()
            for kind in LOAD_KINDS:
                put_on = sum(getattr(a.load, kind) for a in applied)
                assert sum(getattr(a.load, kind) for a in ground) == pytest.approx(
                    put_on, rel=1e-3
                ), (seed, kind)
                for axis in "xy":
                    turned = sum(getattr(a.load, kind) * getattr(a, axis) for a in applied)
                    held = sum(getattr(a.load, kind) * getattr(a, axis) for a in ground)
                    # an inch of arm: lines within the tolerance count as one
                    assert held == pytest.approx(turned, rel=1e-3, abs=put_on), (seed, kind, axis)
