"""``walltriage span``: how far a joist or rafter may reach."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import click

from walltriage.commands.common import rules_option
from walltriage.commands.quantities import (
    check_data,
    deflection_option,
    demand_of_limit,
    is_metric,
    length_option,
    load_option,
    refuses_in_same_measure,
    step_data,
    step_line,
)
from walltriage.language import say
from walltriage.rules_folder import default_rules_folder
from walltriage.structure.shapes import USES
from walltriage.structure.spans import SpanRange, SpanResult, allowable_span, span_range
from walltriage.structure.tables import load_tables
from walltriage.structure.two_span import worked_two_spans
from walltriage.units import format_length, format_quantity

WORDS = ("lowest", "usual", "highest")
EPILOG = """\b
Example:
  walltriage span --use floor --size 2x10 --species SPF --grade No.2 \\
      --spacing 16in --live 40psf --dead 10psf
Leave out --species or --grade if unknown: lowest, usual and highest are given."""


def as_data(result: SpanResult) -> dict[str, Any]:
    """The result as plain data for JSON."""
    return {
        "lumber": result.label,
        "span_in": round(result.span_in, 3),
        "span": format_length(result.span_in),
        "governs": result.governs,
        "checks": [check_data(check, "decides") for check in result.checks],
        "reaction_lb": round(result.reaction_lb, 1),
        "bearing_needed_in": round(result.bearing_needed_in, 3),
        "steps": [step_data(step) for step in result.steps],
        "note": result.note,
    }


def as_text(result: SpanResult, steps: bool, metric: bool = False) -> list[str]:
    """The result as lines of plain text."""
    label = result.label
    if metric:  # a size keeps its nominal inches, the spacing behind it does not
        label = re.sub(
            r"(?<= at )([\d.]+) in", lambda at: format_quantity(float(at[1]), "in", True), label
        )
    lines = [
        say(
            "{label}: {span}, governed by {governs}",
            label=label,
            span=format_length(result.span_in, metric),
            governs=say(result.governs),
        )
    ]
    for check in result.checks:
        remark = "" if check.decides else say("  (for information)")
        lines.append(
            f"  {say(check.name):<17} {demand_of_limit(check, metric)}  {check.ratio:.2f}{remark}"
        )
    if "two equal spans" in result.label:
        lines.append(
            say(
                "  the middle support carries {load} of each joist and needs {seat} of bearing; "
                "the bottom is pressed there",
                load=format_quantity(result.reaction_lb, "lb", metric),
                seat=format_quantity(result.bearing_needed_in, "in", metric),
            )
        )
    if steps:
        lines += [f"  {step_line(step, metric)}" for step in result.steps]
    return lines


def range_lines(found: SpanRange, steps: bool, metric: bool = False) -> list[str]:
    """Lowest, usual and highest, each headed by its word."""
    lines = []
    for word in WORDS:
        first, *rest = as_text(getattr(found, word), steps, metric)
        lines += [f"{say(word)}: {first}", *rest]
    return lines


@click.command("span", epilog=EPILOG, short_help="Largest span of a joist or rafter.")
@click.option("--use", type=click.Choice(USES), required=True, help="What the joist carries.")
@click.option("--size", required=True, help="Nominal size: 2x10, rough 2x8, old 2x6.")
@click.option("--species", help="Species group: DFL, HF, SP, SPF and others.")
@click.option("--grade", help="Grade: SS, No.1, No.2, No.3 and others.")
@click.option("--spacing", required=True, help="Center to center: 16in.")
@click.option("--live", required=True, help="Live load (or snow): 40psf.")
@click.option("--dead", required=True, help="Dead load, the joist's own weight included: 10psf.")
@click.option("--deflection", help="Divisor of the span under live load: 360 or L/360.")
@click.option("--duration", type=float, help="Load duration factor: 1.0, 1.15 snow, 1.25 roof.")
@click.option(
    "--spans",
    type=click.Choice(("1", "2")),
    default="1",
    help="2: the joist runs in one piece over two equal spans; each is given.",
)
@click.option("--steps", is_flag=True, help="Print every step of the arithmetic.")
@click.option("--json", "json_wanted", is_flag=True, help="Print one JSON object.")
@rules_option
@refuses_in_same_measure
def command(
    use: str,
    size: str,
    species: str | None,
    grade: str | None,
    spacing: str,
    live: str,
    dead: str,
    deflection: str | None,
    duration: float | None,
    spans: str,
    steps: bool,
    json_wanted: bool,
    rules_folder: Path | None,
) -> None:
    """Largest span of a joist or rafter under uniform load, and what governs it."""
    tables = load_tables(rules_folder or default_rules_folder())
    asked: dict[str, Any] = {
        "use": use,
        "size": size,
        "species": species,
        "grade": grade,
        "spacing_in": length_option("--spacing", spacing, "in"),
        "live_psf": load_option("--live", live, "psf", tables.accepted("live_psf")),
        "dead_psf": load_option("--dead", dead, "psf", tables.accepted("dead_psf")),
        "deflection": deflection_option("--deflection", deflection),
        "duration": duration,
        "work": worked_two_spans if spans == "2" else None,
    }
    metric = is_metric(spacing, live, dead)
    if species and grade:
        result = allowable_span(tables, **asked)
        data, lines, note = as_data(result), as_text(result, steps, metric), result.note
    else:
        found = span_range(tables, **asked)
        # The usual one stands at the top level, so that the same keys are always there.
        data = {
            **as_data(found.usual),
            "range": {word: as_data(getattr(found, word)) for word in WORDS},
        }
        lines, note = range_lines(found, steps, metric), found.note
    if json_wanted:
        click.echo(json.dumps(data, indent=2))
    else:
        click.echo("\n".join([*lines, say(note)]))
