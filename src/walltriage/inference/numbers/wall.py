"""The preliminary numbers of a wall, where its measurements or its plan allow any.

A wall on the plan carries what the whole house brings to it; any other carries what its own
answers tell.  Beams, reactions and temporary lines all go by that one load.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from walltriage.case.model import Answer
from walltriage.errors import InputError
from walltriage.inference.engine.evaluate import Evaluation
from walltriage.inference.numbers.computed import wall_span_need
from walltriage.inference.numbers.measured_span import compared_span
from walltriage.inference.numbers.measures import Measured
from walltriage.inference.numbers.results import (
    LeftOut,
    Narrowing,
    Sizing,
    SpanNumbers,
    WallNumbers,
)
from walltriage.inference.numbers.tributary import is_reported, tributary_loads
from walltriage.knowledge.base import KnowledgeBase
from walltriage.structure.tables import Tables, load_tables

if TYPE_CHECKING:  # a wall whose load nobody can tell is spared what follows from one
    from walltriage.inference.numbers.house import HouseWork
    from walltriage.structure.bracing import LineGap
    from walltriage.structure.shoring import Shoring
    from walltriage.structure.strips import PointLoad
    from walltriage.structure.takedown import Swing, Takedown
    from walltriage.structure.wall_load import WallLoad

MOST_MEMBERS = 3  # of each kind, the shallowest first
WHOLE_WITHIN_IN = 6.0  # an opening so near to the wall's length is the whole wall
WORTH_A_LOOK_PLF = 10.0
LEVERED = "joists run through"  # how the take-down calls its open question


@dataclass(frozen=True, slots=True)
class WallWork:
    """What the numbers of one wall are worked out from."""

    base: KnowledgeBase
    wall: str
    result: Evaluation
    answers: Mapping[str, Answer]
    house: HouseWork | None


def wall_numbers(work: WallWork) -> WallNumbers | None:
    """Span, load, beams, temporary lines and bracing; None when nothing can be worked out."""
    base = work.base
    if base.measures.span_need is None or work.result.verdict == "likely_non_bearing":
        return None
    measured, tables = Measured(base, work.answers), load_tables(base.folder)
    need = wall_span_need(base, work.answers)
    span = None if need is None else SpanNumbers(
        need, measured.word("size"), measured.number("spacing"), compared_span(base, work.answers)
    )  # fmt: skip
    load: WallLoad | None = None
    down: Takedown | None = None
    left_out: tuple[LeftOut, ...] = ()
    sizing: Sizing | None = None
    shored: Shoring | None = None
    bracing: tuple[LineGap, ...] = ()
    problems: list[str] = []
    try:
        load, down, left_out = _load(tables, measured, work)
        if work.house is not None:
            bracing = work.house.bracing((work.wall,))
        if load is not None:
            sizing = _sizing(tables, measured, work, load, left_out)
            shored = _shoring(tables, measured, load)
    except InputError as error:  # a measurement beyond what the arithmetic accepts
        problems += [f"{problem.path}: {problem.what}" for problem in error.problems]
    if span is None and load is None and not problems:
        return None
    narrowing = None if load is None else _narrowing(base, measured, load)
    uplift = None if load is None else measured.word("uplift")
    return WallNumbers(span, load, down, left_out, narrowing, sizing, shored, bracing,
                       tuple(problems), uplift)  # fmt: skip


def _load(
    tables: Tables, measured: Measured, work: WallWork
) -> tuple[WallLoad | None, Takedown | None, tuple[LeftOut, ...]]:
    drawn = None if work.house is None else work.house.loads.of_wall(work.wall)
    if drawn is not None and work.house is not None:
        return drawn, None, tuple(_left_out_of_house(measured, work, work.house, drawn))
    tributary = tributary_loads(tables, measured, work.result)
    if tributary is None:
        return None, None, ()
    from walltriage.structure.takedown import take_down
    from walltriage.structure.wall_load import load_of_takedown

    down = take_down(tables, tributary.strips, tributary.lines)
    return load_of_takedown(tables, down, tributary.own_plf), down, tributary.left_out


def _left_out_of_house(
    measured: Measured, work: WallWork, house: HouseWork, load: WallLoad
) -> Iterator[LeftOut]:
    """What was reported of a drawn wall and is not on the plan."""
    paths = work.result.paths

    def out(path: str) -> bool:
        return is_reported(work.result, path, measured)

    if paths["wall_above"].status != "ruled_out" and not house.drawn_above(work.wall):
        yield LeftOut("wall_above", out("wall_above"))
    if house.site.roof_trusses and paths["roof_struts"].status != "ruled_out":
        yield LeftOut("roof_struts", out("roof_struts"))
    if load.high.roof_live and house.site.ground_snow_psf is None:
        yield LeftOut("snow", blocks=True)
    if paths["point_load"].status != "ruled_out" and not load.spots:
        yield LeftOut("point_load", out("point_load"))


def _narrowing(base: KnowledgeBase, measured: Measured, load: WallLoad) -> Narrowing | None:
    """The widest open matter that a look can settle, else the widest of all."""
    asked = [(swing, measured.narrowed_by(_matter(swing))) for swing in load.swings
             if swing.width_plf >= WORTH_A_LOOK_PLF]  # fmt: skip
    if not asked:
        return None
    most, question = next((pair for pair in asked if pair[1]), asked[0])
    ask = base.questions[question].entry.ask if question else ""
    return Narrowing(_matter(most), question, ask, most.low_plf, most.high_plf)


def _matter(swing: Swing) -> str:
    """What is open, as the rules name it, or as the take-down calls it."""
    return "joists_through" if swing.name.endswith(LEVERED) else swing.name


def _sizing(
    tables: Tables,
    measured: Measured,
    work: WallWork,
    load: WallLoad,
    left_out: tuple[LeftOut, ...],
) -> Sizing | None:
    """Beams over the whole opening, unless a load that is there is not counted."""
    opening = measured.number("opening")
    if opening is None or load.carries_only_itself or any(item.blocks for item in left_out):
        return None
    from walltriage.structure.load_path import load_path_to_ground
    from walltriage.structure.members import choose_members, end_supports

    length = None if work.house is None else work.house.length_of(work.wall)
    chosen = choose_members(
        tables, opening, load.high, spots_in(load.spots, opening, length), first=MOST_MEMBERS
    )
    shown = chosen.results
    if not shown:
        return Sizing(opening, (), chosen.nearest, chosen.sentence, None, None, ())
    ends = end_supports(tables, shown[0])
    below = () if work.house is None else work.house.points_below(
        work.wall, tuple(end.reaction_lb for end in ends)
    )  # fmt: skip
    levels, ground = measured.number("levels_below"), measured.word("ground")
    down = None
    if levels is not None and ground is not None:
        loads = {"left": ends[0].reaction_lb, "right": ends[1].reaction_lb}
        down = load_path_to_ground(loads, {}, levels_below=int(levels), ground=ground)
    return Sizing(opening, shown, None, chosen.sentence, ends, down, below)


def spots_in(
    spots: tuple[PointLoad, ...], opening_in: float, length_in: float | None
) -> tuple[PointLoad, ...]:
    """A wall's loads at single places as they stand over an opening in it.

    Over the whole wall each keeps its place.  Where a shorter opening lies in the wall nobody
    told, so that each stands where it bends a beam most: in the middle.
    """
    whole = length_in is not None and abs(opening_in - length_in) <= WHOLE_WITHIN_IN
    if whole:
        return tuple(replace(s, at_in=min(max(s.at_in, 0.0), opening_in)) for s in spots)
    return tuple(replace(s, at_in=opening_in / 2) for s in spots)


def _shoring(tables: Tables, measured: Measured, load: WallLoad) -> Shoring | None:
    one, other = measured.number("one_side"), measured.number("other_side")
    if one is None or other is None or load.carries_only_itself:
        return None
    from walltriage.structure.shoring import shoring

    try:
        return shoring(tables, load.governing_plf, one, other)
    except InputError:  # a hall too narrow to stand a temporary line in
        return None
