"""Which lines of one part of a drawn house its joists cannot do without, and what of one wall."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from walltriage.case.geometry import Axis, Layout, Rectangle, Segment
from walltriage.case.model import Answer
from walltriage.errors import InputError
from walltriage.inference.numbers.computed import reach_cuts
from walltriage.inference.numbers.measures import Measured
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.relation_references import mark
from walltriage.structure.house_frame import line_name, run_of
from walltriage.structure.house_lines import HouseLines, LevelLines, LineClass, solve_house

NEAR_EDGE_IN = 12.0  # nearer to an outside wall, a line is that wall
AND = " and "  # between lines at one place


def line_class(
    base: KnowledgeBase, layout: Layout, wall: str, answers: Mapping[str, Answer]
) -> LineClass | None:
    """The class of one wall by spans alone, no verdict counted; None where nothing can be said.

    It is said only where every wall of the part is drawn, for an undrawn one may hold the
    joists, and only of joists known to be sawn and not known to run along the wall: trusses
    and made joists reach farther than any table.
    """
    measured = Measured(base, answers)
    if (
        measured.word("sawn") != "yes"
        or measured.word("not_sawn")
        or measured.word("run") == "along"
    ):
        return None
    line = layout.plan.line_of(wall)
    part_id = None if line is None else layout.part_id(line.part)
    if part_id is None or part_id not in layout.rects:
        return None
    if not set(layout.plan.part(part_id).levels) <= set(layout.plan.whole):
        return None
    for solved in solve_part(base, layout, part_id, {}, answers):
        for names, word in solved.classes.items():
            if wall in names.split(AND):
                return None if word is LineClass.NOTHING_HOLDS else word
    return None


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
    rect: Rectangle,
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
