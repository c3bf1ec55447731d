"""People of the second family: place-wide and single slips, "don't know", the nearest wall."""

from __future__ import annotations

import random
from dataclasses import dataclass

from tests.second_family.houses import Wall

UNKNOWN, FAR = "unknown", "out_of_reach"
# Our own judgement: share told rightly, share not known, chance to stand at the wrong place
# (attic, below, upstairs each), coefficient of variation of what is measured, years off.
CARE = {
    "perfect": (1.0, 0.0, 0.0, 0.0, 0),
    "guided": (0.99, 0.015, 0.005, 0.02, 1),
    "careful": (0.97, 0.05, 0.02, 0.03, 2),
    "usual": (0.92, 0.15, 0.05, 0.07, 4),
    "poor": (0.78, 0.35, 0.10, 0.15, 9),
}
# How the wall's place is found from the attic: shares of marked and by landmark, else by eye.
SPOT = {
    "perfect": (1.0, 0.0), "guided": (1.0, 0.0), "careful": (0.9, 0.08), "usual": (0.6, 0.25),
    "poor": (0.1, 0.3),
}  # fmt: skip
PLACE = {
    **dict.fromkeys(("joist_run", "strut_lands", "girder", "joist_at_wall", "nailer",
                     "gap_or_clips", "roof_frame", "beam_end", "size"), "attic"),
    "support_below": "below",
    **dict.fromkeys(("wall_above", "strips"), "upstairs"),
}  # fmt: skip
FLIPS: dict[object, object] = {
    "across": "parallel", "parallel": "across", "breaks": "through", "through": "breaks",
    "beside": "through", "rafters": "trusses", "trusses": "rafters", "in_line": "none",
    "none": "in_line", "yes": "no", "no": "yes", "deep": "flat", "flat": "deep",
    "double": "single", "single": "double", True: False, False: True, "along": "across",
    "short_across": "short_along", "short_along": "short_across",
}  # fmt: skip


@dataclass
class Person:
    """One person at one wall; ``lost`` names the places where the nearest wall is told of."""

    wall: Wall
    care: str
    r: random.Random

    def __post_init__(self) -> None:
        self.right, self.unknown, wrong_place, self.spread, self.years = CARE[self.care]
        if self.care != "perfect":
            self.right = min(1.0, self.right + self.r.gauss(0, (1 - self.right) / 3))
        places = ("attic", "below", "upstairs")
        self.lost = {place for place in places if self.r.random() < wrong_place}
        share, mark = SPOT[self.care]
        if "attic" in self.lost:
            share /= 3
        draw = self.r.random()
        self.spot = "marked" if draw < share else "by_own_pipe" if draw < share + mark else "by_eye"

    def told(self, key: str) -> object:
        """One thing of the wall as this person tells it; None is "don't know"."""
        near = self.wall.near
        astray = PLACE.get(key, "rooms") in self.lost and near is not None
        value = near.see.get(key) if astray and near is not None else self.wall.see.get(key)
        if self.r.random() < self.unknown:
            return None
        return value if self.r.random() < self.right else FLIPS.get(value, value)

    def says(self, value: str, options: tuple[str, ...], shy: float = 1.0) -> str:
        """One answer whose truth is ``value``; ``shy`` times as often not known."""
        if self.r.random() < self.unknown * shy:
            return UNKNOWN
        if self.r.random() < self.right:
            return value
        return self.r.choice([option for option in options if option != value])

    def length(self, inches: float) -> float:
        """A length as measured, to the half inch."""
        return max(1.0, round(2 * inches * (1 + self.r.gauss(0, self.spread))) / 2)
