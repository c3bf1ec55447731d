"""What taking a wall out does to the distance between braced wall lines, from the plan alone.

The code's simple rule limits how far apart the lines of one direction may stand
(``rules/loads.yaml``, ``braced_lines``).  Whether an inside wall is such a line cannot be seen on
a plan, so what is told is only whether the rule could still be met without it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

from walltriage.case.geometry import Axis, Layout, Segment
from walltriage.structure.tables import Tables

LONG_ENOUGH = 1 / 3  # of the house along it: a shorter wall is no line of bracing for its width


@dataclass(frozen=True, slots=True)
class LineGap:
    """The widest distance in inches between lines of one direction, with walls and without.

    ``axis`` is the direction the walls run; ``limit_in`` what the rule allows.
    """

    level: str
    axis: Axis
    walls: tuple[str, ...]
    before_in: float
    after_in: float
    limit_in: float

    @property
    def broken(self) -> bool:
        """Whether the rule is met with the walls and cannot be without them."""
        return self.before_in <= self.limit_in < self.after_in

    @property
    def beyond(self) -> bool:
        """Whether the lines are too far apart with the walls out."""
        return self.after_in > self.limit_in


def bracing_gaps(
    tables: Tables, layout: Layout, walls: tuple[str, ...], *, earthquakes: bool
) -> tuple[LineGap, ...]:
    """The gap beside each of the walls that go, for every level and direction they stand in.

    Outside walls and drawn inside walls of some length count as lines.  Gaps that taking the
    walls out does not widen are left out.
    """
    rule: Mapping[str, float] = tables.loads["braced_lines"].values
    limit = 12 * rule["earthquakes" if earthquakes else "wind"]
    gone = [s for s in layout.walls if s.line.wall and s.line.wall in walls and s.whole]
    found = []
    for level, axis in sorted({(s.line.level, s.axis) for s in gone}):
        mine = [s for s in gone if (s.line.level, s.axis) == (level, axis)]
        here = [s for s in layout.walls_on(level) if s.axis == axis and s.whole]
        edges = {end for _, rect in layout.parts_on(level) for end in rect.across(axis)}
        length = max((rect.along(axis)[1] - rect.along(axis)[0]
                      for _, rect in layout.parts_on(level)), default=0.0)  # fmt: skip
        lines = edges | {_at(s) for s in here if _counts(s, length)}
        left = edges | {_at(s) for s in here if s not in mine and _counts(s, length)}
        before, after = (
            max((b - a for a, b in pairwise(sorted(ats))), default=0.0) for ats in (lines, left)
        )
        if after > before:
            names = tuple(sorted(s.line.wall for s in mine))
            found.append(LineGap(level, axis, names, before, after, limit))
    return tuple(found)


def _counts(segment: Segment, length_in: float) -> bool:
    return segment.line.kind == "wall" and (segment.length or 0.0) >= LONG_ENOUGH * length_in


def _at(segment: Segment) -> float:
    assert segment.at is not None
    return segment.at
