"""A plan as a frame of lines and joists, with the loads of the load rules on it.

What is not known has to be settled somehow (``structure/settled.py``);
``structure/house_loads.py`` goes through every way of it that can matter.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from walltriage.case.geometry import Axis, Layout, Rectangle, Segment, axis_of
from walltriage.case.plan import BELOW_ROOMS, Part
from walltriage.language import say
from walltriage.structure.frame import Frame, JoistField, Support
from walltriage.structure.frame_parts import Prop
from walltriage.structure.loads import LoadSet, dead_range, live_range
from walltriage.structure.settled import Settled, Site
from walltriage.structure.sources_of_load import roof
from walltriage.structure.steps import Range
from walltriage.structure.tables import Tables

SAME_IN = 1.0


@dataclass(frozen=True, slots=True)
class FramedHouse:
    """A frame, the line of it that each wall of the case is, and what had to be assumed."""

    frame: Frame
    line_of: Mapping[str, str]
    assumed: tuple[str, ...]


def line_name(segment: Segment, number: int, kind: str) -> str:
    """What a drawn line is called in results: the wall's id, or its name and level."""
    line = segment.line
    return line.wall or f"{line.name or f'{kind} {number}'} ({line.level})"


def run_of(layout: Layout, part: Part, level: str) -> tuple[Axis, bool]:
    """The axis along which a part's joists run over a level, and whether somebody saw them.

    Unseen, they are taken to run square to the ridge, or the shorter way.
    """
    seen = {
        axis_of(area.run)
        for area in layout.plan.joists
        if area.run and area.level == level and layout.part_id(area.part) == part.id
    }
    if len(seen) == 1:
        return seen.pop(), True
    if len(layout.ridges) == 1:
        return ("y" if layout.ridges[0].axis == "x" else "x"), False
    rect = layout.rects[part.id]
    return ("x" if rect.x1 - rect.x0 < rect.y1 - rect.y0 else "y"), False


def build_house(
    tables: Tables,
    site: Site,
    layout: Layout,
    bears: Mapping[str, bool | None],
    settled: Settled,
    *,
    gone: frozenset[str] = frozenset(),
    beams: frozenset[str] = frozenset(),
) -> FramedHouse:
    """The frame of a plan; ``bears`` says of each wall of the case what its verdict is.

    Walls ``gone`` are left out; walls in ``beams`` are beams on a post at each end instead.
    """
    builder = _FrameBuilder(tables, site, layout, bears, settled, gone, beams)
    supports, fields = builder.supports(), list(builder.fields())
    breaks = frozenset(builder.line_of[w] for w in site.breaks if w in builder.line_of)
    frame = Frame(supports, fields, through=settled.through, breaks=breaks)
    return FramedHouse(frame, builder.line_of, tuple(dict.fromkeys(builder.assumed)))


@dataclass(slots=True)
class _FrameBuilder:
    tables: Tables
    site: Site
    layout: Layout
    bears: Mapping[str, bool | None]
    settled: Settled
    gone: frozenset[str]
    beams: frozenset[str]
    line_of: dict[str, str] = field(default_factory=dict)
    assumed: list[str] = field(default_factory=list)

    def _end(self, value: Range) -> float:
        """The end of a range that this way of settling takes."""
        return float(getattr(value, self.settled.end))

    @property
    def _roof_inside(self) -> bool:
        return self.settled.roof_inside and not self.site.roof_trusses

    def _wall_plf(self, kind: str) -> float:
        psf, _ = dead_range(self.tables, "wall", kind)
        return self._end(psf) * self._end(self.site.wall_height_in) / 12

    def supports(self) -> list[Support]:
        found = [edge for level in self.layout.plan.levels for edge in self._edges(level)]
        edges = list(found)
        for number, segment in enumerate(self.layout.walls, 1):
            if segment.whole and segment.line.level:
                edge = self._on_edge(segment, edges)
                if edge is None:
                    found += self._wall(segment, number, edges)
                elif segment.line.wall:
                    self.line_of[segment.line.wall] = edge.id
        for number, segment in enumerate(self.layout.beams, 1):
            if segment.whole:
                level = self._index(segment.line.level)
                at, lo, hi = self._snapped(segment, edges)
                name = line_name(segment, number, "beam")
                props = tuple(self._props(segment))
                found.append(
                    Support(name, level, segment.axis, at, lo, hi, beam=True,
                            posts=tuple(prop.at for prop in props), props=props,
                            grounded=self._lowest(segment), size=segment.line.size)
                )  # fmt: skip
        return found

    def _lowest(self, segment: Segment) -> bool:
        """Whether a line's part has no level below it."""
        return segment.line.level == self.layout.plan.part(segment.line.part).levels[0]

    def _index(self, level: str) -> int:
        return self.layout.plan.levels.index(level)

    def _edges(self, level: str) -> Iterator[Support]:
        # round a crawl space or basement stands the foundation, not a wall of studs
        framed = level not in BELOW_ROOMS
        own = LoadSet(dead=self._wall_plf("wall_exterior")) if framed else LoadSet()
        for part, rect in self.layout.parts_on(level):
            roof_plf = self._roof_on_edges(level, part, rect)
            for side, axis, at, lo, hi in (
                ("front", "x", rect.y0, rect.x0, rect.x1),
                ("back", "x", rect.y1, rect.x0, rect.x1),
                ("left", "y", rect.x0, rect.y0, rect.y1),
                ("right", "y", rect.x1, rect.y0, rect.y1),
            ):
                plf = own + (roof_plf[1] if roof_plf and axis == roof_plf[0] else LoadSet())
                name = f"{part.id} {side} ({level})"
                yield Support(
                    name, self._index(level), axis, at, lo, hi,  # type: ignore[arg-type]
                    plf=plf, grounded=level == part.levels[0],
                )  # fmt: skip

    def _roof(self) -> LoadSet:
        """Roof load in psf of plan area."""
        strip = roof(
            self.tables, "roof", slope_deg=self.site.slope_deg, tributary_in=12.0,
            ground_snow_psf=self.site.ground_snow_psf, covering=self.site.covering,
        )  # fmt: skip
        return LoadSet(**{kind: self._end(value) for kind, value in strip.psf.items()})

    def _roof_on_edges(
        self, level: str, part: Part, rect: Rectangle
    ) -> tuple[Axis, LoadSet] | None:
        """The axis of the eaves and the roof load on each foot of them, if it stays outside."""
        if self._above(level, part) or self._roof_inside:
            return None
        axis, _ = run_of(self.layout, part, level)
        eaves: Axis = "x" if axis == "y" else "y"
        low, high = rect.across(eaves)
        return eaves, self._roof().times((high - low) / 24)

    def _above(self, level: str, part: Part) -> bool:
        return self.layout.level_over(part, level) is not None

    def fields(self) -> Iterator[JoistField]:
        floor, ceiling = (
            LoadSet(
                dead=self._end(dead_range(self.tables, name, name)[0]),
                live=self._end(live_range(self.tables, None, live)),
            )
            for name, live in (("floor", "floor"), ("ceiling", "attic"))
        )
        for level in self.layout.plan.levels:
            for part, rect in self.layout.parts_on(level):
                run, seen = run_of(self.layout, part, level)
                name = say("{id}, over {level}", id=part.id, level=level)
                if not seen:
                    way = say("left to right") if run == "x" else say("front to back")
                    self.assumed.append(
                        say("joists of {name}, run {way}: not seen", name=name, way=way)
                    )
                psf = floor if self._above(level, part) else ceiling
                if psf is ceiling and self._roof_inside:
                    psf += self._roof()
                yield JoistField(
                    name, self._index(level), rect.x0, rect.y0, rect.x1, rect.y1, run, psf
                )

    def _wall(self, segment: Segment, number: int, edges: list[Support]) -> Iterator[Support]:
        line = segment.line
        if line.wall in self.gone and line.wall:
            return
        name = line_name(segment, number, "wall")
        bears = self.bears.get(line.wall) if line.wall else None
        carries = self.settled.all_carry if bears is None else bears
        at, lo, hi = self._snapped(segment, edges)
        share = 0.5 if line.kind == "knee_wall" else 1.0
        own = LoadSet(dead=self._wall_plf("wall_interior") * share)
        if line.wall:
            self.line_of[line.wall] = name
        beam = line.wall in self.beams
        wall = Support(
            name, self._index(line.level), segment.axis, at, lo, hi, carries, own,
            grounded=self._lowest(segment),
        )  # fmt: skip
        yield replace(wall, carries=True, beam=True, posts=(lo, hi)) if beam else wall

    def _snapped(self, segment: Segment, edges: list[Support]) -> tuple[float, float, float]:
        """A line's place and ends, drawn to outside walls they come within the tolerance of.

        A line of another level within the tolerance is the same line, measured twice.
        """
        at, *ends = segment.place
        slack = self.layout.out_in(segment.line)
        level = self._index(segment.line.level)
        crossing = [e.at for e in edges if e.level == level and e.axis != segment.axis]
        lo, hi = (
            min((e for e in crossing if abs(e - end) <= slack), key=lambda e: abs(e - end),
                default=end)
            for end in ends
        )  # fmt: skip
        for other in (*self.layout.walls, *self.layout.beams):
            if not other.line.level or other.axis != segment.axis or other.at is None:
                continue
            apart = max(slack, self.layout.out_in(other.line))
            if self._index(other.line.level) < level and abs(other.at - at) <= apart:
                at = other.at
                break
        return at, lo, hi

    def _on_edge(self, segment: Segment, edges: list[Support]) -> Support | None:
        """The outside wall that a drawn wall is, if it lies on one."""
        level, slack = self._index(segment.line.level), self.layout.out_in(segment.line)
        at, lo, hi = segment.place
        for edge in edges:
            if edge.level == level and edge.axis == segment.axis:
                shared = min(edge.hi, hi) - max(edge.lo, lo)
                if abs(edge.at - at) <= slack and shared > slack:
                    return edge
        return None

    def _props(self, beam: Segment) -> Iterator[Prop]:
        for post in self.layout.plan.posts:
            rect = self.layout.rects.get(self.layout.part_id(post.part))
            if post.level != beam.line.level or rect is None or beam.at is None:
                continue
            x, y = rect.x0 + post.left.inches, rect.y0 + post.front.inches
            along, across = (x, y) if beam.axis == "x" else (y, x)
            apart = max(self.layout.out_in(post), self.layout.out_in(beam.line))
            if abs(across - beam.at) <= apart + SAME_IN:
                tall, pad = (
                    None if length is None else length.inches
                    for length in (post.height, post.footing)
                )
                yield Prop(along, post.size, tall, pad)
