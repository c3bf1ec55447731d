"""The numbers of a whole house and of a set of walls as plain data for JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from walltriage.inference.finding import Finding
from walltriage.report import house_words as told
from walltriage.report.number_data import bracing_data, point_data

if TYPE_CHECKING:
    from walltriage.inference.numbers.removal import Removal


def house_data(finding: Finding) -> dict[str, Any]:
    """Lines, loads and findings of the whole house; lines by wall id, sentences by name."""
    house = finding.house
    assert house is not None
    found: dict[str, Any] = {
        "note": house.note,
        "lines": list(told.house_results(finding)),
        "findings": list(told.house_findings(finding)),
        "assumed": list(house.assumed),
        "support_lines": [
            {"part": row.part, "line": told.AND.join(row.walls), "class": row.line_class.value}
            for row in house.support_lines
        ],
        "collects": [
            {
                "line": told.AND.join(row.walls),
                "plf": [round(row.load.governing_plf.low), round(row.load.governing_plf.high)],
                "spots_lb": round(row.spot_lb),
            }
            for row in house.collects
        ],
    }
    if house.ground_lb is not None:
        found["ground_lb"] = round(house.ground_lb)
    return found


def removal_numbers_data(removal: Removal) -> dict[str, Any]:
    """Spans, moved loads, beams and ways down of a set of walls, with a firm's sentences."""
    found, names = removal.numbers, removal.names
    data: dict[str, Any] = {
        "note": found.note,
        "lines": list(told.removal_numbers(removal, "firm")),
        "findings": list(found.problems),
    }
    if not found.drawn:
        return data
    data["spans"] = [{"wall": r.wall, "span_in": round(r.span_in, 1)} for r in found.spans]
    data["moves"] = [
        {
            "line": r.line, "before_plf": round(r.before_plf), "after_plf": round(r.after_plf),
            "before_lb": round(r.before_lb), "after_lb": round(r.after_lb),
        }
        for r in found.moves
    ]  # fmt: skip
    data["openings"] = [
        {
            "wall": r.wall,
            "opening_in": round(r.opening_in, 1),
            "plf": [round(r.load.governing_plf.low), round(r.load.governing_plf.high)],
            "members": [f"{m.member.label} ({m.utilisation:.0%})" for m in r.members],
            "sentence": told.opening_line(r, names, "firm"),
        }
        for r in found.openings
    ]
    data["ways_down"] = [
        {
            "wall": r.wall,
            "at_in": [round(r.x_in, 1), round(r.y_in, 1)],
            "on_a_line": len(r.under) == 1,
            "sentence": told.end_line(r, names, "firm"),
        }
        | ({} if r.below is None else {"below": point_data(r.below)})
        for r in found.ends
    ]
    data["bracing"] = [bracing_data(gap) for gap in found.bracing]
    return data
