"""What the plan says of the house as a whole: needed lines, spans, loads down to the ground."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from walltriage.case.geometry import Layout, Segment
from walltriage.case.model import Answer
from walltriage.errors import InputError
from walltriage.inference.computed import reach_cuts
from walltriage.inference.finding import Verdict
from walltriage.inference.house_frame import House, build_house, line_name, run_of
from walltriage.inference.measures import Measured
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
CLASS_WORDS = {
    "needed": "the joists could not do without it",
    "in_no_smallest": "not needed by span, as long as the others stand",
    "depends": "needed or not, depending on which others carry",
    "nothing_holds": "the spans cannot be explained even with every drawn line: one is missing",
}


def house_numbers(
    base: KnowledgeBase,
    layout: Layout,
    answers: Mapping[str, Answer],
    verdicts: Mapping[str, Verdict],
) -> dict[str, Any]:
    """Lines, loads and findings of the whole house as plain data."""
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
    found["support_lines"] = list(_line_classes(base, layout, bears, answers))
    found["collects"] = list(_collected(tables, light, heavy, low, high))
    found["ground_lb"] = round(_total(tables, high))
    for row in found["support_lines"]:
        found["lines"].append(f"{row['line']}: {CLASS_WORDS[row['class']]}.")
    for row in found["collects"]:
        spots = f", and up to {row['spots_lb']:,} lb at single spots" if row["spots_lb"] else ""
        least, most = row["plf"]
        foot = f"about {most:,}" if least == most else f"{least:,} to {most:,}"
        found["lines"].append(f"{row['line']} collects {foot} lb on its heaviest foot{spots}.")
    found["lines"].append(f"About {found['ground_lb']:,} lb in all come down to the ground.")
    found["findings"] += sorted(set(high.findings))
    return found


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
        yield {
            "line": line.id,
            "plf": [round(end) for end in ends],
            "spots_lb": round(spots),
        }


def _line_classes(
    base: KnowledgeBase,
    layout: Layout,
    bears: Mapping[str, bool | None],
    answers: Mapping[str, Answer],
) -> Iterator[dict[str, Any]]:
    """The class of every line of every part, from the spans of all its levels together."""
    for part in layout.plan.parts:
        if part.id not in layout.rects:
            continue
        solved = solve_part(base, layout, part.id, bears, answers)
        if solved is not None:
            for name, word in solved.classes.items():
                yield {"part": part.id, "line": name, "class": word.value}


def solve_part(
    base: KnowledgeBase,
    layout: Layout,
    part_id: str,
    bears: Mapping[str, bool | None],
    answers: Mapping[str, Answer],
    gone: frozenset[str] = frozenset(),
) -> HouseLines | None:
    """The bearing lines of one part over all its levels; None when the arithmetic declines.

    Joists must run one way on every level of it; walls shorter than half of the part are no
    line for all of its joists and are left out.
    """
    part, rect = layout.plan.part(part_id), layout.rects[part_id]
    runs = {run_of(layout, part, level)[0] for level in part.levels}
    if len(runs) != 1:
        return None
    run = runs.pop()
    axis = "x" if run == "y" else "y"
    first, last = rect.across(axis)  # type: ignore[arg-type]
    along = rect.along(axis)  # type: ignore[arg-type]
    levels = []
    for level in part.levels:
        upper = layout.level_above(level)
        use = "floor" if upper is not None and upper in part.levels else "ceiling"
        cuts = reach_cuts(base, answers, use)
        if cuts is None:
            return None
        places: dict[float, list[str]] = {}
        known: dict[str, bool] = {}
        for name, s in _named_lines(layout, level):
            inside = s.axis == axis and s.at is not None and first + 12 < s.at < last - 12
            if not inside or s.length is None or name in gone:
                continue
            if s.length < 0.5 * (along[1] - along[0]):
                continue
            assert s.at is not None
            places.setdefault(round(s.at - first), []).append(name)
            verdict = True if s in layout.beams else bears.get(name)
            if verdict is not None:
                known[name] = verdict
        candidates = {" and ".join(names): float(at) for at, names in places.items()}
        settled = {
            joined: any(known[n] for n in joined.split(" and ") if n in known)
            for joined in candidates
            if any(n in known for n in joined.split(" and "))
        }
        levels.append(LevelLines(last - first, candidates, cuts[1], settled))
    if not any(level.candidates_in for level in levels):
        return None
    try:
        return solve_house(levels, mark(base.relations.settings["joist_depth"]))
    except InputError:
        return None


def _named_lines(layout: Layout, level: str) -> Iterator[tuple[str, Segment]]:
    for kind, segments in (("wall", layout.walls), ("beam", layout.beams)):
        for number, segment in enumerate(segments, 1):
            if segment.line.level == level:
                yield line_name(segment, number, kind), segment
