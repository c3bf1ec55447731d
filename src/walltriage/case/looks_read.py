"""Read the ``looks:`` of a wall, every mistake with its place."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from itertools import combinations
from typing import Any, cast

from walltriage.case.looks import (
    PLACES,
    SAW,
    THINGS,
    Found,
    Look,
    Mark,
    Place,
    Saw,
    Thing,
    WallLooks,
)
from walltriage.case.model import CHECKED, SURENESS, Sureness
from walltriage.errors import QuantityError, did_you_mean
from walltriage.units import format_length, parse_length
from walltriage.yamltree import KeyPath

Wrong = Callable[[KeyPath, str, str], None]
_KEYS = ("zero_end", "other_end", "length", "marked", "seen")
_LOOK_KEYS = (
    "place", "from", "to", "at", "whole", "saw", "found", "length", "sure", "by", "seen_on",
)  # fmt: skip
_MARK_KEYS = ("from", "below", "above")
_FOUND_KEYS = ("what", "at")
LONGEST_IN = 1200.0  # 100 ft
MOST_LOOKS = 200


def read_looks(data: Any, where: KeyPath, units: str, wrong: Wrong) -> WallLooks | None:
    """The looks of one wall; None when they cannot be read, and the mistakes are told."""
    return _Reader(units, wrong).looks(data, where)


class _Reader:
    def __init__(self, units: str, wrong: Wrong) -> None:
        self.units, self.wrong = units, wrong
        self.bad = False

    def tell(self, where: KeyPath, what: str, expected: str) -> None:
        self.bad = True
        self.wrong(where, what, expected)

    def looks(self, data: Any, where: KeyPath) -> WallLooks | None:
        if not isinstance(data, dict):
            self.tell(where, "'looks' is not a set of keys", f"expected {', '.join(_KEYS)}")
            return None
        self.keys(data, where, _KEYS)
        zero_end = self.text(data, where, "zero_end")
        if not zero_end:
            expected = "say in words from which end you measure, for instance 'the window end'"
            self.tell((*where, "zero_end"), "the zero end has no name", expected)
        length = self.length(data, where, "length")
        seen = [
            look
            for index, raw in self.listed(data, where, "seen")
            if (look := self.look(raw, (*where, "seen", index), length)) is not None
        ]
        found = WallLooks(
            zero_end=zero_end,
            other_end=self.text(data, where, "other_end"),
            length_in=length,
            marked=tuple(self.marks(data, where)),
            looks=tuple(seen),
        )
        if not self.bad:
            self.overlaps(found, where)
        return None if self.bad else found

    def look(self, raw: Any, where: KeyPath, wall_in: float | None) -> Look | None:
        if not isinstance(raw, dict):
            self.tell(where, "a look is not a set of keys", "expected 'place:' and 'from:', 'to:'")
            return None
        self.keys(raw, where, _LOOK_KEYS)
        if raw.get("place") not in PLACES:
            self.one_of(raw, where, "place", PLACES)
            return None
        place = raw["place"]
        stretch = self.stretch(raw, where, place, wall_in)
        saw = self.one_of(raw, where, "saw", SAW) if "saw" in raw else None
        if raw.get("sure") == CHECKED:
            raw = raw | {"sure": SURENESS[0]}
        sure = self.one_of(raw, where, "sure", SURENESS) if "sure" in raw else SURENESS[0]
        found = tuple(self.things(raw, where, stretch))
        if saw is None and not raw.get("found") and place not in ("below", "upstairs"):
            expected = f"expected 'saw:' with one of {', '.join(SAW)}, or 'found:'"
            self.tell(where, "the look does not say what was seen", expected)
        if self.bad or stretch is None:
            return None
        return Look(
            cast(Place, place), *stretch, raw.get("whole") is True, cast(Saw | None, saw), found,
            self.length(raw, where, "length"), cast(Sureness, sure),
            self.text(raw, where, "by"), self.text(raw, where, "seen_on"),
        )  # fmt: skip

    def stretch(
        self, raw: Mapping[str, Any], where: KeyPath, place: str, wall_in: float | None
    ) -> tuple[float, float] | None:
        """Both ends of what was seen, within the wall where its length is known."""
        if "at" in raw or place == "hole":
            if place != "hole" or {"from", "to", "whole"} & raw.keys() or "at" not in raw:
                expected = "a hole has 'at:'; every other look 'from:' and 'to:', or 'whole: true'"
                self.tell(where, "the look's place along the wall is unclear", expected)
                return None
            at = self.length(raw, where, "at")
            return None if at is None else self.within(where, "at", at, at, wall_in)
        if "whole" in raw:
            if raw["whole"] is not True or {"from", "to"} & raw.keys():
                expected = "expected 'whole: true' alone, or 'from:' and 'to:'"
                self.tell((*where, "whole"), "'whole' is unclear", expected)
                return None
            return (0.0, wall_in or 0.0)
        start, end = self.length(raw, where, "from"), self.length(raw, where, "to")
        if start is None or end is None:
            if {"from", "to"} <= raw.keys():  # told already
                return None
            expected = "expected 'from:' and 'to:', measured from the zero end, or 'whole: true'"
            self.tell(where, "the look has no stretch", expected)
            return None
        if start >= end:
            what = f"the stretch begins at {format_length(start)}, not before its end"
            self.tell((*where, "from"), what, f"expected less than 'to' ({format_length(end)})")
            return None
        return self.within(where, "to", start, end, wall_in)

    def within(
        self, where: KeyPath, key: str, start: float, end: float, wall_in: float | None
    ) -> tuple[float, float] | None:
        if wall_in is not None and end > wall_in:
            what = f"{format_length(end)} is outside the wall"
            expected = f"it is {format_length(wall_in)} long, measured from its zero end"
            self.tell((*where, key), what, expected)
            return None
        return (start, end)

    def things(
        self, raw: Mapping[str, Any], where: KeyPath, stretch: tuple[float, float] | None
    ) -> Iterator[Found]:
        for index, thing in self.listed(raw, where, "found"):
            here = (*where, "found", index)
            if not isinstance(thing, dict):
                self.tell(here, "a find is not a set of keys", "expected 'what:' and 'at:'")
                continue
            self.keys(thing, here, _FOUND_KEYS)
            what = self.one_of(thing, here, "what", THINGS)
            at = self.length(thing, here, "at")
            if at is None and raw.get("place") == "hole" and stretch is not None:
                at = stretch[0]
            if at is None:
                self.tell(here, "the find has no place", "expected 'at:', from the zero end")
            elif (
                stretch is not None
                and raw.get("place") != "hole"
                and raw.get("whole") is not True
                and not stretch[0] <= at <= stretch[1]
            ):
                expected = "a find lies between 'from' and 'to' of its look"
                self.tell((*here, "at"), f"{format_length(at)} is outside the stretch", expected)
            else:
                yield Found(cast(Thing, what), at)

    def marks(self, data: Mapping[str, Any], where: KeyPath) -> Iterator[Mark]:
        for index, raw in self.listed(data, where, "marked"):
            here = (*where, "marked", index)
            if not isinstance(raw, dict):
                self.tell(here, "a mark is not a set of keys", f"expected {', '.join(_MARK_KEYS)}")
                continue
            self.keys(raw, here, _MARK_KEYS)
            below, above = self.length(raw, here, "below"), self.length(raw, here, "above")
            name = self.text(raw, here, "from")
            if below is None or above is None or not name:
                expected = "expected 'from:' (an outside wall), and 'below:' and 'above:', measured"
                self.tell(here, "the mark is not complete", expected)
            else:
                yield Mark(name, below, above)

    def overlaps(self, found: WallLooks, where: KeyPath) -> None:
        """Two stretches seen from one place cannot show different framing where they overlap."""
        stretches = [(i, look) for i, look in enumerate(found.looks) if look.place != "hole"]
        for (_, one), (index, other) in combinations(stretches, 2):
            apart = one.to_in <= other.from_in or other.to_in <= one.from_in
            apart = apart and not (one.whole or other.whole)
            if one.place != other.place or apart or None in (one.saw, other.saw):
                continue
            if one.saw != other.saw:
                what = f"the same stretch is '{one.saw}' and '{other.saw}', seen from one place"
                expected = "keep what is right, or cut the stretches so that they do not overlap"
                self.tell((*where, "seen", index), what, expected)

    def keys(self, data: Mapping[str, Any], where: KeyPath, known: tuple[str, ...]) -> None:
        for key in data:
            if key not in known:
                near = did_you_mean(str(key), known)
                expected = "expected " + ", ".join(known)
                self.tell((*where, key), f"unknown key '{key}'{near}", expected)

    def one_of(
        self, data: Mapping[str, Any], where: KeyPath, key: str, known: tuple[str, ...]
    ) -> str:
        value = data.get(key)
        if not isinstance(value, str) or value not in known:
            what = f"no '{key}'" if value is None else f"'{value}' is not allowed for '{key}'"
            self.tell((*where, key), what, "expected one of " + ", ".join(known))
            return known[0]
        return value

    def text(self, data: Mapping[str, Any], where: KeyPath, key: str) -> str:
        value = data.get(key, "")
        if isinstance(value, dict | list) or value is None:
            self.tell((*where, key), f"'{key}' is not text", "expected some words")
            return ""
        return str(value)

    def length(self, data: Mapping[str, Any], where: KeyPath, key: str) -> float | None:
        if key not in data:
            return None
        try:
            inches = parse_length(data[key], self.units)
        except QuantityError as error:
            self.tell((*where, key), str(error), "from 0 to 100 ft")
            return None
        if inches > LONGEST_IN:
            self.tell((*where, key), f"'{data[key]}' is out of range", "expected 0 to 100 ft")
            return None
        return inches

    def listed(self, data: Mapping[str, Any], where: KeyPath, key: str) -> list[tuple[int, Any]]:
        value = data.get(key, [])
        if not isinstance(value, list):
            self.tell((*where, key), f"'{key}' is not a list", "expected '- ...' for each")
            return []
        if len(value) > MOST_LOOKS:
            self.tell((*where, key), f"{len(value)} entries", f"expected {MOST_LOOKS} at most")
            return []
        return list(enumerate(value))
