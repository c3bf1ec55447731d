"""The widest opening that one member carries."""

from __future__ import annotations

import math

from walltriage.structure.loads import LoadSet
from walltriage.structure.members import check_opening
from walltriage.structure.stock import Member
from walltriage.structure.tables import Tables


def largest_opening(
    tables: Tables, member: Member, loads: LoadSet, *, own_weight: bool = True,
    clear_span: bool = False, unbraced: bool = False,
) -> float:  # fmt: skip
    """The widest opening in inches that ``member`` carries under line loads, to 0.01 in.

    0 when it does not even carry the smallest accepted opening.
    """
    low, high = tables.accepted("opening_in")
    places = 1
    while (high - low) / places > 0.01:
        places *= 2

    def opening(place: int) -> float:
        return low + place * (high - low) / places

    def utilisation(place: int) -> float:
        return check_opening(
            tables, member, opening(place), loads,
            own_weight=own_weight, clear_span=clear_span, unbraced=unbraced,
        ).utilisation  # fmt: skip

    works, fails = (0, utilisation(0)), (places, math.nan)
    if works[1] > 1:
        return 0.0
    slow = 0
    while (width := fails[0] - works[0]) > 1:
        if slow == 2 or works[1] <= 0:
            place = works[0] + width // 2
        else:  # it grows about as a power of the opening: of its square, for want of a second place
            wide, power = opening(works[0]), 2.0
            if fails[1] > 1:
                power = math.log(fails[1] / works[1]) / math.log(opening(fails[0]) / wide)
            guess = int((wide * works[1] ** (-1 / power) - low) * places / (high - low))
            place = min(max(guess, works[0] + 1), fails[0] - 1)
        tried = place, utilisation(place)
        works, fails = (tried, fails) if tried[1] <= 1 else (works, tried)
        slow = slow % 2 + 1 if 2 * (fails[0] - works[0]) > width else 0
    return opening(works[0])
