"""The tables as the belief uses them, with the reporter and the misread share mixed in."""

from __future__ import annotations

from collections.abc import Iterator

from walltriage.errors import Problem
from walltriage.inference.belief.extremes import effective_rows, live_clues, reliabilities
from walltriage.inference.belief.tree import Belief
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.lints.model import at, lint
from walltriage.knowledge.lints.tables import falling_minor

MINOR_SCALE = 100.0  # minors are compared in counts of 100, as in the raw tables


@lint("error", "fix the raw table: with all its minors at least 0 the mixed ones are too")
def effective_non_monotone(base: KnowledgeBase) -> Iterator[Problem]:
    """Tables that are not monotone once mixed, at any reliability in use."""
    belief = Belief(base)
    for title, tables in belief.tables.items():
        for name, table in tables.items():
            for sides in table.every_sides():
                pair = [sides.not_bearing, sides.bearing]
                if falling_minor([[MINOR_SCALE * p for p in side] for side in pair]):
                    what = f"the mixed table of '{name}' on '{title}' is not monotone"
                    yield at(base, what, name, "given")
    for path in base.paths.values():
        for condition in path.entry.conditions:
            table = belief.tables[path.id][condition.id]
            if not condition.ordered:
                continue
            for clue in live_clues(base, path.id, condition.id):
                for trust in reliabilities(base, clue.question):
                    rows = effective_rows(table, clue, trust)
                    if falling_minor([[MINOR_SCALE * cell for cell in row] for row in rows]):
                        what = f"at reliability {trust:.2f} the table of '{clue.id}' is"
                        yield at(base, f"{what} not monotone", clue.id, "shows")
                        break
