"""The numbers of a wall, a house and a set of walls as plain data for JSON."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from walltriage.report import number_words as told

if TYPE_CHECKING:
    from walltriage.inference.numbers.results import Sizing, SpanNumbers, WallNumbers
    from walltriage.structure.bracing import LineGap
    from walltriage.structure.members import MemberResult
    from walltriage.structure.new_point import Demand, PointBelow
    from walltriage.structure.post_check import PostCheck
    from walltriage.structure.steps import Range
    from walltriage.structure.supports import EndSupport
    from walltriage.structure.wall_load import WallLoad


def wall_numbers_data(numbers: WallNumbers) -> dict[str, Any]:
    """All numbers of one wall, with the sentences a firm reads."""
    found: dict[str, Any] = {
        "note": numbers.note,
        "lines": list(told.number_lines(numbers, "firm")),
        "steps": list(told.number_steps(numbers)),
        "findings": list(told.number_findings(numbers, "firm")),
    }
    if numbers.span is not None:
        found["span"] = span_data(numbers.span)
    if numbers.load is not None:
        found["takedown"] = load_data(numbers.load) | {
            "matters_most": "" if numbers.narrowing is None else numbers.narrowing.about,
            "not_counted": [told.NOT_COUNTED[item.load] for item in numbers.left_out],
        }
        found["not_sized"] = [told.TO_GIVE[item.load] for item in numbers.not_sized]
    if numbers.sizing is not None:
        found |= _sizing_data(numbers.sizing)
    if numbers.shoring is not None:
        found["shoring"] = {
            "away_in": numbers.shoring.away_in,
            "one_side_plf": range_data(numbers.shoring.one_side_plf),
            "other_side_plf": range_data(numbers.shoring.other_side_plf),
        }
    if numbers.bracing:
        found["bracing"] = [bracing_data(gap) for gap in numbers.bracing]
    return found


def span_data(span: SpanNumbers) -> dict[str, Any]:
    """Spans without the wall against what such joists reach."""
    spaced = span.size is not None and span.spacing_in is not None
    return {
        "state": span.need.state.value,
        "span_without_in": [round(end, 1) for end in span.need.span_without_in],
        "capacity_in": range_data(span.need.capacity_in),
        "joist": (span.size or "joists of unknown size")
        + (f" at {span.spacing_in:g} in" if spaced else ""),
        "sentence": span.need.sentence,
    } | ({} if span.compared is None else {
        "to_highest_known": round(span.compared.to_highest, 3),
        "to_lowest_known": round(span.compared.to_lowest, 3),
    })  # fmt: skip


def load_data(load: WallLoad) -> dict[str, Any]:
    """Pounds a foot by kind and governing, and the spots."""
    kinds = zip(load.low.kinds(), load.usual.kinds(), load.high.kinds(), strict=True)
    return {
        "plf": {
            kind: [round(low, 1), round(usual, 1), round(high, 1)]
            for (kind, low), (_, usual), (_, high) in kinds
        },
        "governing_plf": range_data(load.governing_plf),
        "combination": load.combination,
        "from_house": load.from_house,
        "spots": [
            {"at_in": round(spot.at_in, 1)}
            | {f"{kind}_lb": round(value, 1) for kind, value in spot.lb.kinds()}
            for spot in load.spots
        ],
    }


def member_data(one: MemberResult) -> dict[str, Any]:
    """A beam, how hard it works and in what."""
    return {
        "name": one.member.label,
        "kind": one.member.kind,
        "utilisation": round(one.utilisation, 3),
        "governs": one.governs,
        "combination": one.combination,
        "studs": list(one.studs),
    }


def _sizing_data(sizing: Sizing) -> dict[str, Any]:
    found: dict[str, Any] = {
        "members": [member_data(one) for one in sizing.members],
        "opening_in": sizing.opening_in,
    }
    if sizing.ends is not None:
        ends = zip(("left", "right"), sizing.ends, strict=True)
        found["supports"] = [_end_data(name, end) for name, end in ends]
    if sizing.below:
        found["below"] = [point_data(point) for point in sizing.below]
    if sizing.way_down is not None:
        found["way_down"] = {
            "complete": sizing.way_down.complete, "findings": list(sizing.way_down.findings),
        }  # fmt: skip
    return found


def _end_data(name: str, end: EndSupport) -> dict[str, Any]:
    return {
        "end": name,
        "load_lb": round(end.reaction_lb),
        "combination": end.combination,
        "studs": end.studs,
        "stud": end.stud,
        "full_height_studs": None if end.kings is None else end.kings.count,
        "posts": [post.label for post in end.posts],
        "footing_sqft": round(end.footing_sqft, 2),
        "soil_psf": end.soil_psf,
    }


def point_data(point: PointBelow) -> dict[str, Any]:
    """What takes one end of a beam below, with the demand on a girder before and after."""
    found: dict[str, Any] = {
        "load_lb": round(point.load_lb),
        "on": point.kind,
        "lines": list(point.lines),
        "mid_span": point.mid_span,
    }
    sizes: Mapping[str, float | None] = {
        "span_in": point.span_in, "from_post_in": point.from_post_in,
        "footing_sqft": point.footing_sqft, "soil_psf": point.soil_psf,
    }  # fmt: skip
    found |= {key: round(value, 2) for key, value in sizes.items() if value is not None}
    for key, demand in (("before", point.before), ("after", point.after)):
        if demand is not None:
            found[key] = _demand_data(demand)
    if point.girder is not None:
        found["girder"] = {
            "size": point.girder.size,
            "bending": round(point.girder.bending, 3),
            "shear": round(point.girder.shear, 3),
            "deflection": round(point.girder.deflection, 3),
        }
    if point.posts:
        found["posts"] = [_post_data(post) for post in point.posts]
    return found


def _post_data(post: PostCheck) -> dict[str, Any]:
    ratios = {"column": post.column, "crushing": post.crushing, "pad": post.pad}
    return {
        "from_start_in": round(post.from_start_in, 1),
        "before_lb": round(post.before_lb),
        "load_lb": round(post.load_lb),
    } | {key: None if ratio is None else round(ratio, 3) for key, ratio in ratios.items()}


def _demand_data(demand: Demand) -> dict[str, int]:
    return {
        "moment_lb_ft": round(demand.moment_lb_ft),
        "shear_lb": round(demand.shear_lb),
        "post_lb": round(demand.post_lb),
    }


def bracing_data(gap: LineGap) -> dict[str, Any]:
    """The widest distance between lines of one direction, with walls and without."""
    return {
        "level": gap.level,
        "axis": gap.axis,
        "walls": list(gap.walls),
        "before_in": round(gap.before_in, 1),
        "after_in": round(gap.after_in, 1),
        "limit_in": gap.limit_in,
    }


def range_data(value: Range) -> list[float]:
    """Lowest, usual and highest, to a tenth."""
    return [round(value.low, 1), round(value.usual, 1), round(value.high, 1)]
