"""What the plan says of the house as a whole: needed lines, spans, loads down to the ground."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from walltriage.case.geometry import Layout
from walltriage.case.model import Answer
from walltriage.inference.finding import Verdict
from walltriage.inference.numbers.lines import AND, solve_part
from walltriage.inference.numbers.results import ClassedLine, CollectingLine, HouseNumbers
from walltriage.knowledge.base import KnowledgeBase
from walltriage.structure.bracing import LineGap, bracing_gaps
from walltriage.structure.frame import Support
from walltriage.structure.house_frame import build_house
from walltriage.structure.house_loads import HouseLoads, house_loads
from walltriage.structure.loads import governing_total
from walltriage.structure.new_point import PointBelow, point_below
from walltriage.structure.settled import HEAVY, Site
from walltriage.structure.tables import Tables, load_tables

BEARS: Mapping[Verdict, bool | None] = {
    "likely_bearing": True, "likely_non_bearing": False, "cannot_tell": None,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class HouseWork:
    """A drawn house with the verdicts on its walls, and the loads followed through it.

    ``earthquakes``: the shorter spacing of braced wall lines holds.
    """

    base: KnowledgeBase
    layout: Layout
    answers: Mapping[str, Answer]
    bears: Mapping[str, bool | None]
    site: Site
    loads: HouseLoads
    earthquakes: bool

    @property
    def tables(self) -> Tables:
        return load_tables(self.base.folder)

    def line(self, wall: str) -> Support | None:
        """The line of the frame that a wall is."""
        name = self.loads.house.line_of.get(wall)
        return next((s for s in self.loads.house.frame.supports if s.id == name), None)

    def length_of(self, wall: str) -> float | None:
        """Inches of a drawn wall."""
        line = self.line(wall)
        return None if line is None else line.hi - line.lo

    def drawn_above(self, wall: str) -> bool:
        """Whether what stands on the level above a wall is drawn, or there is no such level."""
        line = self.layout.plan.line_of(wall)
        if line is None:
            return False
        over = self.layout.level_over(self.layout.plan.part(line.part), line.level)
        return over is None or over in self.layout.plan.whole or bool(self.layout.walls_on(over))

    def bracing(self, walls: tuple[str, ...]) -> tuple[LineGap, ...]:
        """How much farther apart the lines of bracing stand without these walls."""
        return bracing_gaps(self.tables, self.layout, walls, earthquakes=self.earthquakes)

    def points_below(
        self, wall: str, reactions_lb: tuple[float, ...], beams: frozenset[str] | None = None
    ) -> tuple[PointBelow, ...]:
        """What takes the left (or front) and right (or back) end of a beam in a wall's place."""
        taken = frozenset({wall}) if beams is None else beams
        standing, house = (
            build_house(self.tables, self.site, self.layout, self.bears,
                        replace(HEAVY, end="high"), beams=replaced)
            for replaced in (frozenset[str](), taken)
        )  # fmt: skip
        before, after = standing.frame.follow(), house.frame.follow()
        line = next((s for s in house.frame.supports if s.id == house.line_of.get(wall)), None)
        if line is None:
            return ()
        found = []
        for place, load in zip((line.lo, line.hi), reactions_lb, strict=True):
            x, y = (place, line.at) if line.axis == "x" else (line.at, place)
            grounded = line.level == 0 or line.grounded
            under: tuple[Support, ...] = () if grounded else house.frame.stands_on(line.level, x, y)
            at = x if under and under[0].axis == "x" else y
            found.append(
                point_below(self.tables, load, at, under, on_ground=grounded,
                            before=before, after=after)
            )  # fmt: skip
        return tuple(found)


def house_work(
    base: KnowledgeBase,
    layout: Layout,
    answers: Mapping[str, Answer],
    verdicts: Mapping[str, Verdict],
    site: Site,
    *,
    earthquakes: bool,
) -> HouseWork:
    """The loads of a drawn house; :class:`InputError` for sizes the arithmetic does not accept."""
    bears = {wall: BEARS[verdict] for wall, verdict in verdicts.items()}
    loads = house_loads(load_tables(base.folder), site, layout, bears)
    return HouseWork(base, layout, answers, bears, site, loads, earthquakes)


def house_numbers(work: HouseWork) -> HouseNumbers:
    """Lines, loads and findings of the whole house."""
    lines, unexplained = _line_classes(work)
    total, _ = governing_total(work.tables, work.loads.ground())
    return HouseNumbers(
        tuple(lines),
        tuple(_collected(work)),
        total,
        tuple(unexplained),
        tuple(sorted(set(work.loads.followed.findings))),
        work.loads.house.assumed,
    )


def _collected(work: HouseWork) -> Iterator[CollectingLine]:
    """What each line but the outside walls collects, from the top level down."""
    house = work.loads.house
    for line in sorted(house.frame.supports, key=lambda s: (-s.level, s.at, s.id)):
        walls = tuple(wall for wall, name in house.line_of.items() if name == line.id)
        load = work.loads.by_line[line.id]
        if not (walls or line.beam) or not work.loads.followed.lines[line.id]:
            continue
        spot = max((governing_total(work.tables, p.lb)[0] for p in load.spots), default=0.0)
        yield CollectingLine(walls or (line.id,), load, spot)


def _line_classes(work: HouseWork) -> tuple[list[ClassedLine], list[str]]:
    """The class of every line of every part, from the spans of all its levels together."""
    lines: list[ClassedLine] = []
    unexplained: list[str] = []
    for part in work.layout.plan.parts:
        if part.id not in work.layout.rects:
            continue
        by_verdicts = solve_part(work.base, work.layout, part.id, work.bears, work.answers)
        by_spans = solve_part(work.base, work.layout, part.id, {}, work.answers)
        for judged, free in zip(by_verdicts, by_spans, strict=True):
            if free.count and not judged.count and part.id not in unexplained:
                unexplained.append(part.id)
            solved = judged if judged.count else free
            lines += [
                ClassedLine(part.id, tuple(name.split(AND)), word)
                for name, word in solved.classes.items()
            ]
    return lines, unexplained
