"""What cannot be right on a plan: the wall's name, the two numbers that clash, how to mend it."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from walltriage.case.geometry import Layout, Segment, axis_of, overlap
from walltriage.case.plan import Area, DrawnLine, Length, Part, Plan
from walltriage.language import say
from walltriage.units import format_length
from walltriage.yamltree import KeyPath

Trouble = tuple[KeyPath, str, str]
LEAST_SIZE_IN, MOST_SIZE_IN = 24.0, 2400.0
SIZE_EXPECTED = "expected 2 ft to 200 ft"
SAME_LINE_IN = 4.0  # two walls nearer than a wall is thick lie on each other
_SPAN_WORDS = {"x": ("wide", "width"), "y": ("deep", "depth")}
_KIND_WORDS = {"ridges": "ridge", "beams": "beam", "walls": "wall"}
_END_WORDS = {"x": "the left", "y": "the front"}
_SIDE_WORDS = {"front": "front", "back": "back", "left": "left", "right": "right"}


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
            yield from _beyond(out_in, part, axis, place.inches, say("a post"), ("posts", index))
    for key, areas in (("stairs", plan.stairs), ("joists", plan.joists)):
        for index, area in enumerate(areas):
            yield from _area_problems(layout, area, key, (key, index))


def is_size(length: Length) -> bool:
    """Whether a part of a house can be so wide or deep."""
    return LEAST_SIZE_IN <= length.inches <= MOST_SIZE_IN


def _part_problems(layout: Layout, index: int, part: Part) -> Iterator[Trouble]:
    where = ("parts", index)
    for key in ("width", "depth"):
        length = getattr(part, key)
        if length is not None and not is_size(length):
            yield (
                (*where, key),
                say(
                    "part '{id}': a {key} of {given}", id=part.id, key=say(key), given=length.given
                ),
                say(SIZE_EXPECTED),
            )
    if part.side is not None and part.start is not None:
        host = layout.plan.part(part.of)
        axis = axis_of(part.side)
        long = host.width if axis == "x" else host.depth
        if long is not None and part.start.inches >= long.inches:
            yield (
                (*where, "start"),
                say(
                    "part '{id}' begins {start} along the {side} of '{host}', which is only {size} "
                    "{wide}: they do not touch",
                    id=part.id,
                    start=part.start.given,
                    side=say(_SIDE_WORDS[part.side]),
                    host=host.id,
                    size=long.given,
                    wide=say(_SPAN_WORDS[axis][0]),
                ),
                say(
                    "measure from {end} end of that side, or fix the {size} of '{host}'",
                    end=say(_END_WORDS[axis]),
                    size=say(_SPAN_WORDS[axis][1]),
                    host=host.id,
                ),
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
                say(
                    "part '{id}' lies {deep} inside part '{other}'",
                    id=part.id,
                    deep=format_length(min(x, y)),
                    other=other.id,
                ),
                say("fix 'start' or a size, so that the parts only touch"),
            )


def _line_problems(layout: Layout, line: DrawnLine, where: KeyPath) -> Iterator[Trouble]:
    kind = _KIND_WORDS.get(str(where[0]), "wall")
    name = (
        say("the ridge")
        if kind == "ridge"
        else say("{kind} '{title}'", kind=say(kind), title=line.title)
    )
    part = layout.plan.part(line.part)
    axis = axis_of(line.along)
    if line.level:
        yield from _not_on_level(part, line.level, name, where)
    if line.off is not None:
        across = part.depth if axis == "x" else part.width
        if across is not None and line.off.inches > across.inches + layout.out_in(line):
            yield (
                (*where, "off"),
                say(
                    "{name} stands {given} from the {along} of '{id}', which is only {size} {wide}",
                    name=name,
                    given=line.off.given,
                    along=say(_SIDE_WORDS[line.along]),
                    id=part.id,
                    size=across.given,
                    wide=say(_SPAN_WORDS["y" if axis == "x" else "x"][0]),
                ),
                say(
                    "measure from the {along} again, or fix the size of '{id}'",
                    along=say(_SIDE_WORDS[line.along]),
                    id=part.id,
                ),
            )
    if line.start is not None and line.end is not None and line.start.inches >= line.end.inches:
        yield (
            (*where, "from"),
            say(
                "{name} runs from {start} to {end}, which is backward",
                name=name,
                start=line.start.given,
                end=line.end.given,
            ),
            say("give the end nearer to {side} first", side=say(_END_WORDS[axis])),
        )
    elif line.end is not None or line.start is not None:
        key, end = ("to", line.end) if line.end is not None else ("from", line.start)
        assert end is not None
        out_in = layout.out_in(line)
        yield from _beyond(out_in, part, axis, end.inches, name, (*where, key))


def _not_on_level(part: Part, level: str, name: str, where: KeyPath) -> Iterator[Trouble]:
    """What is drawn on a level that its part does not have."""
    if level not in part.levels:
        yield (
            (*where, "level"),
            say(
                "{name} is on level '{level}', but part '{id}' has only {levels}",
                name=name,
                level=level,
                id=part.id,
                levels=", ".join(part.levels),
            ),
            say("name another part, or add the level to that part's 'levels'"),
        )


def _opening_problems(line: DrawnLine, where: KeyPath) -> Iterator[Trouble]:
    """Openings that run backward, past an end of their wall, or into each other."""
    last: Length | None = None
    for start, end in sorted(line.openings, key=lambda ends: ends[0].inches):
        what = say(
            "an opening of wall '{title}' from {start} to {end}",
            title=line.title,
            start=start.given,
            end=end.given,
        )
        if start.inches >= end.inches:
            yield (
                where,
                say("{what} runs backward", what=what),
                say("give the end nearer to the left or front first"),
            )
        elif last is not None and start.inches < last.inches:
            yield (
                where,
                say("{what} lies in one that ends at {given}", what=what, given=last.given),
                say("fix one of the two"),
            )
        elif line.start is not None and start.inches < line.start.inches:
            mend = say("fix it, or where the wall begins")
            yield (
                where,
                say("{what} begins before the wall, at {given}", what=what, given=line.start.given),
                mend,
            )
        elif line.end is not None and end.inches > line.end.inches:
            mend = say("fix it, or where the wall ends")
            yield (
                where,
                say("{what} ends behind the wall, at {given}", what=what, given=line.end.given),
                mend,
            )
        last = end


def _beyond(
    out_in: float, part: Part, axis: str, inches: float, name: str, where: KeyPath
) -> Iterator[Trouble]:
    long = part.width if axis == "x" else part.depth
    if long is not None and inches > long.inches + out_in:
        wide, key = (say(word) for word in _SPAN_WORDS[axis])
        yield (
            where,
            say(
                "{name} reaches {far} from {side}, but part '{id}' is only {size} {wide}",
                name=name,
                far=format_length(inches),
                side=say(_END_WORDS[axis]),
                id=part.id,
                size=long.given,
                wide=wide,
            ),
            say(
                "measure from {side} again, or fix the {key} of '{id}'",
                side=say(_END_WORDS[axis]),
                key=key,
                id=part.id,
            ),
        )


def _double_walls(layout: Layout) -> Iterator[Trouble]:
    drawn = list(enumerate(layout.walls))
    for (_, one), (index, other) in combinations(drawn, 2):
        where: KeyPath = ("walls", index)
        if other.line.wall and one.line.wall == other.line.wall:
            what = say("wall '{wall}' is drawn twice", wall=other.line.wall)
            yield where, what, say("keep the line that was measured better")
        elif one.line.level == other.line.level and _same_line(one, other):
            shared = overlap(one, other, one.axis)
            if shared > max(layout.out_in(one.line), layout.out_in(other.line)):
                yield (
                    where,
                    say(
                        "walls '{one}' ({at}) and '{other}' ({other_at}) lie on each other for "
                        "{shared}",
                        one=one.line.title,
                        at=_place(one),
                        other=other.line.title,
                        other_at=_place(other),
                        shared=format_length(shared),
                    ),
                    say(
                        "measure again how far off they are or where they end, or draw them as one"
                    ),
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
    return say(
        "{off} from the {along}, {start} to {end}",
        off=line.off.given,
        along=say(_SIDE_WORDS[line.along]),
        start=line.start.given,
        end=line.end.given,
    )


def _area_problems(layout: Layout, area: Area, key: str, where: KeyPath) -> Iterator[Trouble]:
    part = layout.plan.part(area.part)
    name = say("the stair opening") if key == "stairs" else say("a joist bay")
    yield from _not_on_level(part, area.level, name, where)
    for axis, side, ends in (("x", "left", area.left), ("y", "front", area.front)):
        if ends is None:
            continue
        first, last = ends
        if first.inches >= last.inches:
            what = say(
                "{name} runs from {start} to {end}, which is backward",
                name=name,
                start=first.given,
                end=last.given,
            )
            yield (
                (*where, side),
                what,
                say("give the end nearer to {side} first", side=say(_END_WORDS[axis])),
            )
        else:
            yield from _beyond(layout.out_in(area), part, axis, last.inches, name, (*where, side))
