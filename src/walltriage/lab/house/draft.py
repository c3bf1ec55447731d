"""A house on the drawing board: outlines, bearing lines with their gaps, partitions, roofs."""

from __future__ import annotations

import numpy as np

from walltriage.lab.house.framing import Held, choose_joist, longest_span, pieces
from walltriage.lab.house.model import (
    Axis,
    Beam,
    Cover,
    Field,
    House,
    KneeWall,
    Line,
    Material,
    Point,
    PointKind,
    Rect,
    Role,
    RoofPart,
    StairHole,
    Wall,
    other,
)
from walltriage.lab.parameters import era_of, parameters

SMALL_GAP_FT = 3.0  # a doorway: its header is part of the wall


class Draft:
    """Builds one :class:`House`; every archetype is a short list of calls on it."""

    def __init__(
        self,
        rng: np.random.Generator,
        archetype: str,
        years: tuple[int, int],
        length: tuple[float, float],
        width: tuple[float, float],
        storeys: int = 1,
        base: str | None = None,
        level_kind: str | None = None,
        basement_rooms: bool = False,
    ) -> None:
        self.rng = rng
        year = int(rng.integers(years[0], years[1] + 1))
        along, across = self.feet(*length), self.feet(*width)
        bases = ["slab", "crawl_space", "basement"]
        chosen = base or bases[rng.choice(3, p=[0.25, 0.35, 0.4])]
        rect = Rect(0.0, along, 0.0, across)
        levels = {level: [rect] for level in range(storeys)}
        if basement_rooms:
            levels[-1] = [rect]
        kind = level_kind or ("one", "two", "three_or_more")[storeys - 1]
        self.house = House(archetype, year, along, across, levels, kind, chosen)  # type: ignore[arg-type]
        self.main = rect

    # small draws

    def feet(self, low: float, high: float) -> float:
        """A length in feet, to the half inch; ``low`` where the range is empty."""
        return round(float(self.rng.uniform(low, max(low, high))) * 24) / 24

    def chance(self, share: float) -> bool:
        return bool(self.rng.random() < share)

    @property
    def era(self) -> str:
        return era_of(self.house.year)

    def middle(self) -> float:
        """Where the bearing line down the middle of the house stands."""
        jitter = parameters()["framing"]["centre_jitter_ft"]
        return self.main.y1 / 2 + self.feet(-jitter, jitter)

    # walls

    def wall(
        self, level: int, axis: Axis, at: float, start: float, stop: float, **more: object
    ) -> Wall:
        """Put up one wall."""
        name = f"w{len(self.house.walls) + 1}"
        wall = Wall(name, level, Line(axis, at, start, stop), **more)  # type: ignore[arg-type]
        self.house.walls.append(wall)
        return wall

    def outline(
        self,
        level: int,
        rect: Rect,
        roles: dict[str, Role] | None = None,
        ask: tuple[str, ...] = (),
    ) -> dict[str, Wall]:
        """The four outer walls of a rectangle: keys s, n (along x), w, e (along y).

        ``roles`` says which are something else than outside; ``ask`` which may be asked about.
        """
        sides: dict[str, tuple[Axis, float, float, float]] = {
            "s": ("x", rect.y0, rect.x0, rect.x1),
            "n": ("x", rect.y1, rect.x0, rect.x1),
            "w": ("y", rect.x0, rect.y0, rect.y1),
            "e": ("y", rect.x1, rect.y0, rect.y1),
        }
        return {
            side: self.wall(
                level, *line, role=(roles or {}).get(side, "outside"), meant=True,
                askable=side in ask,
            )
            for side, line in sides.items()
        }  # fmt: skip

    def bearing_line(
        self,
        level: int,
        axis: Axis,
        at: float,
        start: float,
        stop: float,
        gaps: int = 0,
        beam: str = "dropped",
        role: Role = "inside",
    ) -> list[Wall]:
        """A line meant to bear: walls, and beams over ``gaps`` openings too wide for headers."""
        marks = [start]
        for index in range(gaps):
            room = (stop - start) / (gaps + 1)
            gap_start = start + room * (index + 0.45) + self.feet(-1, 1)
            marks += [gap_start, gap_start + self.feet(6, min(12, room * 0.6))]
        marks.append(stop)
        walls = [
            self.wall(level, axis, at, marks[i], marks[i + 1], meant=True, role=role)
            for i in range(0, len(marks), 2)
        ]
        for i in range(1, len(marks) - 1, 2):
            line = Line(axis, at, marks[i], marks[i + 1])
            self.house.beams.append(Beam(beam, level, line))  # type: ignore[arg-type]
        return walls

    def partitions(
        self,
        level: int,
        rect: Rect,
        axis: Axis,
        bounds: tuple[float, ...],
        count: int,
    ) -> list[Wall]:
        """Partitions along ``axis``, each between two neighbouring ``bounds`` of that axis."""
        low, high = rect.span(other(axis))
        made: list[Wall] = []
        for _ in range(count):
            index = int(self.rng.integers(0, len(bounds) - 1))
            at = self.feet(low + 4, high - 4)
            near = [w.line.at for w in made if abs(w.line.at - at) < 2.0]
            if near:
                continue
            made.append(self.wall(level, axis, at, bounds[index], bounds[index + 1]))
        return made

    def closets(self, level: int, rect: Rect, axis: Axis, lines: tuple[float, ...]) -> list[Wall]:
        """Short walls a little more than two feet from a line, as fronts of closets."""
        low, high = rect.span(axis)
        walls = []
        for at in lines:
            start = self.feet(low + 1, max(low + 1.5, high - 9))
            stop = start + self.feet(4, 8)
            if stop <= high:
                walls.append(self.wall(level, axis, at, start, stop))
        return walls

    # frame

    def joists(
        self,
        level: int,
        area: Rect,
        run: Axis,
        held: list[Held],
        material: Material,
        cover: Cover,
        gap: bool = False,
    ) -> Field:
        """A field of joists over ``area``, sized for its longest span."""
        start, stop = area.span(run)
        span = longest_span(start, stop, held)
        joist = choose_joist(self.rng, material, cover, self.house.year, span)
        splice = material == "solid_boards" and self.chance(parameters()["framing"]["splice_share"])
        field = Field(
            level, area, run, material, joist.size, joist.spacing_in, joist.allow_ft,
            pieces(start, stop, held), cover, gap, "splice" if splice else "lap",
        )  # fmt: skip
        self.house.fields.append(field)
        return field

    def trusses(
        self,
        level: int,
        area: Rect,
        run: Axis,
        cover: Cover = "attic",
        held: list[Held] | None = None,
    ) -> Field:
        """Roof trusses; whether they were kept clear of partitions is the crew's habit."""
        habit = parameters()["framing"]["truss_touches"]
        tight = self.chance(habit.get(self.era, 0.5))
        return self.joists(level, area, run, held or [], "roof_trusses", cover, gap=not tight)

    def roof(self, level: int, area: Rect, frame: str, ridge: Axis, space: str = "attic") -> None:
        """The roof part over a rectangle."""
        plates = frame == "trusses" and self.chance(0.95)
        part = RoofPart(level, area, frame, ridge, space, plates)  # type: ignore[arg-type]
        self.house.roof_parts.append(part)

    def base_floor(self, rect: Rect, at: float, run: Axis = "y") -> None:
        """What the lowest floor stands on: nothing over a slab, else a girder line at ``at``."""
        house = self.house
        if house.base == "slab":
            return
        held: list[Held] = [(at, "end" if self.chance(0.85) else "through")]
        self.joists(-1, rect, run, held, "solid_boards", "rooms")
        line = Line(other(run), at, *rect.span(other(run)))
        if -1 not in house.levels:
            posts = tuple(np.arange(line.start + 7, line.stop - 3, 7.5))
            house.beams.append(Beam("girder", -1, line, posts))

    # things that come down

    def point(self, kind: PointKind, level: int, x: float, y: float, seen: bool = True) -> Point:
        """A load at one spot."""
        point = Point(kind, level, x, y, seen)
        self.house.points.append(point)
        return point

    def beam(
        self,
        kind: str,
        level: int,
        axis: Axis,
        at: float,
        start: float,
        stop: float,
        posts: tuple[float, ...] = (),
        new: bool = False,
    ) -> Beam:
        """A beam whose ends come down on the walls of ``level``."""
        beam = Beam(kind, level, Line(axis, at, start, stop), posts, new)  # type: ignore[arg-type]
        self.house.beams.append(beam)
        return beam

    def struts(
        self, level: int, rect: Rect, lines: list[float], ridge: Axis = "x", seen: bool = True
    ) -> None:
        """Purlin braces every 4 to 8 feet down to the nearest of ``lines`` within reach.

        The purlin lies at a quarter of the width.  IRC R802.4.5 wants its braces at 45 degrees
        or steeper; crews have set them flatter, by up to ``strut_flatness``.
        """
        low, high = rect.span(other(ridge))
        framing = parameters()["framing"]
        pitch = float(self.rng.uniform(*framing["strut_roof_pitch"]))
        flat = float(self.rng.uniform(1.0, framing["strut_flatness"]))
        for share in (0.25, 0.75):
            purlin = low + share * (high - low)
            rise = pitch * (high - low) / 4
            near = [at for at in lines if abs(at - purlin) <= rise * flat]
            if not near:
                continue
            foot = min(near, key=lambda at: abs(at - purlin))
            start, stop = rect.span(ridge)
            for along in np.arange(start + self.feet(3, 5), stop - 2, self.feet(4, 8)):
                x, y = (float(along), foot) if ridge == "x" else (foot, float(along))
                self.point("strut", level, x, y, seen)

    def knee_wall(
        self, level: int, axis: Axis, at: float, start: float, stop: float, carries: bool
    ) -> None:
        """A short wall in the roof, over the walls of ``level``."""
        self.house.knee_walls.append(KneeWall(level, Line(axis, at, start, stop), carries))

    def stair(self, level: int, area: Rect, joist_run: Axis, ends_on: float | None) -> None:
        """A stair hole in the floor above; its header ends at ``ends_on`` when that is a wall.

        The cut joists hang on a header whose two ends are carried by the trimmers; where a
        trimmer or header end stands over a wall, that wall takes a point load.
        """
        self.house.stairs.append(StairHole(level, area))
        if ends_on is None:
            return
        for across in area.span(other(joist_run)):
            x, y = (ends_on, across) if joist_run == "x" else (across, ends_on)
            self.point("stair_header", level, x, y)
