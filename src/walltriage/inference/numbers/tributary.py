"""The loads that may reach a wall which is on no plan, path by path, for the take-down."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from walltriage.inference.numbers.measures import Measured
from walltriage.inference.numbers.results import LeftOut
from walltriage.structure.steps import Range
from walltriage.structure.tables import Tables

if TYPE_CHECKING:
    from walltriage.inference.engine.evaluate import Evaluation
    from walltriage.structure.strips import LineLoad, Strip


@dataclass(frozen=True, slots=True)
class TributaryLoads:
    """What is counted, what is left out, and the most that the wall itself weighs."""

    strips: tuple[Strip, ...]
    lines: tuple[LineLoad, ...]
    left_out: tuple[LeftOut, ...]
    own_plf: float


def is_reported(result: Evaluation, path: str, measured: Measured) -> bool:
    """Whether a load path is established, told of by an answer, or likely even at the least."""
    state = result.paths[path]
    if state.status == "ruled_out":
        return False
    likely = state.status == "established" or state.low >= measured.reported_from
    return likely or measured.reports(path)


def tributary_loads(
    tables: Tables, measured: Measured, result: Evaluation
) -> TributaryLoads | None:
    """Loads of every path that is not ruled out and whose sizes are known; None for none."""
    one, other = measured.number("one_side"), measured.number("other_side")
    if one is None or other is None or measured.word("use") is None:
        return None
    if result.paths["framing_above"].status == "ruled_out":
        return None
    from walltriage.structure.sources_of_load import wall_above

    height = measured.assumed("wall_height")
    strips = [_framing(tables, measured, one, other)]
    own = wall_above(tables, "this wall itself", height)
    lines = [own]
    if result.paths["wall_above"].status == "established":
        lines.append(wall_above(tables, "a wall above", height))
    width = measured.number("width_of_house")
    struts = is_reported(result, "roof_struts", measured) and width is not None
    if struts and width is not None:
        strips.append(_struts(tables, measured, width))
    left_out = tuple(_left_out(measured, result, strips, struts))
    return TributaryLoads(tuple(strips), tuple(lines), left_out, own.plf["dead"].high)


def _left_out(
    measured: Measured, result: Evaluation, strips: list[Strip], struts: bool
) -> Iterator[LeftOut]:
    paths = result.paths
    if paths["wall_above"].status == "established":
        yield LeftOut("on_wall_above", blocks=True)
    elif paths["wall_above"].status == "open":
        yield LeftOut("wall_above", is_reported(result, "wall_above", measured))
    if not struts and paths["roof_struts"].status != "ruled_out":
        yield LeftOut("roof_struts", is_reported(result, "roof_struts", measured))
    roofs = any("roof_live" in strip.psf for strip in strips)
    if roofs and measured.number("ground_snow") is None:
        yield LeftOut("snow", blocks=True)
    if paths["point_load"].status != "ruled_out":
        yield LeftOut("point_load", is_reported(result, "point_load", measured))


def _framing(tables: Tables, measured: Measured, one: float, other: float) -> Strip:
    from walltriage.structure.sources_of_load import ceiling, floor, roof

    use, breaks = measured.word("use"), measured.word("joists_break")
    spans = (one, other)
    through = None if breaks is None else breaks == "no"
    if use == "floor":
        return floor(tables, "the floor above", spans, continuous=through)
    if use == "ceiling":
        return ceiling(tables, "the ceiling and attic above", spans, continuous=through)
    return roof(
        tables,
        "the flat roof above",
        slope_deg=measured.number_or_assumed("roof_slope_deg"),
        spans_in=spans,
        ground_snow_psf=measured.number("ground_snow"),
        covering=measured.word("covering") or "roof_light",
    )


def _struts(tables: Tables, measured: Measured, width_in: float) -> Strip:
    from walltriage.structure.sources_of_load import roof

    share = measured.assumed("strut_share_of_width")
    slope = measured.assumed("roof_slope_deg")
    return roof(
        tables,
        "the roof by braces",
        slope_deg=slope,
        tributary_in=Range(share.low * width_in, share.usual * width_in, share.high * width_in),
        ground_snow_psf=measured.number("ground_snow"),
        covering=measured.word("covering") or "roof_light",
    )
