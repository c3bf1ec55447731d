"""Two charts: the weight of the evidence on each load path, and spans against what joists reach."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from walltriage.inference.finding import PathFinding
from walltriage.language import say
from walltriage.report.drawing import (
    LETTER,
    WIDTH,
    Item,
    Label,
    PlanDrawing,
    Shape,
    Stroke,
    fit,
    hatch,
    rect,
)
from walltriage.report.marks import PathMark, badge, path_marks
from walltriage.report.words import capitalized
from walltriage.units import format_length

if TYPE_CHECKING:
    from walltriage.inference.numbers.results import SpanNumbers

ROW, HEAD, BAR = 62.0, 40.0, 15.0
MIDDLE, REACH = 240.0, 168.0


def evidence_chart(paths: tuple[PathFinding, ...]) -> PlanDrawing:
    """For each path the decibans for bearing (right) and against (left), and decisive signs."""
    sums = [_sums(path) for path in paths]
    most = max((abs(value) for s in sums for value in s[:3]), default=0.0)
    scale = REACH / max(10.0, most)
    items: list[Item] = [
        Label(MIDDLE - 10, 20, say("◂ against bearing"), 13, "end"),
        Label(MIDDLE + 10, 20, say("for bearing ▸"), 13, "start"),
    ]
    rows = []
    for index, mark in enumerate(path_marks(paths)):
        y = HEAD + index * ROW
        items += badge(16, y + 14, mark)
        items.append(Label(42, y + 18, _titled(mark, WIDTH - (170 if sums[index][3] else 50)), 14,
                           "start", bold=mark.status == "established"))  # fmt: skip
        if sums[index][3]:
            items += _diamond(WIDTH - 106, y + 13)
            items.append(Label(WIDTH - 92, y + 18, say("decisive sign"), 13, "start", bold=True))
        items += _bars(y + 27, sums[index], scale)
        items.append(Stroke(MIDDLE, y + 23, MIDDLE, y + 46, 1.4))
        rows.append(_told(mark.title, sums[index]))
    bottom = HEAD + len(paths) * ROW
    items += _key(bottom + 8)
    desc = say("Weight of the evidence in decibans (10 more: ten times the odds). ") + " ".join(
        rows
    )
    return PlanDrawing(
        "evidence", say("Evidence for and against bearing"), desc, bottom + 62, tuple(items)
    )


def _titled(mark: PathMark, width: float) -> str:
    """The path and its status; when there is no room for both the path's title is cut."""
    status = f": {mark.word}"
    return fit(mark.title, width - len(status) * 14 * LETTER) + status


def _sums(path: PathFinding) -> tuple[float, float, float, bool]:
    """Start (the base rate), sum for, sum against, and whether a decisive sign fired."""
    weights = [(e.kind, e.decibans) for e in path.evidence]
    start = sum(w for kind, w in weights if kind == "base_rate" and w is not None)
    clues = [w for kind, w in weights if kind == "clue" and w is not None]
    toward, against = sum(w for w in clues if w > 0), sum(w for w in clues if w < 0)
    return start, toward, against, any(w is None for _, w in weights)


def _told(title: str, sums: tuple[float, float, float, bool]) -> str:
    start, toward, against, sign = sums
    decisive = say(" and a decisive sign") if sign else ""
    return say(
        "{title}: starts at {start:+.1f}, for {toward:+.1f}{decisive}, against {against:+.1f}.",
        title=title,
        start=start,
        toward=toward,
        decisive=decisive,
        against=against,
    )


def _bars(y: float, sums: tuple[float, float, float, bool], scale: float) -> Iterator[Item]:
    start, toward, against, _ = sums
    right, left = MIDDLE + toward * scale, MIDDLE + against * scale
    if toward > 0.05:
        yield rect(MIDDLE, y, right - MIDDLE, BAR, fill="ink")
        yield Label(right + 5, y + 13, f"{toward:+.1f}", 13, "start")
    if against < -0.05:
        yield rect(left, y, MIDDLE - left, BAR, fill="paper")
        yield from hatch(left, y, MIDDLE - left, BAR, 5)
        yield Label(left - 5, y + 13, f"{against:+.1f}".replace("-", "−"), 13, "end")
    yield from _start(MIDDLE + start * scale, y)


def _start(x: float, y: float) -> Iterator[Item]:
    yield Shape(((x - 5, y + BAR + 9), (x + 5, y + BAR + 9), (x, y + BAR + 1)), fill="paper",
                width=1.3)  # fmt: skip


def _diamond(x: float, y: float) -> Iterator[Item]:
    yield Shape(((x - 8, y), (x, y - 8), (x + 8, y), (x, y + 8)), fill="ink")


def _key(y: float) -> Iterator[Item]:
    yield rect(20, y, 22, 12, fill="ink")
    yield Label(48, y + 11, "for", 13, "start")
    yield rect(88, y, 22, 12, fill="paper")
    yield from hatch(88, y, 22, 12, 5)
    yield Label(116, y + 11, "against", 13, "start")
    yield Shape(((188, y + 12), (198, y + 12), (193, y + 3)), fill="paper", width=1.3)
    yield Label(204, y + 11, say("start, before any answer"), 13, "start")
    meaning = say("in decibans: 10 more makes the odds ten times as high")
    yield Label(20, y + 34, meaning, 13, "start", tone="soft")


def span_sketch(span: SpanNumbers) -> PlanDrawing:
    """How far joists would reach without the wall, against how far such joists can reach."""
    need, capacity = span.need.span_without_in, span.need.capacity_in
    reach, joist = (capacity.low, capacity.high), joist_words(span)
    left, right, most = 40.0, 440.0, max(*need, *reach, 1.0)
    scale = (right - left) / most
    items: list[Item] = [*_joist_line(left, left + need[1] * scale)]
    rows = (
        (say("Without the wall they would span"), need),
        (say("Such joists usually reach"), reach),
    )
    for index, (title, (low, high)) in enumerate(rows):
        y = 116.0 + index * 62
        items.append(Label(left, y, f"{title} {between(low, high)}", 14, "start", bold=index == 0))
        items.append(rect(left, y + 10, low * scale, 13, fill="ink" if index == 0 else "soft"))
        if high > low:
            items.append(rect(left + low * scale, y + 10, (high - low) * scale, 13, fill="paper"))
            items += hatch(left + low * scale, y + 10, (high - low) * scale, 13, 5)
    named = fit(say("Joist: {joist} · hatched: not sure", joist=joist), 420, 13)
    items.append(Label(left, 236, named, 13, "start", tone="soft"))
    verdict = capitalized(span.need.sentence).rstrip(".") + "."
    desc = say(
        "Joists ({joist}) would span {need} without the wall; such joists usually "
        "reach {reach}. {verdict}",
        joist=joist,
        need=between(*need),
        reach=between(*reach),
        verdict=verdict,
    )
    return PlanDrawing(
        "span", say("Spans with and without the wall"), desc, 250, tuple(items), verdict
    )


def joist_words(span: SpanNumbers) -> str:
    """The joists as far as they are known, such as ``2x8 at 16 in``."""
    if span.size is None:
        return say("joists of unknown size")
    return span.size + (
        "" if span.spacing_in is None else say(" at {spacing_in:g} in", spacing_in=span.spacing_in)
    )


def _joist_line(left: float, right: float) -> Iterator[Item]:
    y, wall = 34.0, (left + right) / 2
    yield rect(left, y, right - left, 11, stroke="ink", width=1.6)
    for x in (left, right - 12):
        yield rect(x, y + 11, 12, 34, fill="faint", stroke="soft")
    yield rect(wall - 6, y + 11, 12, 34, dash=(3, 3), width=1.5)
    yield Label(wall + 14, y + 34, say("wall taken away"), 13, "start")
    yield Stroke(left, 20, right, 20, 0.8, "soft")
    for x in (left, right):
        yield Stroke(x, 15, x, 25, 0.8, "soft")


def between(low: float, high: float) -> str:
    """Two lengths as one phrase."""
    if round(low) == round(high):
        return say("about {low}", low=format_length(low))
    return say("{low} to {high}", low=format_length(low), high=format_length(high))
