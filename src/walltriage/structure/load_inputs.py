"""Loads on a beam as they are given: each in its range and on the beam, and some at all."""

from __future__ import annotations

from walltriage.errors import refuse
from walltriage.structure.inputs import within
from walltriage.structure.loads import LoadSet
from walltriage.structure.strips import PointLoad
from walltriage.structure.tables import Tables


def check_loads(
    tables: Tables, length_in: float, loads: LoadSet, points: tuple[PointLoad, ...], of: str
) -> None:
    """Refuse loads out of range, off the ``length_in`` of what they stand on, or none at all.

    Raises :class:`InputError`, naming the load, the range and what it stands on (``of``).
    """
    total = 0.0
    for kind, value in loads.kinds():
        total += within(tables, "line_load_plf", value, name=f"{kind.replace('_', ' ')} load")
    for point in points:
        for kind, value in point.lb.kinds():
            named = f"{point.name}: {kind.replace('_', ' ')} load"
            total += within(tables, "point_load_lb", value, name=named)
        if not 0 <= point.at_in <= length_in:
            text = f"stands at {point.at_in:g} in, off the {of}"
            raise refuse(point.name, text, f"expected 0 to {length_in:g} in from its left end")
    if total <= 0:
        raise refuse("loads", "there is none", "expected a line load or a point load above 0")
