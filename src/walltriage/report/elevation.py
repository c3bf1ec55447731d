"""The elevation of a wall: what was seen from where, what was found, where holes are to come."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from walltriage.case.looks import PLACES, Look, WallLooks
from walltriage.inference.seen_along import seen_words, stretches
from walltriage.language import say
from walltriage.report.drawing import (
    LETTER,
    WIDTH,
    Dot,
    Item,
    Label,
    PlanDrawing,
    Stroke,
    hatch,
    rect,
)
from walltriage.report.words import capitalized
from walltriage.units import format_length

PLACE_WORDS = {
    "attic": "from the attic",
    "upstairs": "from upstairs",
    "strip": "opened strip",
    "hole": "holes",
    "below": "from below",
}
THING_WORDS = {
    "joist_end_or_lap": "joist end or lap",
    "strut_foot": "roof brace",
    "beam_end": "end of a beam",
    "wood_post": "wood post",
    "steel_post": "steel post",
    "stud_pack": "stud pack",
}
SAW_WORDS = {
    "nothing_rests": "nothing rests on it",
    "along": "joists run along it, none on it",
    "one_piece": "joists pass over in one piece and touch it",
}
_COLUMNS = 56
_LEFT, _RIGHT, _ROW = 112.0, 466.0, 26.0


@dataclass(frozen=True, slots=True)
class ElevationRow:
    """All looks from one place."""

    title: str
    looks: tuple[Look, ...]
    seen: tuple[tuple[float, float], ...]


def rows(looks: WallLooks, length_in: float | None) -> list[ElevationRow]:
    """A row for each place that somebody looked from."""
    return [
        ElevationRow(say(PLACE_WORDS[place]), mine, tuple(stretches(looks, [place], length_in)))
        for place in PLACES
        if (mine := tuple(look for look in looks.looks if look.place == place))
    ]


def told(looks: WallLooks, length_in: float | None, metric: bool = False) -> list[str]:
    """The same in words, a line for each look from each place and each find."""
    lines = []
    for row in rows(looks, length_in):
        saw = dict.fromkeys(say(SAW_WORDS[look.saw]) for look in row.looks if look.saw)
        what = f": {'; '.join(saw)}" if saw else ""
        lines.append(f"{row.title}, {seen_words(list(row.seen), length_in)}{what}")
        for look in row.looks:
            for item in look.found:
                spot = format_length(item.at_in, metric)
                lines.append(
                    say(
                        "{title}, at {spot}: {thing_words}",
                        title=row.title,
                        spot=spot,
                        thing_words=say(THING_WORDS[item.what]),
                    )
                )
    return [capitalized(line) for line in lines]


def elevation_lines(
    looks: WallLooks, length_in: float | None, spots_in: Iterable[float] = (), metric: bool = False
) -> list[str]:
    """The elevation in plain letters, with what the letters mean in the last line."""
    if not length_in:
        return []

    def column(at_in: float) -> int:
        return min(max(round(at_in / length_in * (_COLUMNS - 1)), 0), _COLUMNS - 1)

    lines = []
    for row in rows(looks, length_in):
        cells = ["."] * _COLUMNS
        for start, end in row.seen:
            for index in range(column(start), column(end) + 1):
                cells[index] = "o" if start == end else "="
        for look in row.looks:
            for item in look.found:
                cells[column(item.at_in)] = "#"
        lines.append(f"{row.title:<15}{''.join(cells)}")
    to_open = list(spots_in)
    if to_open:
        cells = [" "] * _COLUMNS
        for spot in to_open:
            cells[column(spot)] = "^"
        lines.append(f"{say('to open'):<15}{''.join(cells).rstrip()}")
    if lines:
        lines.append(f"{'':<15}0{format_length(length_in, metric):>{_COLUMNS - 1}}")
        lines.append(say("= seen   . not seen   o hole   # found there   ^ to open"))
    return lines


def elevation(
    looks: WallLooks,
    length_in: float | None,
    name: str,
    spots_in: Iterable[float] = (),
    metric: bool = False,
) -> PlanDrawing | None:
    """The elevation as a drawing; None while the length is not known, or with nothing to show."""
    found, to_open = rows(looks, length_in), tuple(spots_in)
    if not length_in or not (found or to_open):
        return None
    scale, start = (_RIGHT - _LEFT) / length_in, 0.0
    items: list[Item] = []
    y = 8.0
    for row in found:
        items += _row(row, y, scale)
        y += _ROW
    if to_open:
        items.append(Label(4, y + 13, say("to open"), 12, "start"))
        for spot in to_open:
            x = _LEFT + spot * scale
            items.append(rect(x - 4, y + 3, 8, 12, width=1.4, dash=(2.0, 2.0)))
        y += _ROW
    items.append(Stroke(_LEFT, y + 2, _RIGHT, y + 2, 1.6))
    for spot in to_open:  # a place too near the one before is told in the words alone
        x, shown = _LEFT + spot * scale, format_length(spot, metric)
        half = len(shown) * 11 * LETTER / 2
        middle = min(x, WIDTH - half)
        if middle - half > start:
            items.append(Label(middle, y + 17, shown, 11, tone="soft"))
            start = middle + half + 4
    y += 15 if to_open else 0
    items += [
        Label(_LEFT, y + 18, "0", 12, "start"),
        Label(_RIGHT, y + 18, format_length(length_in, metric), 12, "end"),
    ]
    lines = told(looks, length_in, metric)
    if to_open:
        lines.append(
            say("To open: at ") + ", ".join(format_length(spot, metric) for spot in to_open)
        )
    ends = say("Measured from {zero_end}", zero_end=looks.zero_end or say("one end, to be named"))
    return PlanDrawing(
        "elevation",
        say("Elevation of {name}", name=name),
        ". ".join((ends, *lines)) + ".",
        y + 26,
        tuple(items),
        f"{ends}. {_key(found, to_open)}",
        letters=(
            *elevation_lines(looks, length_in, to_open, metric),
            f"{ends}.",
            *told(looks, length_in, metric),
        ),
    )


def _key(found: list[ElevationRow], to_open: tuple[float, ...]) -> str:
    """What the patterns mean, of those that are drawn."""
    words = (
        say("Hatched: seen. Empty: not seen. Ring: hole. Full dot: found there. ") if found else ""
    )
    return words + (say("Broken box: hole to make.") if to_open else "")


def _row(row: ElevationRow, y: float, scale: float) -> Iterator[Item]:
    yield Label(4, y + 13, row.title, 12, "start")
    yield rect(_LEFT, y, _RIGHT - _LEFT, 18, width=0.8, stroke="soft")
    for start, end in row.seen:
        x, wide = _LEFT + start * scale, (end - start) * scale
        if start == end:
            yield Dot(x, y + 9, 5)
        else:
            yield rect(x, y, wide, 18, width=1.2)
            yield from hatch(x, y, wide, 18)
    for look in row.looks:
        for item in look.found:
            yield Dot(min(_LEFT + item.at_in * scale, _RIGHT), y + 9, 5, fill="ink")
