"""What cannot be right on a plan: the wall's name, the two numbers that clash, how to mend it."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from walltriage.case.geometry import Layout, Segment, axis_of, overlap
from walltriage.case.plan import Area, DrawnLine, Length, Part, Plan
from walltriage.units import format_length
from walltriage.yamltree import KeyPath

Trouble = tuple[KeyPath, str, str]
SAME_LINE_IN = 4.0  # two walls nearer than a wall is thick lie on each other
_SPAN = {"x": ("wide", "width"), "y": ("deep", "depth")}
_END = {"x": "the left", "y": "the front"}


def plan_problems(plan: Plan) -> Iterator[Trouble]:
    """Every trouble with its place inside ``plan:``, told so that it can be mended."""
    layout = Layout(plan)
    for index, part in enumerate(plan.parts):
        yield from _part_problems(layout, index, part)
    for key, lines in (("ridges", plan.ridges), ("walls", plan.walls), ("beams", plan.beams)):
        for index, line in enumerate(lines):
            yield from _line_problems(layout, line, (key, index))
            yield from _opening_problems(line, (key, index, "openings"))
    yield from _double_walls(layout)
    for index, post in enumerate(plan.posts):
        part = plan.part(post.part)
        for axis, place in (("x", post.left), ("y", post.front)):
            out_in = layout.out_in(post)
            yield from _beyond(out_in, part, axis, place.inches, "a post", ("posts", index))
    for key, areas in (("stairs", plan.stairs), ("joists", plan.joists)):
        for index, area in enumerate(areas):
            yield from _area_problems(layout, area, key, (key, index))


def _part_problems(layout: Layout, index: int, part: Part) -> Iterator[Trouble]:
    where = ("parts", index)
    for key in ("width", "depth"):
        length = getattr(part, key)
        if length is not None and not 24 <= length.inches <= 2400:
            expected = "expected 2 ft to 200 ft"
            yield (*where, key), f"part '{part.id}': a {key} of {length.given}", expected
    if part.side is not None and part.start is not None:
        host = layout.plan.part(part.of)
        axis = axis_of(part.side)
        long = host.width if axis == "x" else host.depth
        if long is not None and part.start.inches >= long.inches:
            yield (
                (*where, "start"),
                f"part '{part.id}' begins {part.start.given} along the {part.side} of "
                f"'{host.id}', which is only {long.given} {_SPAN[axis][0]}: they do not touch",
                f"measure from {_END[axis]} end of that side, or fix the "
                f"{_SPAN[axis][1]} of '{host.id}'",
            )
    rect = layout.rects.get(part.id)
    if rect is None:
        return
    for other in layout.plan.parts[:index]:
        beside = layout.rects.get(other.id)
        if beside is None or not set(other.levels) & set(part.levels):
            continue
        x, y = overlap(rect, beside, "x"), overlap(rect, beside, "y")
        if min(x, y) > layout.tolerance_in:
            yield (
                where,
                f"part '{part.id}' lies {format_length(min(x, y))} inside part '{other.id}'",
                "fix 'start' or a size, so that the parts only touch",
            )


def _line_problems(layout: Layout, line: DrawnLine, where: KeyPath) -> Iterator[Trouble]:
    kind = {"ridges": "ridge", "beams": "beam"}.get(str(where[0]), "wall")
    name = "the ridge" if kind == "ridge" else f"{kind} '{line.title}'"
    part = layout.plan.part(line.part)
    axis = axis_of(line.along)
    if line.level and line.level not in part.levels:
        yield (
            (*where, "level"),
            f"{name} is on level '{line.level}', but part '{part.id}' has only "
            + ", ".join(part.levels),
            "name another part, or add the level to that part's 'levels'",
        )
    if line.off is not None:
        across = part.depth if axis == "x" else part.width
        if across is not None and line.off.inches > across.inches + layout.out_in(line):
            yield (
                (*where, "off"),
                f"{name} stands {line.off.given} from the {line.along} of '{part.id}', which is "
                f"only {across.given} {_SPAN['y' if axis == 'x' else 'x'][0]}",
                f"measure from the {line.along} again, or fix the size of '{part.id}'",
            )
    if line.start is not None and line.end is not None and line.start.inches >= line.end.inches:
        yield (
            (*where, "from"),
            f"{name} runs from {line.start.given} to {line.end.given}, which is backward",
            f"give the end nearer to {_END[axis]} first",
        )
    elif line.end is not None or line.start is not None:
        key, end = ("to", line.end) if line.end is not None else ("from", line.start)
        assert end is not None
        out_in = layout.out_in(line)
        yield from _beyond(out_in, part, axis, end.inches, name, (*where, key))


def _opening_problems(line: DrawnLine, where: KeyPath) -> Iterator[Trouble]:
    """Openings that run backward, past an end of their wall, or into each other."""
    last: Length | None = None
    for start, end in sorted(line.openings, key=lambda ends: ends[0].inches):
        what = f"an opening of wall '{line.title}' from {start.given} to {end.given}"
        if start.inches >= end.inches:
            yield where, f"{what} runs backward", "give the end nearer to the left or front first"
        elif last is not None and start.inches < last.inches:
            yield where, f"{what} lies in one that ends at {last.given}", "fix one of the two"
        elif line.start is not None and start.inches < line.start.inches:
            mend = "fix it, or where the wall begins"
            yield where, f"{what} begins before the wall, at {line.start.given}", mend
        elif line.end is not None and end.inches > line.end.inches:
            mend = "fix it, or where the wall ends"
            yield where, f"{what} ends behind the wall, at {line.end.given}", mend
        last = end


def _beyond(
    out_in: float, part: Part, axis: str, inches: float, name: str, where: KeyPath
) -> Iterator[Trouble]:
    long = part.width if axis == "x" else part.depth
    if long is not None and inches > long.inches + out_in:
        word, key = _SPAN[axis]
        yield (
            where,
            f"{name} reaches {format_length(inches)} from {_END[axis]}, but part '{part.id}' is "
            f"only {long.given} {word}",
            f"measure from {_END[axis]} again, or fix the {key} of '{part.id}'",
        )


def _double_walls(layout: Layout) -> Iterator[Trouble]:
    drawn = list(enumerate(layout.walls))
    for (_, one), (index, other) in combinations(drawn, 2):
        where: KeyPath = ("walls", index)
        if other.line.wall and one.line.wall == other.line.wall:
            what = f"wall '{other.line.wall}' is drawn twice"
            yield where, what, "keep the line that was measured better"
        elif one.line.level == other.line.level and _same_line(one, other):
            shared = overlap(one, other, one.axis)
            if shared > max(layout.out_in(one.line), layout.out_in(other.line)):
                yield (
                    where,
                    f"walls '{one.line.title}' ({_place(one)}) and '{other.line.title}' "
                    f"({_place(other)}) lie on each other for {format_length(shared)}",
                    "measure again how far off they are or where they end, or draw them as one",
                )


def _same_line(one: Segment, other: Segment) -> bool:
    if one.axis != other.axis or one.at is None or other.at is None:
        return False
    return abs(one.at - other.at) <= SAME_LINE_IN


def _place(segment: Segment) -> str:
    line = segment.line
    assert line.off is not None
    assert line.start is not None
    assert line.end is not None
    return f"{line.off.given} from the {line.along}, {line.start.given} to {line.end.given}"


def _area_problems(layout: Layout, area: Area, key: str, where: KeyPath) -> Iterator[Trouble]:
    part = layout.plan.part(area.part)
    name = "the stair opening" if key == "stairs" else "a joist bay"
    if area.level not in part.levels:
        yield (
            (*where, "level"),
            f"{name} is on level '{area.level}', but part '{part.id}' has only "
            + ", ".join(part.levels),
            "name another part, or add the level to that part's 'levels'",
        )
    for axis, side, ends in (("x", "left", area.left), ("y", "front", area.front)):
        if ends is None:
            continue
        first, last = ends
        if first.inches >= last.inches:
            what = f"{name} runs from {first.given} to {last.given}, which is backward"
            yield (*where, side), what, f"give the end nearer to the {side} first"
        else:
            yield from _beyond(layout.out_in(area), part, axis, last.inches, name, (*where, side))
