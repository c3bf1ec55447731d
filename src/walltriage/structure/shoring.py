"""What the temporary lines on both sides of a bearing wall have to hold while it is out.

A temporary line stands some feet away from the wall, so the joist between it and the wall hangs
over it.  By moments about the joist's far support, w pounds a foot over a span L with the line at
a from the wall give a reaction of w L (L / 2) / (L - a): more than the half that the wall had.
"""

from __future__ import annotations

from dataclasses import dataclass

from walltriage.errors import refuse
from walltriage.structure.inputs import within
from walltriage.structure.steps import NOTE, CalcStep, Range
from walltriage.structure.tables import Tables


@dataclass(frozen=True, slots=True)
class Shoring:
    """Pounds a foot on the temporary line of each side, lowest to highest.

    ``away_in`` is how far from the wall both stand.
    """

    one_side_plf: Range
    other_side_plf: Range
    away_in: float
    steps: tuple[CalcStep, ...]
    note: str = NOTE


def shoring(tables: Tables, wall_plf: Range, one_side_in: float, other_side_in: float) -> Shoring:
    """Loads on two temporary lines in place of a wall that carries ``wall_plf``.

    Each side takes its share by span, or half where that is more (what stands on the wall from
    above comes down between the lines), times the lever of the joist that hangs over.  Raises
    :class:`InputError` for a span no longer than the distance of the line.
    """
    away = tables.choices["shoring"]["away_in"]
    spans = [
        within(tables, "span_in", span, name=f"span on {side}", zero=False)
        for side, span in (("one side", one_side_in), ("the other side", other_side_in))
    ]
    loads, steps = [], []
    for side, span in zip(("one side", "other side"), spans, strict=True):
        if span <= away:
            expected = f"expected more than {away:g} in, where a temporary line stands"
            raise refuse(f"span on {side}", f"{span:g} in leaves no room to shore", expected)
        share = max(span / sum(spans), 0.5)
        factor = share * span / (span - away)
        loads.append(Range(*(factor * w for w in (wall_plf.low, wall_plf.usual, wall_plf.high))))
        steps.append(
            CalcStep(f"w_{side.replace(' ', '_')}", "w x share x L / (L - a)",
                     f"{wall_plf.high:.0f} x {share:.3f} x {span:g} / ({span:g} - {away:g})",
                     loads[-1].high, "plf", "statics")
        )  # fmt: skip
    return Shoring(loads[0], loads[1], away, tuple(steps))
