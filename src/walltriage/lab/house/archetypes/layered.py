"""Roofs over roofs: what shows on top does not carry what lies under it."""

from __future__ import annotations

import numpy as np

from walltriage.lab.house.archetypes.common import archetype, rooms_on_line
from walltriage.lab.house.draft import Draft


@archetype
def trusses_over_old_roof(rng: np.random.Generator) -> Draft:
    """New trusses were set over an old house; its ceiling joists still lap on the middle line.

    Half of the old rafters stayed, and where they were propped the props still stand.
    """
    d = Draft(rng, "trusses_over_old_roof", (1910, 1962), (32, 48), (22, 30))
    d.outline(0, d.main)
    at = d.middle()
    line = rooms_on_line(d, 0, d.main, at)
    d.joists(0, d.main, "y", [(at, "end")], "solid_boards", "attic")
    d.roof(0, d.main, "trusses", "x")
    if d.chance(0.5):
        d.house.facts["old_roof_inside"] = "yes"
        if d.chance(0.5):
            d.struts(0, d.main, [w.line.at for w in line])
    d.base_floor(d.main, at)
    return d
