"""One wall of the second family before one person: what is told, and what else is there."""

from __future__ import annotations

import random

from tests.second_family.houses import House, Wall
from tests.second_family.people import FAR, UNKNOWN, Person

Told = str | float
# Our own judgment: shares of those who can follow the whole top in the attic (else half of it,
# anywhere), holes that people make of themselves, and how far one shows.
TOP_SEEN_WHOLE = {"guided": 0.95}
HOLES = {"careful": 2, "usual": 1, "poor": 1}
HOLE_SHOWS_FT = 2.0


def _share(value: object) -> float:
    assert isinstance(value, float)
    return value


def _laps(wall: Wall) -> tuple[float, float]:
    """Between which shares of its length joists end on a wall, where they do at all."""
    over = wall.see.get("ends_over", (0.0, 1.0))
    assert isinstance(over, tuple)
    return over


class Look:
    """Shared by the places: the person, the wall's surroundings, and the answers so far.

    ``chance`` settles what the geometry leaves open, alike for every person.
    """

    def __init__(self, h: House, w: Wall, seed: int, care: str) -> None:
        self.h, self.w = h, w
        self.p = Person(w, care, random.Random(f"{seed}/{w.name}/{care}"))
        self._open = random.Random(f"{seed}/{w.name}/there")
        self.a: dict[str, Told] = {}
        self.top = w.level >= h.storeys
        self.attic = w.see["above_is"] == "attic"
        self.rooms_over = w.see["above_is"] == "rooms"
        self.half = w.kind == "half"
        self.extent = h.depth if w.along_ridge else h.width
        self.line = h.width if w.along_ridge else h.depth
        self.crosses = w.see["joist_run"] == "across"
        self.beams_about = any(x.see.get("beam_end") for x in h.on(w.level) if x is not w)
        ends = bool(w.see["beam_end"]) and not w.see.get("stair_header")
        kinds = ("attic", "flush", "dropped") if self.attic else ("flush", "dropped")
        self.beam = kinds[int(self.chance() * len(kinds))] if ends else ""
        whole = self.chance() < TOP_SEEN_WHOLE.get(care, 0.7)
        first = 0.5 * self.chance()
        self.view = (0.0, 1.0) if whole else (first, first + 0.5)  # of the top, in the attic
        count = HOLES.get(care)
        made = [self.chance() for _ in range(2)]
        self.holes = None if count is None else made[:count]  # None: ends and every 4 ft
        self.pack = (self.chance() < 0.7 and "point_load" in w.paths) or self.chance() < 0.04

    def in_view(self) -> bool:
        """Whether the wall's one load stands on the stretch that is seen in the attic."""
        return self.view[0] <= _share(self._before().see["spot"]) <= self.view[1]

    def laps_in_view(self) -> bool:
        """Whether joist ends show on that stretch, where the joists end at the wall at all."""
        first, last = _laps(self._before())
        return self.view[0] < last and first < self.view[1]

    def through_holes(self) -> bool:
        """Whether a hole lies within two feet of the wall's one load."""
        return self._shown(_share(self.w.see["spot"]), _share(self.w.see["spot"]))

    def laps_through_holes(self) -> bool:
        """Whether a hole lies within two feet of a joist end on the wall."""
        return self._shown(*_laps(self.w))

    def _before(self) -> Wall:
        """The wall that this person has before them in the attic."""
        near = self.w.near
        return near if near is not None and "attic" in self.p.lost else self.w

    def _shown(self, first: float, last: float) -> bool:
        if self.holes is None:
            return True
        reach = HOLE_SHOWS_FT / self.w.length
        return any(first - reach <= at <= last + reach for at in self.holes)

    def chance(self) -> float:
        return self._open.random()

    def put(self, question: str, key: str, words: dict[object, str]) -> None:
        """The answer to a question from one observation, in the question's words."""
        value = self.p.told(key)
        self.a[question] = UNKNOWN if value is None else words.get(value, UNKNOWN)

    def says(self, question: str, value: str, *options: str, shy: float = 1.0) -> None:
        """The answer to a question whose truth is ``value``, the first of its ``options``."""
        self.a[question] = self.p.says(value, options, shy)

    def same(self, value: Told, *questions: str) -> None:
        """The same answer to several questions that everybody gets right."""
        self.a.update(dict.fromkeys(questions, value))

    def distances(self) -> tuple[float, float]:
        """Feet to the next full-height wall that runs the same way, on each side."""
        w = self.w
        lines = [0.0, self.extent] + [
            x.at for x in self.h.on(w.level)
            if x is not w and x.along_ridge == w.along_ridge and x.kind != "half"
            and (x.length + w.length) / self.line > 0.5
        ]  # fmt: skip
        left = max((v for v in lines if v < w.at - 0.5), default=0.0)
        right = min((v for v in lines if v > w.at + 0.5), default=self.extent)
        return max(1.0, w.at - left), max(1.0, right - w.at)

    def held(self) -> tuple[float, float]:
        """Feet to where the joists that cross the wall are truly held, on each side."""
        w, run = self.w, self.extent
        lines = [0.0, *self.h.supports[w.level], run]
        left = max((v for v in lines if v < w.at - 0.5), default=0.0)
        right = min((v for v in lines if v > w.at + 0.5), default=run)
        return max(1.0, w.at - left), max(1.0, right - w.at)


__all__ = ["FAR", "UNKNOWN", "Look", "Told"]
