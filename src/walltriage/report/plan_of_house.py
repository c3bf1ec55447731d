"""The plan a person drew, as the drawing that reports show: the wall's own level, front below."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from walltriage.case.geometry import Axis, Layout, Rectangle, Segment
from walltriage.case.plan import BELOW_ROOMS, DrawnPost, Plan
from walltriage.language import say
from walltriage.report.drawing import Point, fit
from walltriage.report.plan import JoistArea, PlanView, PlanWall
from walltriage.report.plan_details import PlanDetails
from walltriage.report.plan_words import level_title, plain
from walltriage.report.words import capitalized
from walltriage.units import format_length

NO_NAMES: Mapping[str, str] = {}
MOST_MARK = 150  # wide is the name of a wall that is not in question, in points


def house_plan_view(
    plan: Plan, wall_id: str, name: str, others: Mapping[str, str] = NO_NAMES
) -> PlanView | None:
    """The level of one wall, the ``others`` by their names.

    None when the wall, or the outline around it, is not drawn.
    """
    line = plan.line_of(wall_id)
    view = level_view(plan, line.level, {wall_id: name}, others) if line is not None else None
    return view if view is not None and any(wall.asked for wall in view.walls) else None


def level_view(
    plan: Plan, level: str, asked: Mapping[str, str], others: Mapping[str, str] = NO_NAMES
) -> PlanView | None:
    """One level with the walls in question, and others, by id, under their names.

    None when sizes of the outline around it are not known.
    """
    layout = Layout(plan)
    if not layout.parts_on(level) or not layout.known_on(level):
        return None
    walls = [s for s in layout.walls_on(level) if s.whole]
    sizes = []
    for part in plan.parts:
        if level in part.levels and part.width and part.depth:
            sizes += [(say("{id}, width", id=plain(part.id)), part.width.inches),
                      (say("{id}, depth", id=plain(part.id)), part.depth.inches)]  # fmt: skip
    ridges = [_ends(s) for s in layout.ridges if s.whole and level not in BELOW_ROOMS]
    things = _details(layout, level)
    return PlanView(
        outline=outline([rect for _, rect in layout.parts_on(level)]),
        walls=tuple(
            PlanWall(asked.get(s.line.wall, s.line.title), *_ends(s), s.line.wall in asked,
                     fit(others.get(s.line.wall) or s.line.wall, MOST_MARK, 12), _openings(s))
            for s in walls
        ),
        ridge=ridges[0] if len(ridges) == 1 else None,
        joists=tuple(_joists(layout, level)),
        notes=(
            say(
                "{level}; lengths may be {given} out. Hatched: the wall in question; "
                "double line: outside walls; dash and dot: ridge.",
                level=level_title(level),
                given=plan.tolerance.given,
            ),
            *_rough(layout),
            *(f"{capitalized(text)}." for text in things.words()),
        ),
        details=things,
        sizes=tuple(sizes),
        metric=plan.metric,
    )  # fmt: skip


def _rough(layout: Layout) -> Iterator[str]:
    """What is said of places that were told or pointed at more roughly than the rest."""
    if layout.loosest_in > layout.plan.tolerance.inches:
        out = format_length(layout.loosest_in, layout.plan.metric)
        yield say("What is given as about so far may be {out} out.", out=out)


def _details(layout: Layout, level: str) -> PlanDetails:
    rects = [rect for _, rect in layout.parts_on(level)]
    wide = max(r.x1 for r in rects) - min(r.x0 for r in rects)
    deep = max(r.y1 for r in rects) - min(r.y0 for r in rects)
    metric = layout.plan.metric
    holes = [layout.area(area) for area in layout.plan.stairs if area.level == level]
    return PlanDetails(
        format_length(wide, metric),
        format_length(deep, metric),
        tuple(_ends(s) for s in layout.beams if s.whole and s.line.level == level),
        tuple(_post(layout, post) for post in layout.plan.posts
              if post.level == level and layout.part_id(post.part) in layout.rects),
        tuple((_down(hole.x0, hole.y0), _down(hole.x1, hole.y1)) for hole in holes if hole),
    )  # fmt: skip


def _post(layout: Layout, post: DrawnPost) -> Point:
    rect = layout.rects[layout.part_id(post.part)]
    return _down(rect.x0 + post.left.inches, rect.y0 + post.front.inches)


def _down(x: float, y: float) -> Point:
    """A place on the page, where y grows downward and the front is below."""
    return x, -y


def _ends(segment: Segment) -> tuple[Point, Point]:
    at, lo, hi = segment.at or 0.0, segment.lo or 0.0, segment.hi or 0.0
    if segment.axis == "x":
        return _down(lo, at), _down(hi, at)
    return _down(at, lo), _down(at, hi)


def _openings(segment: Segment) -> tuple[tuple[float, float], ...]:
    """Openings from the start of the wall's drawn line."""
    start = segment.line.start.inches if segment.line.start else 0.0
    return tuple(
        (first.inches - start, last.inches - start) for first, last in segment.line.openings
    )


def _joists(layout: Layout, level: str) -> list[JoistArea]:
    found = []
    for area in layout.plan.joists:
        rect = layout.area(area)
        if area.level == level and rect is not None:
            axis: Axis = "x" if area.run in ("front", "back") else "y"
            corners = (_down(rect.x0, rect.y0), _down(rect.x1, rect.y0),
                       _down(rect.x1, rect.y1), _down(rect.x0, rect.y1))  # fmt: skip
            found.append(JoistArea(corners, (1.0, 0.0) if axis == "x" else (0.0, 1.0)))
    return found


def outline(rects: list[Rectangle]) -> tuple[Point, ...]:
    """The outer edge of rectangles that touch, as corners in order on the page.

    Walked along the edges of the cells their sides cut the plane into, with the inside always
    on the same hand; of several separate outlines the longest is taken.
    """
    xs = sorted({x for r in rects for x in (r.x0, r.x1)})
    ys = sorted({y for r in rects for y in (r.y0, r.y1)})

    def inside(i: int, j: int) -> bool:
        if not (0 <= i < len(xs) - 1 and 0 <= j < len(ys) - 1):
            return False
        x, y = (xs[i] + xs[i + 1]) / 2, (ys[j] + ys[j + 1]) / 2
        return any(r.x0 < x < r.x1 and r.y0 < y < r.y1 for r in rects)

    after: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for i in range(len(xs) - 1):
        for j in range(len(ys) - 1):
            if not inside(i, j):
                continue
            for beside, start, end in (
                ((i, j - 1), (i, j), (i + 1, j)),
                ((i + 1, j), (i + 1, j), (i + 1, j + 1)),
                ((i, j + 1), (i + 1, j + 1), (i, j + 1)),
                ((i - 1, j), (i, j + 1), (i, j)),
            ):
                if not inside(*beside):
                    after.setdefault(start, []).append(end)
    loops = []
    while after:
        first = min(after)
        loop, at = [first], first
        while True:
            at = _taken(after, at)
            if at == first:
                break
            loop.append(at)
        loops.append(loop)
    longest = max(loops, key=len)
    points = [(xs[i], ys[j]) for i, j in longest]
    return tuple(_down(*p) for n, p in enumerate(points) if _turns(points, n))


def _taken(
    after: dict[tuple[int, int], list[tuple[int, int]]], at: tuple[int, int]
) -> tuple[int, int]:
    """The next corner, each edge used once."""
    following = after[at].pop()
    if not after[at]:
        del after[at]
    return following


def _turns(points: list[tuple[float, float]], n: int) -> bool:
    """Whether the edge turns at a corner, or runs straight on."""
    (x0, y0), (x1, y1), (x2, y2) = points[n - 1], points[n], points[(n + 1) % len(points)]
    return not (x0 == x1 == x2 or y0 == y1 == y2)
