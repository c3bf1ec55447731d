"""What is drawn on a level, in words: so that a wrong number is read as well as seen."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from walltriage.case.geometry import Layout, Segment, overlap
from walltriage.language import say
from walltriage.report.words import capitalized
from walltriage.units import format_length

FACING = 0.5  # of a wall's length that the next line must face
LEVEL_WORDS = {  # names that the interview gives to levels and parts
    "ground": "main floor", "upstairs": "upstairs", "top": "top floor", "basement": "basement",
    "crawl_space": "crawl space", "lower": "lower level", "upper": "upper level",
    "main": "main part",
}  # fmt: skip
_ON_LEVEL = re.compile(r"(.+) \((\w+)\)")
SIDE_WORDS = {"front": "front", "back": "back", "left": "left", "right": "right"}


def plain(name: str) -> str:
    """A level or a part as people read it."""
    return say(LEVEL_WORDS.get(name) or name.replace("_", " "))


def line_words(name: str) -> str:
    """A line of the house's frame as people read it: its name, with the level in words."""
    found = _ON_LEVEL.fullmatch(name)
    return f"{plain(found[1])} ({plain(found[2])})" if found else plain(name)


def level_title(level: str) -> str:
    """A level as a heading: the words it is known by, or its own name as "Level X"."""
    if level not in LEVEL_WORDS:
        return say("Level {level}", level=plain(level))
    words = plain(level)
    return capitalized(words)


def level_words(layout: Layout, level: str, names: Mapping[str, str]) -> Iterator[str]:
    """Each part, wall and beam of a level; walls by their ``names`` where they have one."""
    yield from _parts(layout, level)
    for segment in layout.walls_on(level):
        wall = segment.line.wall
        title = names.get(wall) or say(segment.line.title)
        clear = _clear(layout, segment) if level in layout.plan.whole else ""
        yield f"{title}: {_where(segment)}{clear}"
    for segment in layout.beams:
        if segment.line.level == level:
            yield f"{segment.line.name or say('beam')}: {_where(segment)}"


def _parts(layout: Layout, level: str) -> Iterator[str]:
    """Each part with its sizes, and each that could not be drawn."""
    for part in layout.plan.parts:
        if level in part.levels:
            width, depth = (x.given if x else say("not measured") for x in (part.width, part.depth))
            where = (
                say(", on the {side} of {of}", side=say(SIDE_WORDS[part.side]), of=plain(part.of))
                if part.side
                else ""
            )
            year = say(", built {year}", year=part.year) if part.year is not None else ""
            yield say(
                "{id}: width {width}, depth {depth}{where}{year}",
                id=plain(part.id),
                width=width,
                depth=depth,
                where=where,
                year=year,
            )


def _where(segment: Segment) -> str:
    line = segment.line
    of = say(" of {part}", part=plain(line.part)) if line.part else ""
    off = (
        say("{given} from", given=line.off.given) if line.off else say("not measured how far from")
    )
    if line.start and line.end:
        end = "left" if segment.axis == "x" else "front"
        reach = say(
            "{start} to {end} from the {side}",
            start=line.start.given,
            end=line.end.given,
            side=say(SIDE_WORDS[end]),
        )
    else:
        reach = say("ends not measured")
    wide = [format_length(b.inches - a.inches, b.metric) for a, b in line.openings]
    openings = say(", open for {wide}", wide=say(" and ").join(wide)) if wide else ""
    return say(
        "{off} the {along}{of}, {reach}{openings}",
        off=off,
        along=say(SIDE_WORDS.get(line.along, line.along)),
        of=of,
        reach=reach,
        openings=openings,
    )


def _clear(layout: Layout, segment: Segment) -> str:
    """How far it is to the next line on both sides: what joists across the wall would span."""
    if not segment.whole:
        return ""
    here, lo, hi = segment.place
    level, middle = segment.line.level, (lo + hi) / 2
    edges = layout.house_span(level, segment.axis, middle, here)
    beside = [
        s.at
        for s in layout.walls_on(level)
        if s is not segment and s.whole and s.axis == segment.axis and s.at is not None
        and s.line.kind == "wall"
        and overlap(s, segment, s.axis) > FACING * (segment.length or 0.0)
    ]  # fmt: skip
    gaps = [here - max([edges[0], *(at for at in beside if at < here)]),
            min([edges[1], *(at for at in beside if at > here)]) - here]  # fmt: skip
    lengths = [format_length(gap, layout.plan.metric) for gap in gaps if gap >= 1]
    return say("; {told} to the next lines", told=say(" and ").join(lengths)) if lengths else ""
