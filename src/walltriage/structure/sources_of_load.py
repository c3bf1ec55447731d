"""Strips and line loads made from what a person can tell: a floor, a ceiling, a roof, a wall.

Each fills in the loads from the load rules, as ranges where the answer is not known.
"""

from __future__ import annotations

from walltriage.structure.inputs import within
from walltriage.structure.loads import (
    dead_range,
    live_range,
    on_the_flat,
    roof_live_psf,
    roof_snow_psf,
)
from walltriage.structure.steps import Range
from walltriage.structure.strips import LineLoad, Strip
from walltriage.structure.tables import Tables

RangeLike = float | tuple[float, ...] | Range


def floor(
    tables: Tables,
    name: str,
    spans_in: tuple[RangeLike, ...],
    *,
    support: int = 1,
    continuous: bool | None = None,
    room: str | None = None,
    finish: str = "floor",
) -> Strip:
    """A floor over the wall; ``room`` is a key of the live loads, ``None`` = not known."""
    live = live_range(tables, room, "floor")
    dead, source = dead_range(tables, "floor", finish)
    spans = tuple(Range.of(span) for span in spans_in)
    return Strip(name, {"dead": dead, "live": live}, spans, support, continuous,
                 source=f"{source}, irc_r301_5")  # fmt: skip


def ceiling(
    tables: Tables,
    name: str,
    spans_in: tuple[RangeLike, ...],
    *,
    support: int = 1,
    continuous: bool | None = None,
    attic: str | None = None,
    plaster: bool = False,
) -> Strip:
    """A ceiling under an attic; ``attic`` is a key of the live loads, ``None`` = not known.

    Its live load is added to that of the floors, though the code lets the load of an attic
    without storage be left out beside others: the sum errs on the safe side.
    """
    live = live_range(tables, attic, "attic")
    dead, source = dead_range(tables, "ceiling", "ceiling_plaster" if plaster else "ceiling")
    spans = tuple(Range.of(span) for span in spans_in)
    return Strip(name, {"dead": dead, "live": live}, spans, support, continuous,
                 source=f"{source}, irc_r301_5")  # fmt: skip


def roof(
    tables: Tables,
    name: str,
    *,
    slope_deg: RangeLike,
    spans_in: tuple[RangeLike, ...] = (),
    support: int = 1,
    tributary_in: RangeLike | None = None,
    ground_snow_psf: RangeLike | None = None,
    covering: str = "roof_light",
    overhang_in: RangeLike = 0.0,
) -> Strip:
    """A roof that comes down on the wall, by struts (``tributary_in``) or trusses (``spans_in``).

    Widths are horizontal.  Without a ground snow load no snow is counted; the caller says so.
    """
    slope = Range.of(slope_deg)
    dead, source = dead_range(tables, "roof", covering)
    within(tables, "slope_deg", slope.high)
    psf = {
        "dead": Range(
            on_the_flat(dead.low, slope.low),
            on_the_flat(dead.usual, slope.usual),
            on_the_flat(dead.high, slope.high),
        ),
        # the flatter the roof, the more it carries: the ends change places
        "roof_live": Range(
            roof_live_psf(tables, slope.high),
            roof_live_psf(tables, slope.usual),
            roof_live_psf(tables, slope.low),
        ),
    }
    if ground_snow_psf is not None:
        ground = Range.of(ground_snow_psf)
        psf["snow"] = Range(
            roof_snow_psf(tables, ground.low, slope.high),
            roof_snow_psf(tables, ground.usual, slope.usual),
            roof_snow_psf(tables, ground.high, slope.low),
        )
    return Strip(
        name,
        psf,
        tuple(Range.of(span) for span in spans_in),
        support,
        False,
        None if tributary_in is None else Range.of(tributary_in),
        Range.of(overhang_in),
        f"{source}, irc_r301_6, asce7_7_3",
    )


def wall_above(
    tables: Tables, name: str, height_in: RangeLike, kind: str = "wall_interior"
) -> LineLoad:
    """A wall that stands on the line, or the wall itself: its weight per foot."""
    (psf, source), height = dead_range(tables, "wall", kind), Range.of(height_in)
    for end in (height.low, height.high):
        within(tables, "height_in", end, name=f"{name}: height")
    plf = Range(*(p * h / 12 for p, h in (
        (psf.low, height.low), (psf.usual, height.usual), (psf.high, height.high))))  # fmt: skip
    numbers = f"{psf.usual:g} psf x {height.usual:g} in / 12"
    return LineLoad(name, {"dead": plf}, "weight x height / 12", numbers, source)
