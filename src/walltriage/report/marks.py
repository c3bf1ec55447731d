"""The mark of a load path's status, the same in every drawing: pattern, number and word."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from walltriage.inference.finding import PathFinding, PathStatus
from walltriage.report import words
from walltriage.report.drawing import Dot, Item, Label, Stroke, Tone

RADIUS = 12.0
_LOOK: dict[PathStatus, Stroke] = {
    "established": Stroke(0, 0, 0, 0, 3.4, "ink"),
    "open": Stroke(0, 0, 0, 0, 2.4, "ink", (2.5, 4.5)),
    "ruled_out": Stroke(0, 0, 0, 0, 1.1, "soft", (9, 4)),
}


@dataclass(frozen=True, slots=True)
class PathMark:
    """What drawings show of a load path: its number in the list, title, status and word."""

    number: int
    id: str
    title: str
    status: PathStatus
    word: str


def path_marks(paths: tuple[PathFinding, ...]) -> tuple[PathMark, ...]:
    """The marks of a wall's load paths, numbered in order."""
    return tuple(
        PathMark(number, path.id, path.title, path.status, words.status_words(path))
        for number, path in enumerate(paths, 1)
    )


def look(status: PathStatus) -> Stroke:
    """Width, tone and dash of lines drawn in this status: heavy, dotted or thin dashes."""
    return _LOOK[status]


def badge(x: float, y: float, mark: PathMark) -> Iterator[Item]:
    """A numbered disc: filled when established, dotted when open, crossed when ruled out."""
    solid = mark.status == "established"
    line = look(mark.status)
    yield Dot(x, y, RADIUS, "ink" if solid else "paper", "ink", min(line.width, 2.2), line.dash)
    tone: Tone = "paper" if solid else "ink"
    yield Label(x, y + 4.8, str(mark.number), 14, "middle", True, tone)
    if mark.status == "ruled_out":
        yield from cross(x + RADIUS * 0.95, y + RADIUS * 0.75, 3.6)
    elif mark.status == "open":
        yield Label(x + RADIUS * 1.1, y - RADIUS * 0.45, "?", 13, "start", True)


def cross(x: float, y: float, half: float) -> Iterator[Item]:
    """A small cross on a paper disc."""
    yield Dot(x, y, half + 1.6, "paper", None)
    yield Stroke(x - half, y - half, x + half, y + half, 1.8)
    yield Stroke(x - half, y + half, x + half, y - half, 1.8)
