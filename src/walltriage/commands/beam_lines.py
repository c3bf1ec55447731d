"""Beams over an opening as lines of plain text, with the checks of the first."""

from __future__ import annotations

from typing import Any

from walltriage.commands.quantities import step_line
from walltriage.structure.members import MemberChoice
from walltriage.structure.steps import CalcStep
from walltriage.units import format_length, format_quantity


def _line(data: dict[str, Any]) -> str:
    left, right = data["ends"]["left"], data["ends"]["right"]
    studs = "/".join(str(end["studs"] or "post") for end in (left, right))
    return (
        f"  {data['member']:<28} {data['utilisation']:>5.0%}  {data['governs']} "
        f"({data['combination']}); studs {studs}"
    )


def _aside(check: dict[str, Any]) -> str:
    if check["decides"]:
        return ""
    return "  met by the studs" if "bearing" in check["name"] else "  for information"


def _step(step: dict[str, Any], metric: bool) -> str:
    return "    " + step_line(CalcStep(**step), metric)


def _check_line(check: dict[str, Any], metric: bool) -> str:
    """Demand and limit in the unit of both; the unit is told once."""
    demand = format_quantity(check["demand"], check["unit"], metric)
    limit = format_quantity(check["limit"], check["unit"], metric)
    return (
        f"  {check['name']:<17} {demand.rpartition(' ')[0]:>7} of {limit}  {check['ratio']:.2f}"
        f"  ({check['combination']})" + _aside(check)
    )


def as_lines(
    choice: MemberChoice,
    shown: list[dict[str, Any]],
    hidden: int,
    steps: bool = False,
    metric: bool = False,
) -> list[str]:
    """The choice as lines of plain text; ``steps`` of the first beam follow its checks."""
    lines = [choice.sentence]
    lines += [_line(data) for data in shown]
    if hidden:
        lines.append(f"  and {hidden} more; --all lists them")
    if shown:
        first = shown[0]
        lines.append(f"Checks of {first['member']} over {format_length(first['span_in'], metric)}:")
        lines += [_check_line(check, metric) for check in first["checks"]]
        lines += [_step(step, metric) for step in first["steps"] if steps]
        for word, end in first["ends"].items():
            lines.append(
                f"  {word} end: {format_quantity(end['reaction_lb'], 'lb', metric)}; footing "
                f"{format_quantity(end['footing_sqft'], 'sq ft', metric)} at "
                f"{format_quantity(end['soil_psf'], 'psf', metric)}, about "
                f"{format_length(end['footing_side_in'], metric)} square"
            )
            lines += [f"    {finding}" for finding in end["findings"]]
            lines += [_step(step, metric) for step in end["steps"] if steps]
        kings = first["ends"]["left"]["full_height_studs"]
        lines += [f"  {kings['told']}"] if kings else []
    return [*lines, *choice.notes]
