"""Where the ends of a new beam come down on a girder between its posts, drawn span by span."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from walltriage.language import say
from walltriage.report.drawing import WIDTH, Item, Label, PlanDrawing, Stroke, arrow, fit, rect
from walltriage.units import format_length

if TYPE_CHECKING:
    from walltriage.structure.new_point import PointBelow

LEFT, RIGHT, ROW, DEEP = 60.0, 420.0, 122.0, 16.0
SIDES = ("left or front", "right or back")


def girder_sketch(points: Sequence[PointBelow]) -> PlanDrawing | None:
    """One row for each end of a beam that lands between posts; None where none does.

    ``points`` are the left (or front) end and the right (or back) end.
    """
    rows = [
        (side, point)
        for side, point in zip(SIDES, points, strict=False)
        if point.mid_span and point.span_in and point.from_post_in is not None
    ]
    if not rows:
        return None
    items: list[Item] = []
    labels = []
    for index, (side, point) in enumerate(rows):
        items += _row(12 + index * ROW, side, point)
        labels.append(
            say(
                "The {side} end of a beam would bring {load_lb:,.0f} lb down on {lines} "
                "{from_post_in} from the nearer support of a span of {span_in}: in mid-span, "
                "with no post under it.",
                side=side,
                load_lb=point.load_lb,
                lines=" and ".join(point.lines),
                from_post_in=format_length(point.from_post_in or 0),
                span_in=format_length(point.span_in or 0),
            )
        )
    caption = say(
        "A new beam's end lands on the girder BETWEEN ITS POSTS: nothing there holds it up."
    )
    return PlanDrawing("girder", say("Where a new beam's ends come down"), " ".join(labels),
                   14 + len(rows) * ROW, tuple(items), caption)  # fmt: skip


def _row(top: float, side: str, point: PointBelow) -> Iterator[Item]:
    """The span, its two supports and the point; the nearer support is drawn on the left."""
    span, near = point.span_in or 1.0, point.from_post_in or 0.0
    girder = top + 56
    at = LEFT + (RIGHT - LEFT) * near / span
    title = say(
        "{side} end: {load_lb:,.0f} lb on {lines}",
        side=side,
        load_lb=point.load_lb,
        lines=" and ".join(point.lines),
    )
    yield Label(LEFT - 40, top + 12, fit(title, WIDTH - 40, 14), 14, "start", bold=True)
    yield rect(LEFT, girder, RIGHT - LEFT, DEEP, fill="faint", width=1.6)
    for x in (LEFT, RIGHT):
        yield rect(x - 6, girder + DEEP, 12, 26, fill="ink")
    yield from arrow(at, top + 20, at, girder, 11, Stroke(0, 0, 0, 0, 2.4))
    yield from _sized(LEFT, at, girder + DEEP + 14, format_length(near))
    yield from _sized(at, RIGHT, girder + DEEP + 14, format_length(span - near))
    yield Stroke(at, girder + DEEP, at, girder + DEEP + 26, 1.2, "ink", (3, 3))


def _sized(left: float, right: float, y: float, words: str) -> Iterator[Item]:
    yield Stroke(left + 7, y, right - 7, y, 0.8, "soft")
    yield Label((left + right) / 2, y + 15, words, 13, tone="soft")
