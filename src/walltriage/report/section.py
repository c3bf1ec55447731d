"""A section through the house: the six ways load can reach the wall, each marked by status.

The section is a schematic of this house as reported (levels, roof, base, the wall's level); it
is never to scale, as heights are not asked, and says so.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from walltriage.language import say
from walltriage.report.drawing import (
    WIDTH,
    Item,
    Label,
    PlanDrawing,
    Stroke,
    arrow,
    hatch,
    rect,
)
from walltriage.report.marks import RADIUS, PathMark, badge, cross, look

LEFT, RIGHT, WALL_X, WALL_W = 112.0, 368.0, 226.0, 15.0
STOREY, JOIST, ROOF, TOP, APART = 70.0, 11.0, 84.0, 16.0, 60.0
MIDDLE = (LEFT + RIGHT) / 2
WALL_C = WALL_X + WALL_W / 2
_DEPTH = {"basement": 62.0, "crawl_space": 26.0, "slab": 10.0, "": 26.0}
_BASE_WORDS = {
    "basement": "basement", "crawl_space": "crawl space", "slab": "slab", "": "unknown foundation",
}  # fmt: skip
_ROOF_WORDS = {
    "trusses": "trusses", "rafters": "rafters", "flat": "flat roof", "": "roof frame not known",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class SectionView:
    """What is known of the house's height: empty texts where it is not known.

    ``wall_level`` counts from the ground, 0 the lowest main level, -1 the basement; ``levels``
    is at least one more than it.
    """

    levels: int
    wall_level: int
    base: str
    roof: str
    assumed: tuple[str, ...] = ()


def section_drawing(view: SectionView, marks: tuple[PathMark, ...], wall_name: str) -> PlanDrawing:
    """The section with the load paths of one wall."""
    sheet = _Sheet(view, {mark.id: mark for mark in marks})
    items = [*sheet.house(), *sheet.paths(), *sheet.labels()]
    statuses = "; ".join(f"{m.number} {m.title}: {m.word}" for m in marks)
    house = say(
        "{levels} level{more}, {roof_words}, ",
        levels=view.levels,
        more="s" * (view.levels > 1),
        roof_words=say(_ROOF_WORDS[view.roof]),
    )
    desc = say(
        "Schematic section, not to scale: {house}{base_words}. The wall "
        "'{wall_name}' is hatched. Ways load can reach it: {told}.",
        house=house,
        base_words=say(_BASE_WORDS[view.base]),
        wall_name=wall_name,
        told=statuses,
    )
    if view.assumed:
        desc += say(" Assumed, as not known: {assumed}.", assumed=", ".join(view.assumed))
    caption = say("The numbers are those of the list of load paths.")
    if view.assumed:
        caption += say(" Assumed: {assumed}.", assumed=", ".join(view.assumed))
    return PlanDrawing(
        "section", say("Section of the house"), desc, sheet.height, tuple(items), caption
    )


class _Sheet:
    def __init__(self, view: SectionView, marks: dict[str, PathMark]) -> None:
        self.view, self.marks = view, marks
        self.roof = 22.0 if view.roof == "flat" else ROOF
        self.eave = TOP + self.roof
        self.ground = self.eave + view.levels * STOREY
        self.depth = _DEPTH[view.base]
        below = view.wall_level < 0
        self.foot = self.ground + self.depth if below else self.floor(view.wall_level)
        self.head = self.ground + JOIST if below else self.floor(view.wall_level + 1) + JOIST
        self.height = max(self.ground + JOIST + self.depth + 44, TOP + 4 * APART + 24)

    def floor(self, level: int) -> float:
        """The height of the top of a level's floor."""
        return self.ground - level * STOREY

    def house(self) -> Iterator[Item]:
        """The house without the load paths."""
        yield Stroke(LEFT - 34, self.ground + 6, LEFT, self.ground + 6, 1, "soft")
        yield Stroke(RIGHT, self.ground + 6, RIGHT + 24, self.ground + 6, 1, "soft")
        yield from self._base()
        for level in range(self.view.levels + 1):
            y = self.floor(level)
            if level or self.view.base != "slab":
                yield rect(LEFT, y, RIGHT - LEFT, JOIST, stroke="soft", width=1)
        for x in (LEFT, RIGHT - 7):
            yield rect(x, self.eave, 7, self.ground - self.eave, fill="faint", stroke="soft")
        yield from self._roof()
        yield rect(WALL_X, self.head, WALL_W, self.foot - self.head, fill="paper", width=2)
        yield from hatch(WALL_X, self.head, WALL_W, self.foot - self.head, 7)
        footer = say(
            "{roof_words} · {base_words} · not to scale",
            roof_words=say(_ROOF_WORDS[self.view.roof]),
            base_words=say(_BASE_WORDS[self.view.base]),
        )
        yield Label(MIDDLE, self.height - 8, footer, 13, tone="soft")

    def _base(self) -> Iterator[Item]:
        y = self.ground
        if self.view.base == "slab":
            yield rect(LEFT - 4, y, RIGHT - LEFT + 8, 10, fill="faint", stroke="soft")
            return
        for x in (LEFT, RIGHT - 9):
            yield rect(x, y + JOIST, 9, self.depth, fill="faint", stroke="soft")
            yield rect(x - 6, y + JOIST + self.depth, 21, 7, fill="faint", stroke="soft")
        if self.view.base == "basement":
            yield Stroke(LEFT, y + JOIST + self.depth, RIGHT, y + JOIST + self.depth, 1, "soft")

    def _roof(self) -> Iterator[Item]:
        if self.view.roof == "flat":
            yield rect(LEFT - 12, TOP + 6, RIGHT - LEFT + 24, 12, stroke="soft")
            return
        ridge, over = (MIDDLE, TOP), 16
        for x in (LEFT - over, RIGHT + over):
            yield Stroke(*ridge, x, self.eave + 10, 2.2, "soft")
        if self.view.roof == "trusses":
            y = self.eave
            foot = (LEFT + 64, MIDDLE - 8, MIDDLE + 8, RIGHT - 64)
            for start, end in zip(foot, (LEFT + 64, MIDDLE, MIDDLE, RIGHT - 64), strict=True):
                share = 1 - abs(end - MIDDLE) / (MIDDLE - LEFT + over)
                yield Stroke(start, y, end, self.eave + 10 - share * (self.roof + 10), 1, "soft")

    def paths(self) -> Iterator[Item]:
        """The six load paths drawn in the house."""
        for draw in (
            self._framing, self._struts, self._above, self._point, self._edge, self._bracing,
        ):  # fmt: skip
            yield from draw()

    def _framing(self) -> Iterator[Item]:
        mark = self.marks.get("framing_above")
        if mark is None:
            return
        line = look(mark.status)
        y = self.head - JOIST / 2
        yield Stroke(LEFT + 10, y, WALL_C + 3, y, line.width, line.tone, line.dash)
        yield Stroke(WALL_C - 3, y + 2.6, RIGHT - 60, y + 2.6, line.width, line.tone, line.dash)

    def _struts(self) -> Iterator[Item]:
        mark = self.marks.get("roof_struts")
        if mark is None:
            return
        start = (MIDDLE + 62, TOP + self.roof * 0.45)
        if self.view.roof == "flat":
            start = (WALL_C + 40, TOP + 18)
        end = (WALL_C + 5, self.eave - 1)
        yield from self._status_arrow(mark, *start, *end)
        if self.view.wall_level + 1 < self.view.levels:  # the load still has floors to pass
            yield Stroke(end[0], self.eave, end[0], self.head - JOIST, 1, "soft", (2, 3))

    def _above(self) -> Iterator[Item]:
        mark = self.marks.get("wall_above")
        if mark is None:
            return
        line = look(mark.status)
        top = max(self.head - JOIST - 40, self.eave - 30)
        box = rect(
            WALL_X - 30, top, 11, self.head - JOIST - top, stroke=line.tone,
            width=line.width, dash=line.dash,
        )  # fmt: skip
        yield box
        if mark.status == "ruled_out":
            yield from cross(WALL_X - 24.5, top + (self.head - JOIST - top) / 2, 3.6)

    def _point(self) -> Iterator[Item]:
        mark = self.marks.get("point_load")
        if mark is None:
            return
        line = look(mark.status)
        x, y = WALL_X + WALL_W + 18, self.head - JOIST - 15
        yield rect(x, y, 14, 14, fill="paper", width=min(line.width, 2.4), dash=line.dash)
        yield Stroke(x, y, x + 14, y + 14, 1, line.tone)
        yield Stroke(x + 14, y, x, y + 14, 1, line.tone)
        yield from self._status_arrow(mark, x + 7, self.head, x + 7 - 12, self.head + 20, 6)

    def _edge(self) -> Iterator[Item]:
        mark = self.marks.get("perimeter")
        if mark is None:
            return
        line = look(mark.status)
        y = (self.eave + self.ground) / 2
        yield Stroke(RIGHT - 3.5, self.eave + 14, RIGHT - 3.5, self.ground - 4, line.width,
                   line.tone, line.dash)  # fmt: skip
        if mark.status == "ruled_out":
            yield from cross(RIGHT - 3.5, y, 3.6)

    def _bracing(self) -> Iterator[Item]:
        mark = self.marks.get("bracing")
        if mark is None:
            return
        line = look(mark.status)
        x = WALL_X + WALL_W
        yield Stroke(x, self.head + 24, x + 34, self.foot - 2, line.width, line.tone, line.dash)
        if mark.status == "ruled_out":
            yield from cross(x + 17, (self.head + self.foot) / 2 + 11, 3.6)

    def _status_arrow(
        self, mark: PathMark, x1: float, y1: float, x2: float, y2: float, head: float = 9
    ) -> Iterator[Item]:
        yield from arrow(x1, y1, x2, y2, head, look(mark.status))
        if mark.status == "ruled_out":
            yield from cross((x1 + x2) / 2, (y1 + y2) / 2, 3.6)

    def labels(self) -> Iterator[Item]:
        """Badges in both margins with a leader to what each one marks."""
        y_joist = self.head - JOIST / 2
        spots = {
            "roof_struts": (True, (MIDDLE + 42, TOP + self.roof * 0.62)),
            "point_load": (True, (WALL_X + WALL_W + 34, self.head - JOIST - 8)),
            "perimeter": (True, (RIGHT + 1, (self.eave + self.ground) / 2)),
            "framing_above": (False, (LEFT + 12, y_joist)),
            "wall_above": (False, (WALL_X - 31, self.head - JOIST - 20)),
            "bracing": (True, (WALL_X + WALL_W + 26, self.foot - 16)),
        }
        for right in (False, True):
            here = [m for m in self.marks.values() if spots.get(m.id, (None,))[0] is right]
            here.sort(key=lambda m: spots[m.id][1][1])
            x = WIDTH - 42 if right else 42.0
            for row, mark in enumerate(here):
                y, aim = TOP + RADIUS + 2 + row * APART, spots[mark.id][1]
                edge = x - RADIUS - 12 if right else x + RADIUS + 12
                yield Stroke(edge, y, *aim, 0.8, "soft")
                yield from badge(x, y, mark)
                yield Label(x, y + RADIUS + 15, mark.word, 13, bold=mark.status != "ruled_out")
        yield Label(WALL_X - 6, (self.head + self.foot) / 2 + 12, say("this wall"), 13, "end", True)
