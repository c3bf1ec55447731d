"""The plan: outline, ridge, walls, the wall in question, which way the joists run."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot

from walltriage.language import say
from walltriage.report.drawing import (
    LETTER,
    WIDTH,
    Item,
    Label,
    PlanDrawing,
    Point,
    Shape,
    Stroke,
    arrow,
)
from walltriage.report.plan_details import (
    NOTHING_MORE,
    Box,
    PlanDetails,
    details,
    label_box,
    lettered,
    mark,
    meet,
    sizes,
)
from walltriage.units import IN_PER_M, format_length

EDGE, TOP, MOST_HEIGHT = 56.0, 34.0, 300.0
BAR_IN = 120.0
METRIC_BAR_IN = 2 * IN_PER_M
WALL_THICK = 9.0


@dataclass(frozen=True, slots=True)
class PlanWall:
    """A wall as a line in inches; ``asked`` marks the one in question."""

    name: str
    start: Point
    end: Point
    asked: bool = False
    mark: str = ""
    """What is printed on a wall that is not in question."""
    openings: tuple[tuple[float, float], ...] = ()
    """Openings as (from, to) along the wall, in inches from its start."""


@dataclass(frozen=True, slots=True)
class JoistArea:
    """A part of the plan in which the joists above run one way."""

    corners: tuple[Point, ...]
    direction: Point
    """A vector along the joists."""


@dataclass(frozen=True, slots=True)
class PlanView:
    """All a plan needs, in inches from one corner of the house; whoever knows a house fills it.

    ``to_scale`` is false when sizes were assumed; ``notes`` say what was.
    """

    outline: tuple[Point, ...]
    walls: tuple[PlanWall, ...]
    ridge: tuple[Point, Point] | None = None
    joists: tuple[JoistArea, ...] = ()
    to_scale: bool = True
    notes: tuple[str, ...] = ()
    details: PlanDetails = NOTHING_MORE
    sizes: tuple[tuple[str, float], ...] = ()
    """Known sizes in inches, for the words beside the drawing."""
    metric: bool = False
    """Whether the house was measured in metric, and is drawn with metric sizes."""


def plan_drawing(view: PlanView) -> PlanDrawing:
    """The plan as a drawing."""
    sheet = PlanSheet(view)
    items = tuple(sheet.items())
    caption = " ".join(view.notes)
    return PlanDrawing(
        "plan", say("Plan of the house"), _described(view), sheet.height, items, caption
    )


def _described(view: PlanView) -> str:
    asked = [wall.name for wall in view.walls if wall.asked]
    parts = [
        say("Plan seen from above with the wall '{name}' hatched.", name=name) for name in asked
    ]
    parts += [f"{what}: {format_length(inches, view.metric)}." for what, inches in view.sizes]
    if view.ridge:
        (x1, y1), (x2, y2) = view.ridge
        way = say("the long way") if abs(x2 - x1) > abs(y2 - y1) else say("the short way")
        parts.append(say("The roof ridge runs {way} of the house.", way=way))
    asked_walls = [wall for wall in view.walls if wall.asked]
    for area in view.joists[:1]:
        for wall in asked_walls[:1]:
            along = _cross(area.direction, _way(wall)) < 0.5
            parts.append(
                say("Joists above run {more} the wall.", more="along" if along else "across")
            )
    parts += [say("Also drawn: {words}.", words="; ".join(view.details.words()))] * bool(
        [*view.details.words()]
    )
    parts.append(say("Drawn to scale.") if view.to_scale else say("Not to scale."))
    return " ".join((*parts, *view.notes))


def _way(wall: PlanWall) -> Point:
    return wall.end[0] - wall.start[0], wall.end[1] - wall.start[1]


def _cross(a: Point, b: Point) -> float:
    """Sine of the angle between two directions."""
    return abs(a[0] * b[1] - a[1] * b[0]) / max(hypot(*a) * hypot(*b), 1e-9)


class PlanSheet:
    """Where everything of a view stands on its drawing."""

    def __init__(self, view: PlanView) -> None:
        self.view = view
        xs = [x for x, _ in view.outline]
        ys = [y for _, y in view.outline]
        self.left, self.low = min(xs), min(ys)
        wide, high = max(max(xs) - self.left, 1.0), max(max(ys) - self.low, 1.0)
        self.scale = min((WIDTH - 2 * EDGE) / wide, (MOST_HEIGHT - 2 * TOP) / high)
        self.x0 = (WIDTH - wide * self.scale) / 2
        self.right = self.x0 + wide * self.scale
        self.bottom = TOP + high * self.scale
        self.height = self.bottom + 62

    def at(self, point: Point) -> Point:
        """Where a place in inches is drawn."""
        x, y = point
        return self.x0 + (x - self.left) * self.scale, TOP + (y - self.low) * self.scale

    def place(self, x: float, y: float) -> Point:
        """The place in inches that is drawn at (x, y): what :meth:`at` does, backward."""
        return (x - self.x0) / self.scale + self.left, (y - TOP) / self.scale + self.low

    def items(self) -> Iterator[Item]:
        """The whole drawing."""
        outline = tuple(self.at(point) for point in self.view.outline)
        yield Shape(outline, fill=None, width=5, stroke="soft")
        yield Shape(outline, fill=None, width=2.2, stroke="paper")
        for area in self.view.joists:
            yield from self._joists(area)
        yield from self._ridge()
        yield from details(self.view.details, self.at)
        yield from sizes(self.view.details, self.x0, TOP, self.right, self.bottom)
        for wall in sorted(self.view.walls, key=lambda wall: wall.asked):
            yield from self._wall(wall)
        yield from self._names()
        yield from self._key()

    def _joists(self, area: JoistArea) -> Iterator[Item]:
        """A double arrow with ticks, as framing plans show the way joists run."""
        cx, cy = self._clear_spot([self.at(point) for point in area.corners])
        dx, dy = area.direction
        length = max(hypot(dx, dy), 1e-9)
        ux, uy = dx / length * 26, dy / length * 26
        line = Stroke(0, 0, 0, 0, 1.3, "soft")
        yield from arrow(cx, cy, cx + ux, cy + uy, 7, line)
        yield from arrow(cx, cy, cx - ux, cy - uy, 7, line)
        for shift in (-5, 5):
            sx, sy = -uy / 26 * shift, ux / 26 * shift
            yield Stroke(cx - ux * 0.7 + sx, cy - uy * 0.7 + sy, cx + ux * 0.7 + sx,
                       cy + uy * 0.7 + sy, 0.7, "soft")  # fmt: skip
        upright = abs(uy) > abs(ux)
        x, y, anchor = (cx + 14, cy + 5, "start") if upright else (cx, cy + 22, "middle")
        yield Label(x, y, "joists", 13, anchor, tone="soft")  # type: ignore[arg-type]

    def _clear_spot(self, corners: list[Point]) -> Point:
        """The middle of an area, or a place near one of its quarters where no wall stands."""
        (x1, x2), (y1, y2) = ((min(values), max(values)) for values in zip(*corners, strict=True))
        shares = ((0.5, 0.5), (0.5, 0.75), (0.25, 0.75), (0.75, 0.75), (0.25, 0.25), (0.75, 0.25))
        spots: list[Point] = [(x1 + (x2 - x1) * a, y1 + (y2 - y1) * b) for a, b in shares]
        return min(spots, key=lambda spot: self._covers(label_box(spot[0], spot[1], 60, 26)))

    def _ridge(self) -> Iterator[Item]:
        if self.view.ridge:
            (x1, y1), (x2, y2) = (self.at(point) for point in self.view.ridge)
            yield Stroke(x1, y1, x2, y2, 1.2, "soft", (12, 4, 2, 4))
            lying = x2 > x1 + 1
            x, y = (x2 + 10, y2 + 5) if lying else (x2, y2 - 6)
            yield Label(x, y, say("ridge"), 13, "start" if lying else "middle", tone="soft")

    def _wall(self, wall: PlanWall) -> Iterator[Item]:
        (x1, y1), (x2, y2) = self.at(wall.start), self.at(wall.end)
        length = max(hypot(x2 - x1, y2 - y1), 1e-9)
        ux, uy = (x2 - x1) / length, (y2 - y1) / length
        spans = _solid(wall, self.scale, length)
        if not wall.asked:
            for start, end in spans:
                yield Stroke(x1 + ux * start, y1 + uy * start, x1 + ux * end, y1 + uy * end, 2.2,
                           "soft")  # fmt: skip
            return
        half = WALL_THICK / 2
        for start, end in spans:
            ax, ay, bx, by = x1 + ux * start, y1 + uy * start, x1 + ux * end, y1 + uy * end
            nx, ny = -uy * half, ux * half
            corners = ((ax + nx, ay + ny), (bx + nx, by + ny), (bx - nx, by - ny),
                       (ax - nx, ay - ny))  # fmt: skip
            yield Shape(corners, fill="paper", width=2)
            offset = 3.0
            while offset < end - start - 3:  # slanted ticks across the wall
                px, py = ax + ux * offset, ay + uy * offset
                yield Stroke(px - nx, py - ny, px + nx + ux * 4, py + ny + uy * 4, 1)
                offset += 7

    def _names(self) -> Iterator[Item]:
        """The name beside the asked wall, where it covers least; other walls by their marks."""
        taken = []
        for wall in self.view.walls:
            if wall.asked:
                text, size = lettered(wall.name, WIDTH - 24)
                wide = len(text) * size * LETTER + 8
                spots = self._beside(wall, wide)
                x, y = min(
                    spots, key=lambda at: self._covers(label_box(at[0], at[1], wide, 14), wall)
                )
                taken.append(label_box(x, y, wide, 14))
                yield from mark(text, x, y, size, bold=True)
        for wall in self.view.walls:
            if wall.mark and not wall.asked:
                (x1, y1), (x2, y2) = self.at(wall.start), self.at(wall.end)
                spots = [(x1 + (x2 - x1) * t, y1 + (y2 - y1) * t + 4) for t in (0.5, 0.2, 0.8)]
                boxes = [label_box(x, y, len(wall.mark) * 12 * LETTER + 8, 12) for x, y in spots]
                free = [not any(meet(box, other) for other in taken) for box in boxes]
                x, y = spots[free.index(True) if True in free else 0]
                yield from mark(wall.mark, x, y, 12)

    def _beside(self, wall: PlanWall, wide: float) -> list[Point]:
        """Places for a name: in front of the wall and behind it, or to its right and left."""
        (x1, y1), (x2, y2) = self.at(wall.start), self.at(wall.end)
        if abs(x2 - x1) >= abs(y2 - y1):
            x = (x1 + x2) / 2
            if wide < self.right - self.x0 - 8:  # beside an outside wall, not on it
                x = min(max(x, self.x0 + wide / 2 + 4), self.right - wide / 2 - 4)
            spots = [(x, max(y1, y2) + 26), (x, min(y1, y2) - 14)]
        else:
            off, y = WALL_THICK + 4 + wide / 2, (y1 + y2) / 2 + 5
            spots = [(max(x1, x2) + off, y), (min(x1, x2) - off, y)]
        least, most = wide / 2 + 4, WIDTH - wide / 2 - 4
        return [spot for spot in spots if least <= spot[0] <= most] or [
            (min(max(x, least), most), y) for x, y in spots[:1]
        ]

    def _covers(self, box: Box, asked: PlanWall | None = None) -> int:
        """How many of the other walls, outside edges and stairs a label would lie on."""
        corners = self.view.outline
        lines = [(w.start, w.end) for w in self.view.walls if w is not asked]
        lines += [*zip(corners, (*corners[1:], *corners[:1]), strict=True)]
        lines += [*self.view.details.stairs, *self.view.details.beams]
        lines += [self.view.ridge] if self.view.ridge else []
        return sum(meet(box, _around(self.at(one), self.at(other))) for one, other in lines)

    def _key(self) -> Iterator[Item]:
        y = self.bottom + 34
        if not self.view.to_scale:
            yield Label(WIDTH / 2, y + 14, say("Not to scale: sizes or places are assumed"), 13,
                        tone="soft")  # fmt: skip
            return
        length_in = METRIC_BAR_IN if self.view.metric else BAR_IN
        bar = length_in * self.scale
        x = (WIDTH - bar) / 2
        yield Stroke(x, y, x + bar, y, 1.4)
        for tick in (x, x + bar / 2, x + bar):
            yield Stroke(tick, y - 4, tick, y + 4, 1.4)
        shown = format_length(length_in, self.view.metric)
        yield Label(WIDTH / 2, y + 20, say("{shown} · to scale", shown=shown), 13, tone="soft")


def _around(one: Point, other: Point) -> Box:
    (x1, x2), (y1, y2) = sorted((one[0], other[0])), sorted((one[1], other[1]))
    return x1, y1, x2, y2


def _solid(wall: PlanWall, scale: float, length: float) -> list[tuple[float, float]]:
    """The stretches of a wall between its openings, along the drawn line."""
    spans, at = [], 0.0
    for start, end in sorted(wall.openings):
        start, end = max(start * scale, at), min(end * scale, length)
        if start > at:
            spans.append((at, start))
        at = max(at, end)
    if at < length:
        spans.append((at, length))
    return spans
