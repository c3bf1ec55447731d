"""What the plan says of the house as a whole: needed lines, spans, loads down to the ground."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from walltriage.case.geometry import Axis, Layout, Rect, Segment
from walltriage.case.model import Answer
from walltriage.errors import InputError
from walltriage.inference.finding import Verdict
from walltriage.inference.numbers.computed import reach_cuts
from walltriage.inference.numbers.house_frame import House, build_house, line_name, run_of
from walltriage.inference.numbers.measures import Measured
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.relation_references import mark
from walltriage.structure.frame import Followed
from walltriage.structure.house_lines import HouseLines, LevelLines, solve_house
from walltriage.structure.loads import LoadSet, governing_total
from walltriage.structure.steps import NOTE
from walltriage.structure.tables import Tables, load_tables

BEARS: Mapping[Verdict, bool | None] = {
    "likely_bearing": True, "likely_non_bearing": False, "cannot_tell": None,
}  # fmt: skip
NEAR_EDGE_IN = 12.0  # nearer to an outside wall, a line is that wall
AND = " and "  # between lines at one place
CLASS_WORDS = {
    "needed": "the joists could not do without it",
    "in_no_smallest": "not needed by span, as long as the others stand",
    "depends": "needed or not, depending on which others carry",
    "nothing_holds": "the drawn lines do not explain the spans: one may be missing or misplaced",
}


def house_numbers(
    base: KnowledgeBase,
    layout: Layout,
    answers: Mapping[str, Answer],
    verdicts: Mapping[str, Verdict],
    names: Mapping[str, str],
) -> dict[str, Any]:
    """Lines, loads and findings of the whole house as plain data.

    ``names`` are what people call the walls; the data name them by id, the sentences so.
    """
    tables, measured = load_tables(base.folder), Measured(base, answers)
    bears = {wall: BEARS[verdict] for wall, verdict in verdicts.items()}
    found: dict[str, Any] = {"note": NOTE, "lines": [], "findings": [], "assumed": []}
    try:
        light, heavy = (
            build_house(tables, measured, layout, bears, heavy=heavy) for heavy in (False, True)
        )
        low, high = light.frame.follow(), heavy.frame.follow()
    except InputError as error:
        found["findings"] += [problem.what for problem in error.problems]
        return found
    found["assumed"] = list(heavy.assumed)
    found["support_lines"] = list(_line_classes(base, layout, bears, answers, found))
    found["collects"] = list(_collected(tables, light, heavy, low, high))
    found["ground_lb"] = round(_total(tables, high))
    for row in found["support_lines"]:
        found["lines"].append(f"{_told(row['line'], names)}: {CLASS_WORDS[row['class']]}.")
    for row in found["collects"]:
        spots = f", and up to {row['spots_lb']:,} lb at single spots" if row["spots_lb"] else ""
        least, most = row["plf"]
        foot = f"about {most:,}" if least == most else f"{least:,} to {most:,}"
        line = _told(row["line"], names)
        found["lines"].append(f"{line} collects {foot} lb on its heaviest foot{spots}.")
    found["lines"].append(f"About {found['ground_lb']:,} lb in all come down to the ground.")
    found["findings"] += sorted(set(high.findings))
    return found


def _told(line: str, names: Mapping[str, str]) -> str:
    """A line of one or several walls in the walls' names; lines at one place are joined."""
    return AND.join(names.get(name, name) for name in line.split(AND))


def _total(tables: Tables, followed: Followed) -> float:
    load = LoadSet()
    for one in followed.ground:
        load += one.load
    return governing_total(tables, load)[0]


def _collected(
    tables: Tables, light: House, heavy: House, low: Followed, high: Followed
) -> Iterator[dict[str, Any]]:
    """What each line but the outside walls collects, from the top level down.

    Per foot the heaviest stretch counts, whatever of it comes down as a spread load.
    """
    for line in sorted(heavy.frame.supports, key=lambda s: (-s.level, s.at, s.id)):
        mine = any(line.id == name for name in heavy.line_of.values())
        if not (mine or line.beam) or not high.lines[line.id]:
            continue
        ends = sorted(governing_total(tables, one.worst_plf(line.id))[0] for one in (low, high))
        spots = max(
            (governing_total(tables, p.load)[0] for one in (low, high) for p in one.spots(line.id)),
            default=0.0,
        )
        walls = [wall for wall, name in heavy.line_of.items() if name == line.id]
        yield {
            "line": AND.join(walls) or line.id,
            "plf": [round(end) for end in ends],
            "spots_lb": round(spots),
        }


def _line_classes(
    base: KnowledgeBase,
    layout: Layout,
    bears: Mapping[str, bool | None],
    answers: Mapping[str, Answer],
    found: dict[str, Any],
) -> Iterator[dict[str, Any]]:
    """The class of every line of every part, from the spans of all its levels together."""
    for part in layout.plan.parts:
        if part.id not in layout.rects:
            continue
        by_verdicts = solve_part(base, layout, part.id, bears, answers)
        by_spans = solve_part(base, layout, part.id, {}, answers)
        for judged, free in zip(by_verdicts, by_spans, strict=True):
            if free.count and not judged.count:
                found["findings"].append(
                    f"{part.id}: what is likely of its walls and what its spans ask for do not fit "
                    "together: a likely bearing wall stands on no line below, or the joists need "
                    "a wall that is likely non-bearing."
                )
            solved = judged if judged.count else free
            for name, word in solved.classes.items():
                yield {"part": part.id, "line": name, "class": word.value}


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
