"""An opening-up plan as plain data, lengths in inches from the wall's zero end."""

from __future__ import annotations

from typing import Any

from walltriage.inference.looks.opening_plan import OpeningPlan


def opening_data(plan: OpeningPlan) -> dict[str, Any]:
    """The plan of one wall that cannot be told."""
    return {
        "zero_end": plan.zero_end,
        "length_in": plan.length_in,
        "first": [caution.says for caution in plan.first],
        "steps": [
            {
                "id": opening.step.id,
                "title": opening.step.title,
                "where": opening.step.where,
                "at_in": list(opening.spots_in),
                "size": opening.step.size,
                "tool": opening.step.tool,
                "paths": list(opening.step.paths),
                "shows": opening.step.shows,
                "outcomes": [
                    {"sees": outcome.sees, "means": outcome.means}
                    for outcome in opening.step.outcomes
                ],
                "cannot_show": opening.step.cannot_show,
            }
            for opening in plan.openings
        ],
    }
