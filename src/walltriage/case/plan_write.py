"""The plan as plain data, in the form in which it is read."""

from __future__ import annotations

from typing import Any

from walltriage.case.plan import Area, DrawnLine, DrawnPost, Length, Part, Plan


def plan_data(plan: Plan) -> dict[str, Any]:
    """The ``plan:`` of a case file."""
    data: dict[str, Any] = {"tolerance": plan.tolerance.given, "levels": list(plan.levels)}
    if plan.whole:
        data["whole"] = list(plan.whole)
    data["parts"] = [_part(part, plan) for part in plan.parts]
    groups: tuple[tuple[str, list[dict[str, Any]]], ...] = (
        ("ridges", [_line(line) for line in plan.ridges]),
        ("walls", [_line(line) for line in plan.walls]),
        ("beams", [_line(line) for line in plan.beams]),
        ("posts", [_post(post) for post in plan.posts]),
        ("stairs", [_area(area) for area in plan.stairs]),
        ("joists", [_area(area) for area in plan.joists]),
    )
    return data | {key: items for key, items in groups if items}


def _part(part: Part, plan: Plan) -> dict[str, Any]:
    data: dict[str, Any] = {"id": part.id}
    if part.side:
        data |= {"side": part.side, "of": part.of} | _lengths(start=part.start)
    data |= _lengths(width=part.width, depth=part.depth)
    if part.levels != plan.levels:
        data["levels"] = list(part.levels)
    return data | ({"year": part.year} if part.year is not None else {})


def _line(line: DrawnLine) -> dict[str, Any]:
    data: dict[str, Any] = {
        key: getattr(line, key) for key in ("wall", "name", "size") if getattr(line, key)
    }
    if line.kind == "knee_wall":
        data["kind"] = line.kind
    data |= {key: getattr(line, key) for key in ("level", "part") if getattr(line, key)}
    data["along"] = line.along
    data |= _lengths(**{"off": line.off, "from": line.start, "to": line.end})
    openings = [[end.given for end in ends] for ends in line.openings]
    return data | ({"openings": openings} if openings else {})


def _post(post: DrawnPost) -> dict[str, Any]:
    data = {key: getattr(post, key) for key in ("part", "size") if getattr(post, key)}
    return (
        {"level": post.level}
        | data
        | _lengths(left=post.left, front=post.front, height=post.height, footing=post.footing)
    )


def _area(area: Area) -> dict[str, Any]:
    words = ("part", "run", "seen_from")
    data = {"level": area.level} | {k: getattr(area, k) for k in words if getattr(area, k)}
    for key in ("left", "front"):
        ends = getattr(area, key)
        if ends is not None:
            data[key] = [end.given for end in ends]
    return data


def _lengths(**given: Length | None) -> dict[str, str]:
    return {key: length.given for key, length in given.items() if length is not None}
