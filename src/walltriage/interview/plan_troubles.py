"""What cannot be right on a plan, told to the person who drew it."""

from __future__ import annotations

from collections.abc import Iterable

from walltriage.case.model import Wall
from walltriage.case.plan import Plan
from walltriage.case.plan_check import plan_problems
from walltriage.interview.plan_things import called
from walltriage.report.plan_words import plain
from walltriage.report.words import capitalized


def plan_troubles(plan: Plan, walls: Iterable[Wall]) -> list[str]:
    """Every trouble as a sentence with how to mend it; walls by what the person calls them."""
    words = {wall.id: f"'{wall.title}'" for wall in walls}
    words |= {part.id: f"'{called(part)}'" for part in plan.parts}
    words |= {level: f"'{plain(level)}'" for level in plan.levels}
    told = []
    for _, what, expected in plan_problems(plan):
        for name, said in words.items():
            what = what.replace(f"'{name}'", said)
            expected = expected.replace(f"'{name}'", said)
        told.append(f"{capitalized(what)}; {expected}.")
    return told
