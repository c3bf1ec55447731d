"""``walltriage beam --header``: headers asked as the code's tables ask."""

from __future__ import annotations

import json

from walltriage.commands.quantities import is_metric, length_option, load_option
from walltriage.errors import refuse
from walltriage.language import say, say_count
from walltriage.structure.header_tables import CASES, header_spans
from walltriage.structure.tables import Tables
from walltriage.units import format_length, format_quantity


def header_lines(
    tables: Tables, case: str, house_width: str | None, ground_snow: str, json_wanted: bool
) -> str:
    """The spans of every header for one case of the code's tables."""
    if house_width is None:
        expected = 'expected the width of the house, such as "28 ft"'
        raise refuse("--house-width", "is missing", expected)
    width = length_option("--house-width", house_width, "ft")
    snow = load_option("--ground-snow", ground_snow, "psf", tables.accepted("ground_snow_psf"))
    found = header_spans(tables, case, width, snow)
    metric = is_metric(house_width, ground_snow)
    if json_wanted:
        rows = [
            {
                "header": row.label,
                "span_in": round(row.span_in, 1),
                "studs": row.studs,
                "full_height_studs": row.full_height,
            }
            for row in found
        ]
        data = {"case": case, "house_width_in": width, "ground_snow_psf": snow, "headers": rows}
        return json.dumps(data | {"note": found[0].note}, indent=2)
    wide = format_length(width, metric)
    title = say("Headers in an {wall}, house {wide} wide", wall=CASES[case], wide=wide)
    snow_words = format_quantity(snow, "psf", metric)
    lines = [
        say(
            "{title}, ground snow {snow}; weakest of four species, No.2:",
            title=title,
            snow=snow_words,
        )
    ]
    for row in found:
        if row.span_in:
            studs = say_count(
                "{count} stud under each end", "{count} studs under each end", row.studs
            )
            tall = (
                say(", {full_height} full-height beside it", full_height=row.full_height)
                if row.full_height
                else ""
            )
            lines.append(
                f"  {row.label:<7} {format_length(row.span_in, metric):>10}  {studs}{tall}"
            )
    if any(row.full_height for row in found):
        lines.append(
            say(
                "Full-height studs: IRC R602.7.5 of 2018, studs 16 in apart, from memory; later "
                "editions count by wind: read the local code."
            )
        )
    return "\n".join([*lines, say(found[0].note)])
