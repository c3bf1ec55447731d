"""``walltriage beam --spans``: beams on several supports or with free ends."""

from __future__ import annotations

import json
import re
from typing import Any

from walltriage.commands.quantities import (
    check_data,
    demand_of_limit,
    length_option,
    step_data,
    step_line,
)
from walltriage.errors import refuse
from walltriage.language import say
from walltriage.structure.continuous import (
    ContinuousResult,
    Supported,
    check_continuous,
    findings,
    supports_under,
)
from walltriage.structure.loads import LoadSet
from walltriage.structure.stock import stock
from walltriage.structure.strips import PointLoad
from walltriage.structure.tables import Tables
from walltriage.units import format_length, format_quantity

SHOWN = 12


def supported_from(spans: str, overhangs: tuple[str, ...]) -> Supported:
    """Spans and free ends as the options give them; :class:`InputError` at the option."""
    lengths = tuple(length_option("--spans", part, "ft") for part in spans.split(","))
    ends = {"left": 0.0, "right": 0.0}
    for value in overhangs:
        match = re.fullmatch(r"\s*(left|right)\s+(.+)", value)
        if match is None:
            expected = "expected a side and a length, such as 'right 2 ft'"
            raise refuse("--overhang", f"'{value}' is no free end", expected)
        ends[match[1]] = length_option("--overhang", match[2], "ft")
    return Supported(lengths, (ends["left"], ends["right"]))


def on_supports(
    tables: Tables,
    spans: str,
    overhangs: tuple[str, ...],
    loads: LoadSet,
    points: tuple[PointLoad, ...],
    *,
    height_in: float | None,
    soil: str,
    kinds: tuple[str, ...],
    species: str | None,
    grade: str | None,
    live_divisor: float | None,
    everything: bool,
    steps: bool,
    json_wanted: bool,
    metric: bool,
) -> str:
    """The listed beams that work, shallowest first, with what every support carries.

    Places of point loads count from the beam's left end.  Raises :class:`InputError` as
    :func:`check_continuous` does.
    """
    supported = supported_from(spans, overhangs)
    results = [
        check_continuous(tables, member, supported, loads, points, live_divisor=live_divisor)
        for member in stock(tables, kinds, species, grade)
    ]
    order = sorted(
        (one for one in results if one.works),
        key=lambda one: (one.member.section.depth_in, one.member.plies),
    )
    nearest = min(results, key=lambda one: one.utilization)
    first = order[0] if order else nearest
    shown = (order if everything else order[:SHOWN]) or [nearest]
    held = [_support(tables, first, i, height_in, soil) for i in range(len(first.reactions))]
    if json_wanted:
        data = {
            "works": bool(order),
            "tried": len(results),
            "members": [_data(one) for one in (order or [nearest])],
            "supports": held,
            "findings": list(findings(first)),
            "note": first.note,
        }
        return json.dumps(data, indent=2)
    said = say(
        "{passed} of {tried} beams tried pass these checks.", passed=len(order), tried=len(results)
    )
    if not order:
        said = say(
            "Nothing listed works: of {tried} beams tried the nearest is", tried=len(results)
        )
    lines = [said]
    lines += [
        f"  {one.member.label:<28} {one.utilization:>5.0%}  {say(one.governs)}" for one in shown
    ]
    if len(order) > len(shown):
        lines.append(say("  and {hidden} more; --all lists them", hidden=len(order) - len(shown)))
    lines.append(say("Checks of {label}:", label=first.member.label))
    lines += [
        f"  {say(check.name):<22} {demand_of_limit(check, metric)}  {check.ratio:.2f}  "
        f"({check.combination})"
        for check in first.checks
    ]
    lines += [f"    {step_line(step, metric)}" for step in first.steps if steps]
    for row in held:
        lines.append(
            say(
                "  support at {at}: {least} to {most}; footing {footing} at {soil}",
                at=format_length(row["at_in"], metric),
                least=format_quantity(row["least_lb"], "lb", metric),
                most=format_quantity(row["most_lb"], "lb", metric),
                footing=format_quantity(row["footing_sqft"], "sq ft", metric),
                soil=format_quantity(row["soil_psf"], "psf", metric),
            )
        )
    return "\n".join([*lines, *findings(first, metric), say(first.note)])


def _support(
    tables: Tables, result: ContinuousResult, index: int, height_in: float | None, soil: str
) -> dict[str, Any]:
    end = supports_under(tables, result, height_in=height_in, soil=soil)[index]
    reaction = result.reactions[index]
    return {
        "at_in": round(reaction.at_in, 2),
        "most_lb": round(reaction.most_lb, 1),
        "least_lb": round(reaction.least_lb, 1),
        "stud": end.stud,
        "studs": end.studs or None,
        "posts": [post.label for post in end.posts],
        "footing_sqft": round(end.footing_sqft, 2),
        "soil_psf": end.soil_psf,
    }


def _data(result: ContinuousResult) -> dict[str, Any]:
    return {
        "member": result.member.label,
        "kind": result.member.kind,
        "works": result.works,
        "utilization": round(result.utilization, 4),
        "governs": result.governs,
        "checks": [check_data(check, "combination") for check in result.checks],
        "steps": [step_data(step) for step in result.steps],
    }
