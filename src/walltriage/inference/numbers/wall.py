"""The preliminary numbers of a wall, where its measurements allow any.

Plain data for every report: ``lines`` are one-line results, ``steps`` the arithmetic behind
them, ``findings`` what the arithmetic noticed.  Everything is a range where an input is one.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from walltriage.case.model import Answer
from walltriage.errors import InputError
from walltriage.inference.engine.evaluate import Evaluation
from walltriage.inference.numbers.computed import wall_span_need
from walltriage.inference.numbers.measures import Measured
from walltriage.inference.numbers.tributary import reaching_loads
from walltriage.knowledge.base import KnowledgeBase
from walltriage.structure.load_path import load_path_to_ground
from walltriage.structure.members import MemberResult, choose_members, end_supports
from walltriage.structure.span_need import SpanNeed
from walltriage.structure.steps import NOTE, Range
from walltriage.structure.tables import Tables, load_tables
from walltriage.structure.takedown import Takedown, take_down
from walltriage.units import format_length

MOST_MEMBERS = 3  # of each kind, the shallowest first


def wall_numbers(
    base: KnowledgeBase, result: Evaluation, answers: Mapping[str, Answer]
) -> dict[str, Any] | None:
    """Span, loads, members and way down as plain data, or None when nothing can be worked out."""
    if base.measures.span_need is None or result.verdict == "likely_non_bearing":
        return None
    measured = Measured(base, answers)
    found: dict[str, Any] = {"note": NOTE, "lines": [], "steps": [], "findings": []}
    need = wall_span_need(base, answers)
    if need is not None:
        _add_span(found, need, measured)
    tables = load_tables(base.folder)
    try:
        down, left_out = _loads(tables, measured, result)
        if down is not None:
            _add_loads(found, down, left_out)
            _add_members(found, tables, measured, down)
    except InputError as error:  # a measurement beyond what the arithmetic accepts
        found["findings"] += [problem.what for problem in error.problems]
    return found if found["lines"] else None


def _add_span(found: dict[str, Any], need: SpanNeed, measured: Measured) -> None:
    size, spacing = measured.word("size"), measured.number("spacing")
    joist = size or "joists of unknown size"
    found["span"] = {
        "state": need.state.value,
        "span_without_in": [round(end, 1) for end in need.span_without_in],
        "capacity_in": _range(need.capacity_in),
        "joist": joist + (f" at {spacing:g} in" if size and spacing else ""),
        "sentence": need.sentence,
    }
    found["lines"].append(need.sentence[:1].upper() + need.sentence[1:])
    found["steps"] += [str(step) for step in need.steps]
    found["findings"] += list(need.doubts)


def _loads(
    tables: Tables, measured: Measured, result: Evaluation
) -> tuple[Takedown | None, tuple[str, ...]]:
    reaching = reaching_loads(tables, measured, result)
    if not reaching.strips:
        return None, ()
    return take_down(tables, reaching.strips, reaching.lines), reaching.left_out


def _add_loads(found: dict[str, Any], down: Takedown, left_out: tuple[str, ...]) -> None:
    found["takedown"] = {
        "plf": {kind: _range(value) for kind, value in down.plf.items()},
        "governing_plf": _range(down.governing_plf),
        "combination": down.combination,
        "matters_most": down.matters_most,
        "not_counted": list(left_out),
    }
    low, usual, high = _range(down.governing_plf)
    parts = ", ".join(
        f"{kind.replace('_', ' ')} {value.low:,.0f} to {value.high:,.0f}"
        for kind, value in down.plf.items()
        if value.high > 0
    )
    found["lines"].append(
        f"If it bears, each foot of the wall may carry {low:,.0f} to {high:,.0f} lb, "
        f"usually about {usual:,.0f} ({parts} lb/ft; {down.combination} governs)."
    )
    if down.matters_most:
        found["lines"].append(f"What would narrow that most: {down.matters_most}.")
    found["lines"] += [f"Not counted: {item}." for item in left_out]
    found["steps"] += [str(step) for step in down.steps]
    found["findings"] += list(down.findings)


def _add_members(found: dict[str, Any], tables: Tables, measured: Measured, down: Takedown) -> None:
    opening = measured.number("opening")
    if opening is None:
        return
    chosen = choose_members(tables, opening, down.high)
    by_kind: dict[str, list[Any]] = {}
    for one in chosen:
        by_kind.setdefault(one.member.kind, []).append(one)
    shown = [one for kind in by_kind.values() for one in kind[:MOST_MEMBERS]]
    found["members"] = [
        {
            "name": one.member.label,
            "kind": one.member.kind,
            "utilisation": round(one.utilisation, 3),
            "governs": one.governs,
            "combination": one.combination,
            "studs": list(one.studs),
        }
        for one in shown
    ]
    found["opening_in"] = opening
    where = f"over the whole {format_length(opening)} of the wall, under the highest load"
    if not shown:
        found["lines"].append(f"No listed beam carries it {where}. {chosen.sentence}")
        return
    names = "; ".join(f"{one.member.label} ({one.utilisation:.0%}, {one.governs})" for one in shown)
    found["lines"].append(f"Beams that pass the checks {where}: {names}.")
    found["steps"] += [str(step) for step in shown[0].steps]
    _add_way_down(found, tables, measured, shown[0])


def _add_way_down(
    found: dict[str, Any], tables: Tables, measured: Measured, beam: MemberResult
) -> None:
    """What is under the ends of the shallowest beam: loads, studs, footings, and what is unseen."""
    ends = dict(zip(("left", "right"), end_supports(tables, beam), strict=True))
    found["supports"] = [
        {
            "end": name,
            "load_lb": round(end.reaction_lb),
            "combination": end.combination,
            "studs": end.studs,
            "stud": end.stud,
            "footing_sqft": round(end.footing_sqft, 2),
            "soil_psf": end.soil_psf,
        }
        for name, end in ends.items()
    ]
    worst = max(ends.values(), key=lambda end: end.reaction_lb)
    found["lines"].append(
        f"Each end of such a beam would bring up to {worst.reaction_lb:,.0f} lb down to one spot "
        f"and ask for about {worst.footing_sqft:.1f} sq ft of footing on untested soil."
    )
    found["findings"] += [finding for end in ends.values() for finding in end.findings]
    levels, ground = measured.number("levels_below"), measured.word("ground")
    if levels is None or ground is None:
        found["lines"].append("What is under the ends of such a beam has not been told.")
        return
    loads = {name: end.reaction_lb for name, end in ends.items()}
    down = load_path_to_ground(loads, {}, levels_below=int(levels), ground=ground)
    found["way_down"] = {"complete": down.complete, "findings": list(down.findings)}
    found["lines"] += list(down.findings[-1:])


def _range(value: Range) -> list[float]:
    return [round(value.low, 1), round(value.usual, 1), round(value.high, 1)]
