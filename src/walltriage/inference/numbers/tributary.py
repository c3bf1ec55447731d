"""The loads that may reach a wall, path by path, as strips and lines for the take-down."""

from __future__ import annotations

from dataclasses import dataclass

from walltriage.inference.engine.evaluate import Evaluation
from walltriage.inference.numbers.measures import Measured
from walltriage.structure.sources_of_load import ceiling, floor, roof, wall_above
from walltriage.structure.steps import Range
from walltriage.structure.strips import LineLoad, Strip
from walltriage.structure.tables import Tables


@dataclass(frozen=True, slots=True)
class Reaching:
    """What is counted, and in words what is left out because nobody knows enough of it."""

    strips: tuple[Strip, ...]
    lines: tuple[LineLoad, ...]
    left_out: tuple[str, ...]


def reaching_loads(tables: Tables, measured: Measured, result: Evaluation) -> Reaching:
    """Loads of every path that is not ruled out and whose sizes are known."""
    strips: list[Strip] = []
    lines: list[LineLoad] = []
    left_out: list[str] = []
    one, other = measured.number("one_side"), measured.number("other_side")
    if one is None or other is None or measured.word("use") is None:
        return Reaching((), (), ())
    if result.paths["framing_above"].status != "ruled_out":
        strips.append(_framing(tables, measured, one, other))
    height = measured.assumed("wall_height")
    if strips:
        lines.append(wall_above(tables, "this wall itself", height))
    if result.paths["wall_above"].status == "established":
        lines.append(wall_above(tables, "a wall above", height))
        left_out.append("whatever stands on the wall above")
    elif result.paths["wall_above"].status == "open":
        left_out.append("a wall above, which is not ruled out")
    struts = result.paths["roof_struts"].status
    width = measured.number("width_of_house")
    if struts == "established" and width is not None:
        strips.append(_struts(tables, measured, width))
    elif struts != "ruled_out":
        left_out.append("roof load by props or posts, which is not ruled out")
    if _snow_is_missing(measured, strips):
        left_out.append("snow, because the ground snow load was not given")
    if result.paths["point_load"].status != "ruled_out":
        left_out.append("loads that come down at one spot")
    return Reaching(tuple(strips), tuple(lines), tuple(left_out))


def _snow_is_missing(measured: Measured, strips: list[Strip]) -> bool:
    """Whether a roof is counted without its snow."""
    roofs = any("roof_live" in strip.psf for strip in strips)
    return roofs and measured.number("ground_snow") is None


def _framing(tables: Tables, measured: Measured, one: float, other: float) -> Strip:
    use, told = measured.word("use"), measured.word("joists_break")
    spans = (one, other)
    through = None if told is None else told == "no"
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
    share = measured.assumed("strut_share_of_width")
    slope = measured.assumed("roof_slope_deg")
    return roof(
        tables,
        "the roof by props",
        slope_deg=slope,
        tributary_in=Range(share.low * width_in, share.usual * width_in, share.high * width_in),
        ground_snow_psf=measured.number("ground_snow"),
        covering=measured.word("covering") or "roof_light",
    )
