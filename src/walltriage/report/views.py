"""From a case's answers to what the drawings show, by the readings in ``report_texts.yaml``."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from walltriage.inference.finding import Observation
from walltriage.knowledge.report_texts import Drawings, Reading
from walltriage.language import say
from walltriage.report.drawing import Point
from walltriage.report.plan import JoistArea, PlanView, PlanWall
from walltriage.report.section import SectionView

USUAL_IN = {"house_width": 312.0, "house_length": 480.0, "wall_length": 144.0}
"""What a plan is drawn with while a size is not known; it then says that it is not to scale."""
FROM_CORNER = 0.3
"""Where along the house the wall is drawn, as nobody is asked: a share of the length left over."""
DOOR_IN, WIDE_IN = 32.0, 60.0


class Reader:
    """Looks answers up by the role they play in a drawing."""

    def __init__(self, drawings: Drawings, answers: Mapping[str, Observation]) -> None:
        self.drawings, self.answers = drawings, answers

    def length(self, role: str) -> float | None:
        """A measured length in inches, or None."""
        answer = self.answers.get(self.drawings.lengths.get(role, ""))  # type: ignore[call-overload]
        return answer.number if answer is not None else None

    def choice(self, role: str) -> str:
        """What the first answered reading of this role is drawn as; empty when none is."""
        readings: Sequence[Reading] = self.drawings.choices.get(role, ())  # type: ignore[call-overload]
        for reading in readings:
            answer = self.answers.get(reading.question)
            if answer is not None and answer.value in reading.draws:
                return reading.draws[answer.value]
        return ""


def section_view(drawings: Drawings, answers: Mapping[str, Observation]) -> SectionView:
    """The section of the house as reported."""
    read = Reader(drawings, answers)
    levels, assumed = read.choice("levels"), []
    above = read.choice("above")
    if not levels:
        assumed.append(say("the number of levels"))
    level_count = int(levels) if levels else 2 if above == "room" else 1
    level = {"basement": -1, "ground": 0, "middle": 1, "top": level_count - 1}.get(
        read.choice("wall_level")
    )
    if level is None:
        level = max(level_count - 2, 0) if above == "room" else level_count - 1
        assumed.append(say("the wall's level"))
    # answers about levels can clash; the drawing then shows the taller house
    level_count = max(level_count, level + 1 + (above == "room"))
    base = "basement" if level < 0 else read.choice("base")
    return SectionView(level_count, level, base, read.choice("roof"), tuple(assumed))


def plan_view(drawings: Drawings, answers: Mapping[str, Observation], wall_name: str) -> PlanView:
    """The plan as far as the questions tell: a rectangle, a ridge, the wall and its neighbours."""
    read = Reader(drawings, answers)
    known: dict[str, float | None] = {role: read.length(role) for role in drawings.lengths}
    width = known.get("house_width") or USUAL_IN["house_width"]
    length = max(known.get("house_length") or USUAL_IN["house_length"], width)
    ridge_along = {"along_length": True, "along_width": False}.get(read.choice("ridge"))
    run = read.choice("wall_run")
    lengthwise = (run != "across_ridge") == (ridge_along is not False)
    wall, places, placed = _walls(known, length, width, lengthwise, wall_name, read)
    notes = [] if placed else [say("Where the wall stands in the house is assumed.")]
    if not run:
        notes.append(say("Which way the wall runs is assumed."))
    sized = bool(known.get("house_width") and known.get("house_length"))
    ridge: tuple[Point, Point] | None = None
    if ridge_along is not None:
        ends = ((0, width / 2), (length, width / 2)), ((length / 2, 0), (length / 2, width))
        ridge = ends[0] if ridge_along else ends[1]
    return PlanView(
        outline=((0, 0), (length, 0), (length, width), (0, width)),
        walls=(*places, wall),
        ridge=ridge,
        joists=_joists(read, lengthwise, length, width),
        to_scale=bool(sized and known.get("wall_length") and placed and run),
        notes=tuple(notes),
        sizes=tuple((say(_SIZE[role]), inches) for role, inches in known.items() if inches),
    )


_SIZE = {
    "house_width": "House width",
    "house_length": "House length",
    "wall_length": "Wall length",
    "distance_one_side": "To the next wall on one side",
    "distance_other_side": "To the next wall on the other side",
}


def _walls(
    known: Mapping[str, float | None],
    length: float,
    width: float,
    lengthwise: bool,
    name: str,
    read: Reader,
) -> tuple[PlanWall, list[PlanWall], bool]:
    """The wall, its neighbours, and whether its place across the house follows from answers."""
    depth, along = (width, length) if lengthwise else (length, width)
    long = min(known.get("wall_length") or USUAL_IN["wall_length"], along)
    start = (along - long) * FROM_CORNER
    one, other = known.get("distance_one_side"), known.get("distance_other_side")
    # both distances together fill the house: then the neighbours are its outside walls
    fills = one is not None and other is not None and abs(one + other - depth) <= 0.06 * depth
    across = one if fills and one is not None else depth / 2
    openings = {"door": DOOR_IN, "wide": WIDE_IN}.get(read.choice("opening"), 0.0)
    gap = ((long * 0.6, long * 0.6 + openings),) if 0 < openings < long * 0.4 else ()

    def line(at: float, title: str, asked: bool = False) -> PlanWall:
        ends = (
            ((start, at), (start + long, at)) if lengthwise else ((at, start), (at, start + long))
        )
        return PlanWall(title, *ends, asked, openings=gap if asked else ())

    neighbours = []
    if not fills:
        for distance, way in ((one, -1), (other, 1)):
            if distance is not None and 0 < across + way * distance < depth:
                neighbours.append(line(across + way * distance, ""))
    return line(across, name, True), neighbours, fills


def _joists(read: Reader, lengthwise: bool, length: float, width: float) -> tuple[JoistArea, ...]:
    run = read.choice("joist_run")
    if not run:
        return ()
    along_length = lengthwise == (run == "along_wall")
    # drawn in the quarter of the house that the wall's name leaves free
    corners = ((length * 0.7, width * 0.55), (length, width * 0.55), (length, width),
               (length * 0.7, width))  # fmt: skip
    return (JoistArea(corners, (1, 0) if along_length else (0, 1)),)
