"""What cannot be right on a plan, told to the person who drew it."""

from __future__ import annotations

from collections.abc import Iterable

from walltriage.case.model import Wall
from walltriage.case.plan import Plan
from walltriage.case.plan_check import plan_problems


def plan_troubles(plan: Plan, walls: Iterable[Wall]) -> list[str]:
    """Every trouble as a sentence with how to mend it; walls by what the person calls them."""
    named, told = list(walls), []
    for _, what, expected in plan_problems(plan):
        for wall in named:
            what = what.replace(f"'{wall.id}'", f"'{wall.title}'")
        told.append(f"{what[:1].upper()}{what[1:]}; {expected}.")
    return told
