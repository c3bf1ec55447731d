"""Read the ``plan:`` of a case file, every mistake with its place."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from walltriage.case.plan import KINDS, SEEN_FROM, SIDES, Area, Length, Line, Part, Plan, Post, Side
from walltriage.case.plan_check import plan_problems
from walltriage.errors import QuantityError, did_you_mean
from walltriage.units import LENGTH_HELP, format_length, parse_length
from walltriage.yamltree import KeyPath

Wrong = Callable[[KeyPath, str, str], None]
MOST_ITEMS = 200  # of each kind; a house has fewer
MOST_TOLERANCE_IN = 60.0
_PLAN_KEYS = (
    "tolerance", "levels", "whole", "parts", "ridges", "walls", "beams", "posts", "stairs",
    "joists",
)  # fmt: skip
_PART_KEYS = ("id", "side", "of", "start", "width", "depth", "levels", "year")
BEAM_SIZE = r"[1-6]-2x(6|8|10|12)"
POST_SIZE = r"4x4|4x6|4x8|6x6|[2-5]-2x[46]"
POST_HEIGHT_IN, FOOTING_IN = (12.0, 240.0), (6.0, 96.0)
_LINE_KEYS = ("wall", "name", "kind", "level", "part", "along", "off", "from", "to", "openings")
_RIDGE_KEYS = ("part", "along", "off", "from", "to")
_POST_KEYS = ("level", "part", "left", "front", "size", "height", "footing")
_STAIRS_KEYS = ("level", "part", "left", "front")
_JOISTS_KEYS = (*_STAIRS_KEYS, "run", "seen_from")


def read_plan(data: Any, wall_ids: set[str], units: str, wrong: Wrong) -> Plan | None:
    """The plan in ``data``; ``wrong`` is told every mistake, and then None comes back."""
    reader = _PlanReader(wall_ids, units, wrong)
    plan = reader.plan(data)
    if reader.clean:
        for where, what, expected in plan_problems(plan):
            reader.wrong(where, what, expected)
    return plan if reader.clean else None


class _PlanReader:
    def __init__(self, wall_ids: set[str], units: str, wrong: Wrong) -> None:
        self.wall_ids, self.units, self._wrong = wall_ids, units, wrong
        self.clean = True
        self.levels: tuple[str, ...] = ()
        self.parts: dict[str, Part] = {}

    def wrong(self, where: KeyPath, what: str, expected: str) -> None:
        self.clean = False
        self._wrong(("plan", *where), what, expected)

    def plan(self, data: Any) -> Plan:
        if not isinstance(data, dict):
            self.wrong((), "'plan' is not a plan", "expected 'levels:', 'parts:' and 'walls:'")
            return Plan()
        self.known_keys(data, (), _PLAN_KEYS)
        tolerance = self.length(data, ("tolerance",)) or Plan().tolerance
        if not 0 < tolerance.inches <= MOST_TOLERANCE_IN:
            self.wrong(("tolerance",), f"a tolerance of {tolerance.given}", "expected up to 5 ft")
        self.levels = self.names(data, ("levels",))
        if not self.levels:
            self.wrong(("levels",), "no levels", "expected their names from the lowest up")
        whole = self.levels_of(data, ("whole",), ())
        for index, raw in self.items(data, "parts", _PART_KEYS):
            part = self.part(raw, ("parts", index))
            if part is not None:
                self.parts[part.id] = part
        if not self.parts:
            self.wrong(("parts",), "no parts", "expected '- id: main' with its width and depth")
        ridges = [
            self.line(raw, ("ridges", i), "ridge")
            for i, raw in self.items(data, "ridges", _RIDGE_KEYS)
        ]
        walls = [
            self.line(raw, ("walls", i), "wall") for i, raw in self.items(data, "walls", _LINE_KEYS)
        ]
        beams = [
            self.line(raw, ("beams", i), "beam")
            for i, raw in self.items(data, "beams", ("name", "level", "size", *_RIDGE_KEYS))
        ]
        posts = [self.post(raw, ("posts", i)) for i, raw in self.items(data, "posts", _POST_KEYS)]
        stairs = [
            self.area(raw, ("stairs", i)) for i, raw in self.items(data, "stairs", _STAIRS_KEYS)
        ]
        joists = [
            self.area(raw, ("joists", i), joists=True)
            for i, raw in self.items(data, "joists", _JOISTS_KEYS)
        ]
        return Plan(
            tolerance, self.levels, whole, tuple(self.parts.values()), tuple(ridges), tuple(walls),
            tuple(beams), tuple(post for post in posts if post), tuple(stairs), tuple(joists),
        )  # fmt: skip

    def part(self, raw: dict[str, Any], where: KeyPath) -> Part | None:
        name = self.word(raw, (*where, "id"))
        if not name or name in self.parts:
            what = f"duplicate part '{name}'" if name else "a part without an id"
            self.wrong((*where, "id"), what, "expected a name of its own for each part")
            return None
        side: Side | None = None
        of = self.word(raw, (*where, "of"))
        if self.parts:
            side = self.one_of(raw, (*where, "side"), SIDES)
            of = of or next(iter(self.parts))
            if of not in self.parts:
                known = ", ".join(self.parts)
                self.wrong((*where, "of"), f"'{of}' is no part given before", f"expected {known}")
                return None
        elif "side" in raw or "of" in raw:
            self.wrong(where, "the first part stands against no other", "leave 'side' and 'of' out")
        year = raw.get("year")
        if year is not None and (not isinstance(year, int) or not 1600 <= year <= 2100):
            self.wrong((*where, "year"), f"'{year}' is not a year", "expected 1600 to 2100")
            year = None
        return Part(
            name,
            self.length(raw, (*where, "width")),
            self.length(raw, (*where, "depth")),
            self.levels_of(raw, (*where, "levels"), self.levels),
            side,
            of,
            self.length(raw, (*where, "start")),
            year,
        )

    def line(self, raw: dict[str, Any], where: KeyPath, kind: str) -> Line:
        wall = self.word(raw, (*where, "wall"))
        if wall and wall not in self.wall_ids:
            known = ", ".join(sorted(self.wall_ids)) or "none"
            near = did_you_mean(wall, self.wall_ids)
            self.wrong((*where, "wall"), f"no wall '{wall}' in this case{near}", f"known: {known}")
        if kind == "wall":
            kind = self.one_of(raw, (*where, "kind"), KINDS) if "kind" in raw else "wall"
        return Line(
            self.one_of(raw, (*where, "along"), SIDES),
            self.length(raw, (*where, "off")),
            self.length(raw, (*where, "from")),
            self.length(raw, (*where, "to")),
            "" if kind == "ridge" else self.one_of(raw, (*where, "level"), self.levels),
            self.part_of(raw, where),
            wall,
            self.word(raw, (*where, "name")),
            kind,
            self.openings(raw, where),
            self.size_of(
                raw, (*where, "size"), BEAM_SIZE, "a beam", "expected plies and size: 3-2x10"
            ),
        )

    def size_of(
        self, raw: dict[str, Any], where: KeyPath, sizes: str, of: str, expected: str
    ) -> str:
        """The size of a sawn beam or post, where somebody measured it."""
        size = self.word(raw, where)
        if size and re.fullmatch(sizes, size) is None:
            self.wrong(where, f"'{size}' is no size of {of}", expected)
            return ""
        return size

    def sensible(
        self, raw: dict[str, Any], where: KeyPath, of: str, ends: tuple[float, float]
    ) -> Length | None:
        """A length that lies between ``ends`` in inches, where one is given."""
        length = self.length(raw, where)
        if length is not None and not ends[0] <= length.inches <= ends[1]:
            told = " to ".join(format_length(end, length.metric) for end in ends)
            self.wrong(where, f"{of} of {length.given}", f"expected {told}")
            return None
        return length

    def openings(self, raw: dict[str, Any], where: KeyPath) -> tuple[tuple[Length, Length], ...]:
        given = raw.get("openings", [])
        if not isinstance(given, list):
            self.wrong((*where, "openings"), "'openings' is not a list", "expected [[2 ft, 5 ft]]")
            return ()
        found = [
            self.ends(dict(enumerate(given)), (*where, "openings", i)) for i in range(len(given))
        ]
        return tuple(ends for ends in found if ends is not None)

    def post(self, raw: dict[str, Any], where: KeyPath) -> Post | None:
        left, front = (self.length(raw, (*where, key)) for key in ("left", "front"))
        if left is None or front is None:
            expected = "expected how far from the left and from the front"
            self.wrong(where, "a post without a place", expected)
            return None
        expected = "expected 4x4, 4x6, 6x6 or plies such as 3-2x6; a steel post is left without"
        return Post(
            self.one_of(raw, (*where, "level"), self.levels),
            left,
            front,
            self.part_of(raw, where),
            self.size_of(raw, (*where, "size"), POST_SIZE, "a wood post", expected),
            self.sensible(raw, (*where, "height"), "a post", POST_HEIGHT_IN),
            self.sensible(raw, (*where, "footing"), "a footing", FOOTING_IN),
        )

    def area(self, raw: dict[str, Any], where: KeyPath, joists: bool = False) -> Area:
        return Area(
            self.one_of(raw, (*where, "level"), self.levels),
            self.part_of(raw, where),
            self.ends(raw, (*where, "left")),
            self.ends(raw, (*where, "front")),
            self.one_of(raw, (*where, "run"), SIDES) if joists else None,
            self.one_of(raw, (*where, "seen_from"), SEEN_FROM) if joists else "",
        )

    def ends(self, raw: Mapping[Any, Any], where: KeyPath) -> tuple[Length, Length] | None:
        key = where[-1]
        if key not in raw:
            return None
        given = raw[key]
        if not isinstance(given, list) or len(given) != 2:
            self.wrong(where, f"'{given}' is not a stretch", "expected [2 ft, 12 ft]")
            return None
        first, last = (self.length({i: given[i]}, (*where, i)) for i in (0, 1))
        return None if first is None or last is None else (first, last)

    def items(self, data: dict[str, Any], key: str, known: tuple[str, ...]) -> Any:
        """(index, entry) for each entry of a list that is a mapping with known keys."""
        given = data.get(key, [])
        if not isinstance(given, list) or len(given) > MOST_ITEMS:
            self.wrong((key,), f"'{key}' is not a list of up to {MOST_ITEMS}", "expected '- ...'")
            return
        for index, raw in enumerate(given):
            if isinstance(raw, dict):
                self.known_keys(raw, (key, index), known)
                yield index, raw
            else:
                self.wrong((key, index), f"'{raw}' is not an entry", "expected " + ", ".join(known))

    def known_keys(self, data: Mapping[str, Any], where: KeyPath, known: tuple[str, ...]) -> None:
        for key in data:
            if key not in known:
                near = did_you_mean(str(key), known)
                self.wrong((*where, key), f"unknown key '{key}'{near}", ", ".join(known))

    def length(self, data: Mapping[Any, Any], where: KeyPath) -> Length | None:
        value = data.get(where[-1])
        if value is None or value in ("unknown", "out_of_reach"):
            return None
        try:
            inches = parse_length(value, self.units)
        except QuantityError:
            self.wrong(where, f"'{value}' is not a length", f"expected {LENGTH_HELP}")
            return None
        return Length(inches, value if isinstance(value, str) else f"{value:g} {self.units}")

    def word(self, data: Mapping[Any, Any], where: KeyPath) -> str:
        value = data.get(where[-1], "")
        if isinstance(value, dict | list) or value is None:
            self.wrong(where, f"'{where[-1]}' is not a name", "expected a word")
            return ""
        return str(value)

    def one_of(self, data: Mapping[Any, Any], where: KeyPath, known: tuple[str, ...]) -> Any:
        key = where[-1]
        value = data.get(key)
        if value not in known:
            what = f"'{value}' is not allowed for '{key}'" if key in data else f"no '{key}'"
            near = did_you_mean(str(value), known) if key in data else ""
            self.wrong(where, what + near, "expected " + ", ".join(known))
            return known[0] if known else ""
        return value

    def names(self, data: Mapping[Any, Any], where: KeyPath) -> tuple[str, ...]:
        given = data.get(where[-1], [])
        if not isinstance(given, list) or not all(isinstance(n, str) and n for n in given):
            self.wrong(
                where, f"'{where[-1]}' is not a list of names", "expected [ground, upstairs]"
            )
            return ()
        if len(set(given)) != len(given):
            self.wrong(where, "duplicate level", "expected each name once")
        return tuple(dict.fromkeys(given))

    def levels_of(
        self, data: Mapping[str, Any], where: KeyPath, default: tuple[str, ...]
    ) -> tuple[str, ...]:
        if where[-1] not in data:
            return default
        given = self.names(data, where)
        for name in given:
            if name not in self.levels:
                near = did_you_mean(name, self.levels)
                self.wrong(where, f"'{name}' is not a level{near}", ", ".join(self.levels))
        return tuple(level for level in self.levels if level in given)

    def part_of(self, data: Mapping[str, Any], where: KeyPath) -> str:
        name = self.word(data, (*where, "part"))
        if name and name not in self.parts:
            near = did_you_mean(name, self.parts)
            self.wrong((*where, "part"), f"no part '{name}'{near}", ", ".join(self.parts))
            return ""
        return name
