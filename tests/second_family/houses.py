"""Houses with their walls, and what each wall truly carries, from framing and spans; feet."""

from __future__ import annotations

import math
import random
from dataclasses import dataclass, field
from itertools import pairwise

from tests.second_family.spans import allowed_ft, size_for

ERAS = (1905, 1925, 1948, 1958, 1968, 1978, 1988, 1998, 2008)
STACKED_FT = 0.8
POST_ON_HALF = 0.15  # our judgment: low walls on which a post holds up a beam
NEEDED_OVER = 1.35  # of the allowed span: then framing leans on a partition under it
LIGHT, FLOOR = (20, 10, 240), (40, 12, 360)  # live and dead psf, span over deflection


@dataclass
class Wall:
    """One wall; ``along_ridge`` walls stand ``at`` feet from the front, others from the left."""

    name: str
    level: int  # 1 is the ground
    along_ridge: bool
    at: float
    length: float
    kind: str  # support, partition, outside, former_outside, half, later, knee
    paths: set[str] = field(default_factory=set)
    braced: bool = False
    see: dict[str, object] = field(default_factory=dict)  # what is truly there to be seen
    near: Wall | None = field(default=None, repr=False)  # the nearest that runs the same way

    @property
    def bears(self) -> bool:
        return bool(self.paths)


@dataclass
class House:
    """A rectangle with one field of joists over each level."""

    era: int
    storeys: int
    depth: float
    width: float
    roof: str  # struts, stick, truss, vault, flat
    base: str  # slab, crawl, basement
    over: float  # how far beyond the tables its builder went
    finished_attic: bool = False
    gussets: bool = False  # trusses nailed up on the site, plywood at their joints
    joists_across_depth: dict[int, bool] = field(default_factory=dict)
    sizes: dict[int, str] = field(default_factory=dict)  # "-" where there are no joists
    supports: dict[int, list[float]] = field(default_factory=dict)
    walls: list[Wall] = field(default_factory=list)

    def run(self, level: int) -> float:
        """Feet that the joists over a level have to cross."""
        return self.depth if self.joists_across_depth[level] else self.width

    def loads(self, level: int) -> tuple[int, int, int]:
        return LIGHT if level == self.storeys and not self.finished_attic else FLOOR

    def on(self, level: int, *kinds: str) -> list[Wall]:
        return [w for w in self.walls if w.level == level and (not kinds or w.kind in kinds)]


def draw(seed: int) -> House:
    """One house, always the same for a seed."""
    r = random.Random(seed)
    era = r.choice(ERAS)
    storeys = r.choices([1, 2], [0.6, 0.4])[0]
    depth, width = r.uniform(22, 34), r.uniform(30, 60)
    if era < 1960:
        shares = [45, 43, 6, 6, 8 if era >= 1948 else 0]
        roof = r.choices(["struts", "stick", "vault", "flat", "truss"], shares)[0]
    else:
        shares = [55 if era < 1985 else 75, 15, 15, 10, 5]
        roof = r.choices(["truss", "struts", "stick", "vault", "flat"], shares)[0]
    base = r.choices(["slab", "crawl", "basement"], [30, 25, 45])[0]
    over = r.choice([1.0, 1.0, 1.1, 1.25]) if era < 1960 else r.choice([1.0, 1.05])
    h = House(era, storeys, depth, width, roof, base, over)
    h.finished_attic = roof in ("struts", "stick") and storeys == 1 and r.random() < 0.15
    h.gussets = roof == "truss" and (era < 1960 or (era < 1970 and r.random() < 0.3))
    for level in range(1, storeys + 1):
        _frame(h, level, r)
    for level in range(1, storeys + 1):
        _walls(h, level, r)
    _roof_loads(h, r)
    if h.finished_attic:
        _knee_walls(h, r)
    if storeys == 2:
        _loads_from_above(h, r)
    for w in h.walls:
        if w.kind in ("half", "later"):
            w.paths.clear()
            for key in ("strut", "girder_truss", "ridge_post", "knee_wall", "stair_header"):
                w.see.pop(key, None)
            if w.kind == "half" and r.random() < POST_ON_HALF:
                w.paths.add("point_load")
                w.see["post"] = True
        w.braced = w.kind == "partition" and w.length >= 8 and r.random() < 0.03
    for w in h.walls:
        _observe(h, w, r)
        alike = [o for o in h.on(w.level) if o is not w and o.along_ridge == w.along_ridge]
        w.near = min(alike, key=lambda o: abs(o.at - w.at), default=None)
    return h


def _frame(h: House, level: int, r: random.Random) -> None:
    """Joists over a level and the lines that hold them; none under trusses and vaults."""
    top = level == h.storeys
    h.joists_across_depth[level] = r.random() < 0.9
    if top and h.roof in ("truss", "vault"):
        h.sizes[level], h.supports[level] = "-", []
        return
    run = h.run(level)
    bays = max(1, math.ceil(run / (19 if top else 15.5)))
    if bays == 1 and r.random() < 0.3:
        bays = 2
    slack = 2.5 if bays > 1 else 0.0
    h.supports[level] = [run * k / bays + r.uniform(-slack, slack) for k in range(1, bays)]
    longest = max(b - a for a, b in pairwise([0.0, *h.supports[level], run]))
    h.sizes[level] = size_for(longest, *h.loads(level), h.over)


def _walls(h: House, level: int, r: random.Random) -> None:
    across, run = h.joists_across_depth[level], h.run(level)
    line = h.width if across else h.depth
    for number, at in enumerate(h.supports[level]):
        if r.random() < 0.15:  # a beam over posts, with one end in some wall
            end = Wall(f"L{level}end{number}", level, not across, r.uniform(4, line - 4),
                       r.uniform(8, 14), "partition", {"point_load"})  # fmt: skip
            end.see["beam_end"] = True
            h.walls.append(end)
        else:
            length = r.uniform(10, 0.9 * line)
            h.walls.append(Wall(f"L{level}support{number}", level, across, at, length, "support",
                                {"framing_above"}))  # fmt: skip
    for number in range(r.randint(2, 4)):
        parallel = r.random() < 0.55
        along = across != parallel
        reach = h.depth if along else h.width
        length = r.choice([3, 5, 8, 10, 12, 16])
        w = Wall(
            f"L{level}part{number}", level, along, r.uniform(4, reach - 4), length, "partition"
        )
        if not parallel and h.sizes[level] != "-":
            held = [0.0, *h.supports[level], run]
            clear = min(v for v in held if v >= w.at) - max(v for v in held if v <= w.at)
            if clear > NEEDED_OVER * allowed_ft(h.sizes[level], *h.loads(level)):
                w.paths.add("framing_above")
        chance = r.random()
        if chance < 0.07:
            w.kind = "half"
            w.paths.discard("framing_above")
        elif chance < 0.17 and not w.paths:
            w.kind = "later"
        h.walls.append(w)
    if r.random() < 0.3:
        h.walls.append(
            Wall(f"L{level}outside", level, True, 0.0, h.width, "outside", {"perimeter"})
        )
    if level == 1 and r.random() < 0.18:
        h.walls.append(Wall("L1former", 1, True, h.depth, r.uniform(10, 20), "former_outside",
                            {"perimeter"}))  # fmt: skip


def _roof_loads(h: House, r: random.Random) -> None:
    for w in h.on(h.storeys, "support", "partition", "later"):
        middle = w.along_ridge and 0.22 * h.depth < w.at < 0.78 * h.depth
        if h.roof == "struts":
            cross = not w.along_ridge and r.random() < 0.05
            share = 0.75 if w.kind == "support" else 0.18 if middle else 0.0
            if w.kind != "later" and (r.random() < share or (w.kind == "partition" and cross)):
                w.paths.add("roof_struts")
                w.see["strut"] = True
        near_middle = w.along_ridge and 0.4 * h.depth < w.at < 0.6 * h.depth
        if h.gussets and near_middle and w.kind == "partition" and r.random() < 0.45:
            w.paths.add("roof_struts")
            w.see["truss_joint"] = True
        if h.roof == "truss" and w.length >= 8 and r.random() < 0.03:
            w.paths.add("roof_struts")
            w.see["girder_truss"] = True
        if h.roof == "vault" and not w.along_ridge and r.random() < 0.25:
            w.paths.add("point_load")
            w.see["ridge_post"] = True
        knees = (0.25 * h.depth, 0.75 * h.depth)
        if h.finished_attic and w.along_ridge and any(abs(w.at - k) <= STACKED_FT for k in knees):
            w.paths.add("wall_above")
            w.see["knee_wall"] = True


def _knee_walls(h: House, r: random.Random) -> None:
    """The low walls of a finished attic, asked about from within it: some hold up rafters."""
    level = h.storeys + 1
    h.joists_across_depth[level], h.sizes[level], h.supports[level] = True, "-", []
    carries = r.random() < 0.7
    for number, share in enumerate((0.25, 0.75)):
        length = r.uniform(8, 0.9 * h.width)
        h.walls.append(Wall(f"L{level}knee{number}", level, True, share * h.depth, length, "knee",
                            {"roof_struts"} if carries else set()))  # fmt: skip


def _loads_from_above(h: House, r: random.Random) -> None:
    for upper in h.on(2, "support", "partition"):
        for low in h.on(1, "support", "partition"):
            stacked = low.along_ridge == upper.along_ridge and abs(upper.at - low.at) <= STACKED_FT
            if upper.bears and stacked:
                low.paths.add("wall_above")
    for w in h.on(1, "partition"):
        if r.random() < 0.05:
            w.paths.add("point_load")
            w.see["stair_header"] = True


def _observe(h: House, w: Wall, r: random.Random) -> None:
    """What is truly there to be seen at a wall."""
    top = w.level >= h.storeys
    crossing = w.along_ridge == h.joists_across_depth[w.level]
    bare = h.sizes[w.level] == "-"
    over = w.along_ridge if bare else crossing
    s = w.see
    rooms = not top or (h.finished_attic and w.kind != "knee")
    bare_roof = h.roof in ("vault", "flat") or w.kind == "knee"
    s["above_is"] = "rooms" if rooms else "no_attic" if bare_roof else "attic"
    s["spot"] = r.random()  # where along the wall its one load stands, a share of the length
    if w.kind == "support" and r.random() < 0.15:  # joists lap on a part of it alone
        first = r.uniform(0, 0.6)
        s["ends_over"] = (first, first + r.uniform(0.2, 0.4))
    s["roof_frame"] = {"struts": "rafters", "stick": "rafters", "truss": "trusses",
                       "vault": "ridge_beam", "flat": "flat_joists"}[h.roof]  # fmt: skip
    s["joist_run"] = "across" if over else "parallel"
    broken = "breaks" if w.kind == "support" else "through"
    s["joist_at_wall"] = "none" if bare else broken if crossing else "beside"
    s["strut_lands"], s["girder"] = bool(s.get("strut")), bool(s.get("girder_truss"))
    s["beam_end"] = any(s.get(k) for k in ("beam_end", "ridge_post", "stair_header"))
    stacked = "wall_above" in w.paths or (not top and r.random() < 0.12)
    s["wall_above"] = "in_line" if stacked else "none"
    s["nailer"] = not crossing and w.kind == "partition" and not bare and r.random() < 0.6
    s["gap_or_clips"] = h.roof == "truss" and top and not w.bears and r.random() < 0.55
    if w.kind == "knee":
        s["gap_or_clips"] = not w.bears
    s["finish_runs_over"] = w.kind == "later" and r.random() < 0.8
    double = w.bears or (h.era > 1945 and r.random() < 0.75)
    s["top_plates"] = "double" if double else "single"
    s["header"] = "deep" if r.random() < (0.85 if w.bears else 0.3) else "flat"
    held = (w.bears and r.random() < 0.8) or r.random() < 0.12
    s["support_below"] = "yes" if held else "no"
    s["room_proportion"] = "short_across" if crossing == (r.random() < 0.72) else "short_along"
    s["strips"] = "along" if crossing == (r.random() < 0.85) else "across"
    s["hump"] = (w.bears and r.random() < 0.3) or r.random() < 0.06
    s["size"] = h.sizes[w.level]
