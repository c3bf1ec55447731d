"""``walltriage beam``: what could carry the load over an opening."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import click

from walltriage.commands.beam_headers import header_lines
from walltriage.commands.beam_lines import as_lines
from walltriage.commands.beam_supports import on_supports
from walltriage.commands.common import rules_option
from walltriage.commands.quantities import (
    check_data,
    deflection_option,
    is_metric,
    length_option,
    load_option,
    point_option,
    refuses_in_same_measure,
    step_data,
)
from walltriage.errors import refuse
from walltriage.language import say
from walltriage.report.beam_words import kings_line
from walltriage.rules_folder import default_rules_folder
from walltriage.structure.header_tables import CASES
from walltriage.structure.king_studs import KingStuds
from walltriage.structure.load_path import load_path_to_ground
from walltriage.structure.loads import LoadSet
from walltriage.structure.members import MemberResult, choose_members, end_supports
from walltriage.structure.stock import KINDS
from walltriage.structure.strips import PointLoad
from walltriage.structure.supports import EndSupport
from walltriage.structure.tables import Tables, load_tables

EPILOG = """\b
Example:
  walltriage beam --opening "10 ft" --dead 140plf --live 280plf \\
      --point "1200 lb @ 4 ft"
  walltriage beam --spans "12 ft, 10 ft" --overhang "right 2 ft" --dead 140plf --live 280plf
  walltriage beam --header roof --house-width "28 ft" --ground-snow 30psf
A point load counts as live load, unless it says otherwise: "900 lb snow @ 3 ft"."""
KIND_WORDS = {"dead": "dead", "live": "live", "snow": "snow", "roof-live": "roof_live"}


def _support(end: EndSupport, metric: bool) -> dict[str, Any]:
    return {
        "reaction_lb": round(end.reaction_lb, 1),
        "combination": end.combination,
        "stud": end.stud,
        "studs": end.studs or None,
        "full_height_studs": None if end.kings is None else _kings(end.kings, metric),
        "posts": [post.label for post in end.posts],
        "footing_sqft": round(end.footing_sqft, 2),
        "footing_side_in": round(end.footing_side_in, 1),
        "soil_psf": end.soil_psf,
        "findings": list(end.findings),
        "steps": [step_data(step) for step in end.steps],
    }


def _kings(kings: KingStuds, metric: bool) -> dict[str, Any]:
    return {
        "count": kings.count or None,
        "stud": kings.stud,
        "ratio": round(kings.ratio, 3),
        "in_outside_walls": kings.outside,
        "told": kings_line(kings, metric),
    }


def _member(
    tables: Tables, result: MemberResult, height: float | None, soil: str, metric: bool
) -> dict[str, Any]:
    ends = end_supports(tables, result, height_in=height, soil=soil)
    return {
        "member": result.member.label,
        "kind": result.member.kind,
        "plies": result.member.plies,
        "depth_in": result.member.section.depth_in,
        "width_in": result.member.section.width_in,
        "span_in": round(result.span_in, 3),
        "works": result.works,
        "utilisation": round(result.utilisation, 4),
        "governs": result.governs,
        "combination": result.combination,
        "checks": [check_data(check, "combination", "decides") for check in result.checks],
        "steps": [step_data(step) for step in result.steps],
        "ends": {
            word: _support(end, metric) for word, end in zip(("left", "right"), ends, strict=True)
        },
        "note": result.note,
    }


def _points(tables: Tables, values: tuple[str, ...]) -> tuple[PointLoad, ...]:
    points = []
    for index, value in enumerate(values, start=1):
        load, mark, place = value.partition("@")
        words = load.split()
        kind = KIND_WORDS.get(words[-1].lower(), "") if words else ""
        if kind:
            load = load.rstrip()[: -len(words[-1])]
        pounds, at = point_option(
            "--point", f"{load}{mark}{place}", tables.accepted("point_load_lb")
        )
        points.append(PointLoad(f"--point {index}", at, LoadSet(**{kind or "live": pounds})))
    return tuple(points)


@click.command("beam", epilog=EPILOG, short_help="Beams that could carry an opening.")
@click.option("--opening", help='Clear width of the opening: "10 ft".')
@click.option(
    "--header",
    type=click.Choice(tuple(CASES)),
    help="Instead of an opening and loads: spans of headers by house width and snow.",
)
@click.option(
    "--spans",
    help='Instead of an opening: spans in a row, center to center of supports: "12 ft, 10 ft".',
)
@click.option("--overhang", multiple=True, help='With --spans: free end, "left 2 ft".')
@click.option("--house-width", help='Width of the house across its joists: "28 ft".')
@click.option("--ground-snow", default="0", help="Ground snow load: 30psf.")
@click.option("--dead", default="0", help="Dead load per foot: 140plf.")
@click.option("--live", default="0", help="Floor or attic live load per foot: 280plf.")
@click.option("--snow", default="0", help="Snow per foot.")
@click.option("--roof-live", default="0", help="Roof live load per foot.")
@click.option("--point", multiple=True, help='Point load: "1200 lb @ 4 ft"; may be repeated.')
@click.option("--kind", type=click.Choice(KINDS), multiple=True, help="Only this kind of beam.")
@click.option("--species", help="Species of the sawn beams.")
@click.option("--grade", help="Grade of the sawn beams.")
@click.option("--deflection", help="Divisor of the span under live load: 360 or L/360.")
@click.option("--unbraced", is_flag=True, help="The top edge is not braced between the ends.")
@click.option("--flush", is_flag=True, help="The beam is flush in the floor or ceiling.")
@click.option("--height", help="Height of the studs at the ends.")
@click.option("--soil", default="untested", help="Soil: untested, sand, gravel and others.")
@click.option("--all", "everything", is_flag=True, help="List every beam that works.")
@click.option("--steps", is_flag=True, help="Print every step of the arithmetic.")
@click.option("--json", "json_wanted", is_flag=True, help="Print one JSON object.")
@rules_option
@refuses_in_same_measure
def command(
    opening: str | None,
    header: str | None,
    spans: str | None,
    overhang: tuple[str, ...],
    house_width: str | None,
    ground_snow: str,
    dead: str,
    live: str,
    snow: str,
    roof_live: str,
    point: tuple[str, ...],
    kind: tuple[str, ...],
    species: str | None,
    grade: str | None,
    deflection: str | None,
    unbraced: bool,
    flush: bool,
    height: str | None,
    soil: str,
    everything: bool,
    steps: bool,
    json_wanted: bool,
    rules_folder: Path | None,
) -> None:
    """Beams that carry a load over an opening, and what supports their ends."""
    tables = load_tables(rules_folder or default_rules_folder())
    if header is not None:
        click.echo(header_lines(tables, header, house_width, ground_snow, json_wanted))
        return
    if opening is None and spans is None:
        expected = 'expected the clear width, such as --opening "10 ft", or --spans or --header'
        raise refuse("--opening", "is missing", expected)
    loads = LoadSet(
        *(
            load_option(option, value, "plf", tables.accepted("line_load_plf"))
            for option, value in (
                ("--dead", dead), ("--live", live), ("--roof-live", roof_live), ("--snow", snow)
            )
        )
    )  # fmt: skip
    metric = is_metric(opening, spans, *overhang, dead, live, snow, roof_live, *point, height)
    tall = None if height is None else length_option("--height", height, "ft")
    if spans is not None:
        click.echo(
            on_supports(
                tables, spans, overhang, loads, _points(tables, point), height_in=tall, soil=soil,
                kinds=kind or KINDS, species=species, grade=grade,
                live_divisor=deflection_option("--deflection", deflection),
                everything=everything, steps=steps, json_wanted=json_wanted, metric=metric,
            )
        )  # fmt: skip
        return
    assert opening is not None
    choice = choose_members(
        tables,
        length_option("--opening", opening, "ft"),
        loads,
        _points(tables, point),
        kinds=kind or KINDS,
        species=species,
        grade=grade,
        live_divisor=deflection_option("--deflection", deflection),
        unbraced=unbraced,
        flush=flush,
        metric=metric,
    )
    listed = choice.results if everything or json_wanted else choice.results[:12]
    if choice.nearest is not None:
        listed = (choice.nearest,)
    shown = [_member(tables, result, tall, soil, metric) for result in listed]
    ends = {} if not shown else {
        word: end["reaction_lb"] for word, end in shown[0]["ends"].items()
    }  # fmt: skip
    # No stage below the beam has been seen from here: the command says so every time.
    below = load_path_to_ground(ends, {}, levels_below=0, metric=metric)
    if json_wanted:
        data = {
            "sentence": choice.sentence,
            "works": choice.nearest is None,
            "members": [] if choice.nearest else shown,
            "nearest": shown[0] if choice.nearest else None,
            "notes": list(choice.notes),
            "way_down": list(below.findings),
            "note": choice.note,
        }
        click.echo(json.dumps(data, indent=2))
        return
    hidden = len(choice) - len(listed) if len(choice) else 0
    lines = as_lines(choice, shown, hidden, steps, metric)
    click.echo("\n".join([*lines, *below.findings, say(choice.note)]))
