"""Every line's load in a drawn house, between the least and the most that what is unknown allows.

Four things are commonly not known: which of the walls carry that nobody could judge, whether the
roof rests on inside lines, whether joists run through, and how heavy everything is.  The loads are
followed once for every way of settling the first three, at the low and the high end of the
fourth.  For a wall nobody could judge it is also asked what it would carry were it the only one
of these that does: its neighbors then help least.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import product

from walltriage.case.geometry import Layout
from walltriage.structure.frame import Followed, Support
from walltriage.structure.house_frame import FramedHouse, build_house
from walltriage.structure.loads import LoadSet, governing_total
from walltriage.structure.settled import HEAVY, Settled, Site
from walltriage.structure.shapes import LOAD_KINDS
from walltriage.structure.strips import PointLoad
from walltriage.structure.tables import Tables
from walltriage.structure.takedown import Swing
from walltriage.structure.wall_load import WallLoad, load_of

JOISTS_THROUGH, ROOF_INSIDE, OTHER_WALLS, LOADS = (
    "joists_through", "roof_inside", "other_walls", "loads",
)  # fmt: skip
Bears = Mapping[str, bool | None]


@dataclass(frozen=True, slots=True)
class HouseLoads:
    """The heavy house at usual loads, followed to the ground, and every line's load by its id."""

    house: FramedHouse
    followed: Followed
    by_line: Mapping[str, WallLoad]

    def of_wall(self, wall: str) -> WallLoad | None:
        """A wall's load; None for a wall that is not drawn with its place and both ends."""
        line = self.house.line_of.get(wall)
        return None if line is None else self.by_line.get(line)

    def ground(self) -> LoadSet:
        """All that comes down to the ground, in pounds."""
        total = LoadSet()
        for one in self.followed.ground:
            total += one.load
        return total


def house_loads(tables: Tables, site: Site, layout: Layout, bears: Bears) -> HouseLoads:
    """Follow the loads of a drawn house through every way of settling what is not known.

    ``bears`` says of each wall of the case whether it is likely to bear; None for cannot tell.
    Raises :class:`InputError` for sizes beyond what the arithmetic accepts.
    """

    def follow(settled: Settled, given: Bears = bears) -> Followed:
        return build_house(tables, site, layout, given, settled).frame.follow()

    ways = [
        Settled(all_carry, inside, through)
        for all_carry, inside, through in product((False, True), repeat=3)
        if not (inside and site.roof_trusses)
    ]
    low = {way: follow(replace(way, end="low")) for way in ways}
    high = {way: follow(replace(way, end="high")) for way in ways}
    usual = {carry: follow(Settled(carry, roof_inside=False)) for carry in (False, True)}
    house = build_house(tables, site, layout, bears, HEAVY)
    heavy_end = build_house(tables, site, layout, bears, replace(HEAVY, end="high"))
    heaviest = {line.id: line.plf.dead for line in heavy_end.frame.supports}
    loads = {}
    for line in house.frame.supports:
        wall = next((w for w, name in house.line_of.items() if name == line.id), None)
        open_wall = wall is not None and bears.get(wall) is None
        if wall is not None and open_wall:
            alone = {**bears, wall: True}
            inside = not site.roof_trusses
            ends = [follow(Settled(False, inside, through, "high"), alone)
                    for through in (False, True)]  # fmt: skip
        else:
            ends = []
        loads[line.id] = _line_load(
            tables, line, low, high, ends, usual[open_wall], heaviest[line.id]
        )
    return HouseLoads(house, house.frame.follow(), loads)


def _line_load(
    tables: Tables,
    line: Support,
    low: Mapping[Settled, Followed],
    high: Mapping[Settled, Followed],
    alone: list[Followed],
    usual: Followed,
    own_plf: float,
) -> WallLoad:
    name = line.id

    def governing(followed: Followed) -> float:
        return governing_total(tables, followed.worst_plf(name))[0]

    every = [*high.values(), *alone]
    least = min((one.worst_plf(name) for one in low.values()),
                key=lambda load: governing_total(tables, load)[0])  # fmt: skip
    most = LoadSet(
        *(max(getattr(one.worst_plf(name), kind) for one in every) for kind in LOAD_KINDS)
    )
    spots = max((tuple(_spots(one, line)) for one in every),
                key=lambda found: sum(governing_total(tables, p.lb)[0] for p in found))  # fmt: skip
    by_way = {way: governing(one) for way, one in high.items()}
    worst = max(by_way, key=lambda way: by_way[way])
    swings = [Swing(LOADS, governing(low[worst]), by_way[worst])]
    for title, other in (
        (JOISTS_THROUGH, replace(worst, through=not worst.through)),
        (ROOF_INSIDE, replace(worst, roof_inside=not worst.roof_inside)),
        (OTHER_WALLS, replace(worst, all_carry=not worst.all_carry)),
    ):
        if other in by_way:
            ends = [by_way[other], by_way[worst]]
            if title == OTHER_WALLS:
                ends += [governing(one) for one in alone]
            swings.append(Swing(title, min(ends), max(ends)))
    return load_of(
        tables, least, usual.worst_plf(name), most, spots=spots, own_plf=own_plf,
        swings=tuple(swings), from_house=True,
    )  # fmt: skip


def _spots(followed: Followed, line: Support) -> Iterator[PointLoad]:
    """Loads at single places of a line, those on one spot added up."""
    found: dict[float, LoadSet] = {}
    for piece in followed.spots(line.id):
        if piece.load != LoadSet():
            at = round(piece.lo - line.lo, 3)
            found[at] = found.get(at, LoadSet()) + piece.load
    for number, (at, load) in enumerate(sorted(found.items()), 1):
        yield PointLoad(f"load {number}", at, load)
