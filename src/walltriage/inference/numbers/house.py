"""What the plan says of the house as a whole: needed lines, spans, loads down to the ground."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from walltriage.case.geometry import Axis, Layout, Rect, Segment
from walltriage.case.model import Answer
from walltriage.errors import InputError
from walltriage.inference.finding import Verdict
from walltriage.inference.numbers.computed import reach_cuts
from walltriage.inference.numbers.results import ClassedLine, CollectingLine, HouseNumbers
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.relation_references import mark
from walltriage.structure.bracing import LineGap, bracing_gaps
from walltriage.structure.frame import Support
from walltriage.structure.house_frame import HEAVY, Site, build_house, line_name, run_of
from walltriage.structure.house_lines import HouseLines, LevelLines, solve_house
from walltriage.structure.house_loads import HouseLoads, house_loads
from walltriage.structure.loads import governing_total
from walltriage.structure.new_point import PointBelow, point_below
from walltriage.structure.tables import Tables, load_tables

BEARS: Mapping[Verdict, bool | None] = {
    "likely_bearing": True, "likely_non_bearing": False, "cannot_tell": None,
}  # fmt: skip
NEAR_EDGE_IN = 12.0  # nearer to an outside wall, a line is that wall
AND = " and "  # between lines at one place


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


def solve_part(
    base: KnowledgeBase,
    layout: Layout,
    part_id: str,
    bears: Mapping[str, bool | None],
    answers: Mapping[str, Answer],
    gone: frozenset[str] = frozenset(),
) -> list[HouseLines]:
    """The bearing lines of one part, for each run of levels on which lines are drawn.

    Joists must run one way on every level of it; walls shorter than half of the part are no
    line for all of its joists and are left out.  Where the arithmetic declines, nothing is said.
    """
    part, rect = layout.plan.part(part_id), layout.rects[part_id]
    runs = {run_of(layout, part, level)[0] for level in part.levels}
    if len(runs) != 1:
        return []
    axis: Axis = "x" if runs.pop() == "y" else "y"
    groups: list[list[LevelLines]] = [[]]
    for level in part.levels:
        use = "ceiling" if layout.level_over(part, level) is None else "floor"
        cuts = reach_cuts(base, answers, use)
        if cuts is None:
            return []
        lines = _level_lines(layout, level, rect, axis, bears, gone, cuts[1])
        if lines.candidates_in or level in layout.plan.whole:
            groups[-1].append(lines)
        elif groups[-1]:  # a level nobody drew says nothing of what stands on it
            groups.append([])
    if "joist_depth" not in base.relations.settings:
        return []
    depth = mark(base.relations.settings["joist_depth"])
    try:
        return [solve_house(group, depth) for group in groups if group]
    except InputError:  # more lines than the arithmetic takes, or one beyond its part
        return []


def _level_lines(
    layout: Layout,
    level: str,
    rect: Rect,
    axis: Axis,
    bears: Mapping[str, bool | None],
    gone: frozenset[str],
    reach_in: float,
) -> LevelLines:
    """The candidate lines of one level of a part; lines on one spot count as one."""
    (first, last), (start, end) = rect.across(axis), rect.along(axis)
    places: dict[float, list[str]] = {}
    known: dict[str, bool] = {}
    for name, s in _named_lines(layout, level):
        if s.axis != axis or s.at is None or s.lo is None or s.hi is None or name in gone:
            continue
        shared = min(s.hi, end) - max(s.lo, start)
        if not first + NEAR_EDGE_IN < s.at < last - NEAR_EDGE_IN or shared < 0.5 * (end - start):
            continue
        places.setdefault(round(s.at - first), []).append(name)
        verdict = True if s in layout.beams else bears.get(name)
        if verdict is not None:
            known[name] = verdict
    joined = {AND.join(names): (float(at), names) for at, names in places.items()}
    settled = {
        name: any(known[n] for n in names if n in known)
        for name, (_, names) in joined.items()
        if any(n in known for n in names)
    }
    candidates = {name: at for name, (at, _) in joined.items()}
    return LevelLines(last - first, candidates, reach_in, settled)


def _named_lines(layout: Layout, level: str) -> Iterator[tuple[str, Segment]]:
    for kind, segments in (("wall", layout.walls), ("beam", layout.beams)):
        for number, segment in enumerate(segments, 1):
            if segment.line.level == level:
                yield line_name(segment, number, kind), segment
