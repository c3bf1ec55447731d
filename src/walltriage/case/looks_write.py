"""The looks along a wall as plain data, in the form that a case file has them."""

from __future__ import annotations

from typing import Any

from walltriage.case.looks import Look, WallLooks


def looks_data(looks: WallLooks) -> dict[str, Any]:
    """What ``looks:`` of a wall holds; reading it gives the same looks again."""
    data: dict[str, Any] = {"zero_end": looks.zero_end}
    if looks.other_end:
        data["other_end"] = looks.other_end
    if looks.length_in is not None:
        data["length"] = _length(looks.length_in)
    if looks.marked:
        data["marked"] = [
            {"from": m.from_wall, "below": _length(m.below_in), "above": _length(m.above_in)}
            for m in looks.marked
        ]
    data["seen"] = [_look(look) for look in looks.looks]
    return data


def _look(look: Look) -> dict[str, Any]:
    data: dict[str, Any] = {"place": look.place}
    if look.place == "hole":
        data["at"] = _length(look.from_in)
    elif look.whole:
        data["whole"] = True
    else:
        data |= {"from": _length(look.from_in), "to": _length(look.to_in)}
    if look.saw is not None:
        data["saw"] = look.saw
    if look.found:
        data["found"] = [{"what": f.what, "at": _length(f.at_in)} for f in look.found]
    if look.length_in is not None:
        data["length"] = _length(look.length_in)
    if look.sure != "certain":
        data["sure"] = look.sure
    return data | {key: getattr(look, key) for key in ("by", "seen_on") if getattr(look, key)}


def _length(inches: float) -> str:
    """Feet where they come out even, else inches as they are."""
    return f"{inches / 12:g} ft" if inches % 12 == 0 else f"{inches!r} in"
