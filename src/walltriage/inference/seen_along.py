"""What looks along a wall cover, and where they contradict each other; inches from its zero end."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations, pairwise

from walltriage.case.looks import Found, Look, WallLooks
from walltriage.language import say
from walltriage.units import format_length

Stretch = tuple[float, float]
SAME_SPOT_IN = 6.0
"""Spots as near as the width of a hole are one spot."""
_CLEAR = ("nothing_rests", "along")


@dataclass(frozen=True, slots=True)
class Reach:
    """How closely a wall has to be seen: no gap over ``gap_in``, both ends within ``end_in``."""

    gap_in: float
    end_in: float


def stretches(looks: WallLooks, places: Collection[str], length_in: float | None) -> list[Stretch]:
    """The stretches seen from these places, merged, in order.

    "All of it" is a stretch only where both ends are described and the length is known: who
    cannot tell where a wall begins and stops has not seen that it was all of it.
    """
    found: list[Stretch] = []
    for look in looks.looks:
        if look.place not in places or look.saw is None:
            continue
        if not look.whole:
            found.append((look.from_in, look.to_in))
        elif looks.ends_described and length_in is not None:
            found.append((0.0, length_in))
    return _merged(found)


def _merged(found: Iterable[Stretch]) -> list[Stretch]:
    merged: list[Stretch] = []
    for start, end in sorted(found):
        if merged and start <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(merged[-1][1], end))
        else:
            merged.append((start, end))
    return merged


def gaps(seen: list[Stretch], length_in: float, reach: Reach) -> list[Stretch]:
    """The stretches of a wall that nobody has seen and that are too long for this reach."""
    if not seen:
        return [(0.0, length_in)]
    found = [
        (one[1], other[0]) for one, other in pairwise(seen) if other[0] - one[1] > reach.gap_in
    ]
    if seen[0][0] > reach.end_in:
        found.insert(0, (0.0, seen[0][0]))
    if length_in - seen[-1][1] > reach.end_in:
        found.append((seen[-1][1], length_in))
    return found


def covers(seen: list[Stretch], length_in: float | None, reach: Reach) -> bool:
    """Whether what was seen is enough to speak for the whole wall."""
    return length_in is not None and bool(seen) and not gaps(seen, length_in, reach)


def finds(looks: WallLooks, places: Collection[str]) -> list[tuple[Look, Found]]:
    """What was found from these places, from the zero end on."""
    found = [(look, item) for look in looks.looks if look.place in places for item in look.found]
    return sorted(found, key=lambda pair: pair[1].at_in)


def seen_words(seen: list[Stretch], length_in: float | None) -> str:
    """For instance: ``seen from 0 in to 9 ft of 14 ft``."""
    if not seen:
        return say("not seen")
    parts = [
        say("at {start}", start=format_length(start))
        if start == end
        else say("from {start} to {end}", start=format_length(start), end=format_length(end))
        for start, end in seen
    ]
    of = "" if length_in is None else say(" of {length_in}", length_in=format_length(length_in))
    return say("seen {parts}{of}", parts=", ".join(parts), of=of)


def clashes(
    looks: WallLooks, length_in: float | None, tops: Collection[str], differ_in: float
) -> Iterator[str]:
    """Looks that cannot all be true, in words.

    ``tops`` are the places from which the framing on the wall shows; lengths of the wall that
    differ by more than ``differ_in`` inches were not measured between the same two ends.
    """
    lengths = [
        length
        for length in (looks.length_in, length_in, *(look.length_in for look in looks.looks))
        if length is not None
    ]
    if lengths and max(lengths) - min(lengths) > differ_in:
        least, most = format_length(min(lengths)), format_length(max(lengths))
        yield say("the wall was measured {least} long and {most} long", least=least, most=most)
    for look in looks.looks:
        if length_in is not None and look.to_in > length_in + differ_in:
            yield say(
                "a look reaches {to_in} along a wall of ", to_in=format_length(look.to_in)
            ) + format_length(length_in)
    shown = [look for look in looks.looks if look.place in tops]
    for one, other in combinations(shown, 2):
        yield from _clash(one, other)


def _clash(one: Look, other: Look) -> Iterator[str]:
    where = say("{one} and {other}", one=_where(one), other=_where(other))
    if one.place == other.place == "hole":
        if abs(one.from_in - other.from_in) >= SAME_SPOT_IN:
            return
        if (one.saw, _kinds(one)) != (other.saw, _kinds(other)):
            yield say(
                "the hole at {from_in} was recorded twice, differently",
                from_in=format_length(one.from_in),
            )
        return
    overlap = one.whole or other.whole or (
        one.from_in <= other.to_in and other.from_in <= one.to_in
    )  # fmt: skip
    if not overlap:
        return
    if one.saw and other.saw and one.saw != other.saw and not {one.saw, other.saw} <= {*_CLEAR}:
        yield say("{where} show different framing on one stretch", where=where)
    for look, against in ((one, other), (other, one)):
        for item in look.found:
            inside = against.whole or against.from_in <= item.at_in <= against.to_in
            both = any(abs(f.at_in - item.at_in) <= SAME_SPOT_IN for f in against.found)
            # a hole shows the framing and little else; a lap on the wall it would show
            if inside and not both and against.saw and item.what == "joist_end_or_lap":
                spot = format_length(item.at_in)
                yield say(
                    "{where}: only one of them found something at {spot}", where=where, spot=spot
                )


def _kinds(look: Look) -> frozenset[str]:
    return frozenset(item.what for item in look.found)


def _where(look: Look) -> str:
    if look.place == "hole":
        return say("the hole at {from_in}", from_in=format_length(look.from_in))
    return say("the look from {from_}", from_=say(_FROM[look.place]))


_FROM = {"attic": "the attic", "below": "below", "upstairs": "upstairs", "strip": "the strip"}
