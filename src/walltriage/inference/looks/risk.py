"""What deciding now would cost, and how much doubt is left, at given chances of bearing."""

from __future__ import annotations

import numpy as np

from walltriage.inference.columns.codes import Floats
from walltriage.knowledge.schema_guards import Costs

TEMPERATURE = 0.15  # of the cost of "cannot tell": how soft the minimum is


def risk(costs: Costs, chance: Floats) -> Floats:
    """The soft minimum of the three costs of deciding at these chances of bearing."""
    scale = TEMPERATURE * costs.cannot_tell
    missed, false = costs.missed_bearing * chance, costs.false_bearing * (1 - chance)
    least = np.minimum(np.minimum(missed, false), costs.cannot_tell)
    spread = np.exp((least - missed) / scale) + np.exp((least - false) / scale)
    spread += np.exp((least - costs.cannot_tell) / scale)
    found: Floats = least - scale * np.log(spread)
    return found


def entropy(chance: Floats) -> Floats:
    """Bits of doubt about a yes-or-no of these chances; 0 where there is none."""
    inside = np.clip(chance, 1e-300, 1 - 1e-16)
    found: Floats = -inside * np.log2(inside) - (1 - inside) * np.log2(1 - inside)
    return found
