"""Random plans of houses of one to three levels, as the ``plan:`` of a case file."""

from __future__ import annotations

import random
from typing import Any

ROOMS = ("ground", "upstairs", "top")
MIDDLES_FT = (12.0, 13.0, 14.0)  # lines that often stand over one another


def random_plan(draw: random.Random, walls: list[str]) -> dict[str, Any]:
    """A plan on which these walls of the case are drawn, but for a few that nobody measured.

    A few break a rule of plans, such as walls closer than they are thick, and are refused.
    """
    base = draw.choice([[], ["basement"], ["crawl_space"]])
    levels = [*base, *ROOMS[: draw.choice([1, 2, 2, 2, 3])]]
    width, depth = draw.choice([30, 40, 48]), draw.choice([24, 28])
    parts: list[dict[str, Any]] = [{"id": "main", "width": f"{width} ft", "depth": f"{depth} ft"}]
    if draw.random() < 0.3:
        parts.append(
            {"id": "wing", "side": "back", "of": "main", "start": "6 ft", "width": "16 ft"}
            | {"depth": "14 ft", "levels": ["ground"]}
            | ({"year": 1990} if draw.random() < 0.7 else {})
        )
    plan: dict[str, Any] = {
        "tolerance": draw.choice(["1 in", "3 in", "6 in", "14 in"]),
        "levels": levels,
        "whole": draw.sample(levels, draw.randrange(len(levels) + 1)),
        "parts": parts,
    }
    if draw.random() < 0.6:
        plan["ridges"] = [_line("front", depth / 2, 0, width)]
    rooms = levels[len(base) :]
    drawn = [{"wall": name} for name in walls if draw.random() < 0.9]
    drawn += [{"name": f"drawn {i}"} for i in range(draw.randrange(5))]
    plan["walls"] = []
    taken: set[tuple[str, str, str]] = set()
    for line in drawn:
        line |= {"level": draw.choice(rooms)} | _random_line(draw, width, depth)
        place = line["level"], line["along"], line["off"]
        if place not in taken:  # two walls on each other are no plan
            plan["walls"].append(line)
        taken.add(place)
    if draw.random() < 0.4:
        plan["beams"] = [
            {"level": draw.choice(levels)} | _line("front", draw.choice(MIDDLES_FT), 0, width)
        ]
    if draw.random() < 0.3:
        plan["posts"] = [
            {
                "level": draw.choice(levels),
                "left": "12 ft",
                "front": f"{draw.choice(MIDDLES_FT)} ft",
            }
        ]
    if draw.random() < 0.4:
        plan["stairs"] = [
            {"level": draw.choice(levels), "left": ["10 ft", "14 ft"], "front": ["9 ft", "13 ft"]}
        ]
    if draw.random() < 0.5:
        plan["joists"] = [
            {"level": draw.choice(rooms), "run": draw.choice(["left", "front"])}
            | {"seen_from": draw.choice(["attic", "below", "fixture", "opened"])}
        ]
    return plan


def _random_line(draw: random.Random, width: int, depth: int) -> dict[str, Any]:
    along = draw.choice(["front", "front", "front", "left"])
    across, long = (depth, width) if along == "front" else (width, depth)
    off = draw.choice([*MIDDLES_FT, round(draw.uniform(0, across), 1)])
    start = draw.choice([0, round(draw.uniform(0, long / 2), 1)])
    end = draw.choice([long, round(draw.uniform(start + 2, long), 1)])
    line = _line(along, off, start, end)
    if draw.random() < 0.3 and end - start > 6:
        line["openings"] = [[f"{start + 1} ft", f"{start + 4} ft"]]
    if draw.random() < 0.1:
        line["kind"] = "knee_wall"
    return line


def _line(along: str, off: float, start: float, end: float) -> dict[str, Any]:
    return {"along": along, "off": f"{off} ft", "from": f"{start} ft", "to": f"{end} ft"}
