"""Whether a house was measured in metric, so that it is told in metric as well."""

from __future__ import annotations

import re

from walltriage.case.model import HOUSE, Case
from walltriage.units import METRIC


def is_metric(case: Case) -> bool:
    """Whether the house was measured in metric: its plan, or most lengths that were given."""
    if case.plan is not None and case.plan.parts:
        return case.plan.metric
    subjects = (HOUSE, *(wall.id for wall in case.walls))
    given = [
        METRIC.search(answer.given) is not None
        for subject in subjects
        for answer in (case.house if subject == HOUSE else case.wall(subject).answers).values()
        if answer.number is not None and re.search(r"[a-z'\"]", answer.given, re.IGNORECASE)
    ]
    return sum(given) * 2 > len(given)
