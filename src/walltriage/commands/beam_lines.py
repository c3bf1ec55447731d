"""Beams over an opening as lines of plain text, with the checks of the first."""

from __future__ import annotations

from typing import Any

from walltriage.commands.quantities import step_line
from walltriage.language import say
from walltriage.structure.members import MemberChoice
from walltriage.structure.steps import CalcStep
from walltriage.units import format_length, format_quantity


def _line(data: dict[str, Any]) -> str:
    left, right = data["ends"]["left"], data["ends"]["right"]
    studs = "/".join(str(end["studs"] or say("post")) for end in (left, right))
    return say(
        "  {member:<28} {used:>5.0%}  {governs} ({combination}); studs {studs}",
        member=data["member"],
        used=data["utilisation"],
        governs=say(data["governs"]),
        combination=data["combination"],
        studs=studs,
    )


def _aside(check: dict[str, Any]) -> str:
    if check["decides"]:
        return ""
    return say("  met by the studs") if "bearing" in check["name"] else say("  for information")


def _step(step: dict[str, Any], metric: bool) -> str:
    return "    " + step_line(CalcStep(**step), metric)


def _check_line(check: dict[str, Any], metric: bool) -> str:
    """Demand and limit in the unit of both; the unit is told once."""
    demand = format_quantity(check["demand"], check["unit"], metric)
    limit = format_quantity(check["limit"], check["unit"], metric)
    used = say("{demand} of {limit}", demand=f"{demand.rpartition(' ')[0]:>7}", limit=limit)
    return (
        f"  {say(check['name']):<17} {used}  {check['ratio']:.2f}  ({check['combination']})"
        + _aside(check)
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
        lines.append(say("  and {hidden} more; --all lists them", hidden=hidden))
    if shown:
        first = shown[0]
        lines.append(
            say(
                "Checks of {member} over {span}:",
                member=first["member"],
                span=format_length(first["span_in"], metric),
            )
        )
        lines += [_check_line(check, metric) for check in first["checks"]]
        lines += [_step(step, metric) for step in first["steps"] if steps]
        for word, end in first["ends"].items():
            lines.append(
                say(
                    "  {side} end: {load}; footing {footing} at {soil}, about {size} square",
                    side=say(word),
                    load=format_quantity(end["reaction_lb"], "lb", metric),
                    footing=format_quantity(end["footing_sqft"], "sq ft", metric),
                    soil=format_quantity(end["soil_psf"], "psf", metric),
                    size=format_length(end["footing_side_in"], metric),
                )
            )
            lines += [f"    {finding}" for finding in end["findings"]]
            lines += [_step(step, metric) for step in end["steps"] if steps]
        kings = first["ends"]["left"]["full_height_studs"]
        lines += [f"  {kings['told']}"] if kings else []
    return [*lines, *map(say, choice.notes)]
