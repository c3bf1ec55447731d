"""What a wall carries: loads from everything above it, per foot and at points.

Strips (floors, ceilings, roofs) and line loads are added up by kind of load.  Inputs are ranges;
so are the results, with the input that matters most found by moving one at a time.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from walltriage.errors import refuse
from walltriage.language import say
from walltriage.structure.inputs import within
from walltriage.structure.loads import LoadSet, governing_total
from walltriage.structure.shapes import LOAD_KINDS
from walltriage.structure.steps import NOTE, CalcStep, Range
from walltriage.structure.strips import (
    LineLoad,
    PointLoad,
    Strip,
    check_strip,
    ends_of,
    inputs_of,
    strip_load,
    tributary,
    widths,
)
from walltriage.structure.tables import Tables
from walltriage.units import format_length

__all__ = ["LineLoad", "PointLoad", "Strip", "Swing", "Takedown", "take_down", "tributary"]


@dataclass(frozen=True, slots=True)
class Swing:
    """How far one input, moved from low to high alone, moves the governing load."""

    name: str
    low_plf: float
    high_plf: float

    @property
    def width_plf(self) -> float:
        return abs(self.high_plf - self.low_plf)


@dataclass(frozen=True, slots=True)
class Takedown:
    """The loads on a wall: per foot by kind and as (low, usual, high), and point loads.

    ``governing_plf`` is the largest combination, ``combination`` its name at the usual values;
    ``matters_most`` names the input with the widest swing, or is empty when nothing is open.
    """

    plf: Mapping[str, Range]
    low: LoadSet
    usual: LoadSet
    high: LoadSet
    governing_plf: Range
    combination: str
    points: tuple[PointLoad, ...]
    swings: tuple[Swing, ...]
    matters_most: str
    findings: tuple[str, ...]
    steps: tuple[CalcStep, ...]
    note: str = NOTE


def take_down(
    tables: Tables,
    strips: tuple[Strip, ...] = (),
    lines: tuple[LineLoad, ...] = (),
    points: tuple[PointLoad, ...] = (),
) -> Takedown:
    """Sum the loads on a wall.

    Raises :class:`InputError` for spans out of range, loads of unknown kind, or nothing at all.
    """
    if not strips and not lines and not points:
        raise refuse("loads", "none given", "expected a strip, a line load or a point load")
    items: tuple[Strip | LineLoad, ...] = (*strips, *lines)
    names = [item.name for item in items]
    for name in names:
        if names.count(name) > 1:
            raise refuse("loads", f"two are called '{name}'", "give each its own name")
    for strip in strips:
        check_strip(tables, strip)
    for line in lines:
        for kind, value in line.plf.items():
            if kind not in LOAD_KINDS:
                raise refuse(line.name, f"unknown kind of load '{kind}'", ", ".join(LOAD_KINDS))
            for end in (value.low, value.high):
                within(tables, "line_load_plf", end, name=f"{line.name}: {kind}")
    inputs = dict(pair for item in items for pair in inputs_of(item))
    usual_of = {name: value.usual for name, value in inputs.items()}

    def total(chosen: Mapping[str, float]) -> LoadSet:
        loads = LoadSet()
        for strip in strips:
            loads += strip_load(strip, chosen)
        for line in lines:
            loads += LoadSet(*(chosen.get(f"{line.name}: {kind}", 0.0) for kind in LOAD_KINDS))
        return loads

    usual = total(usual_of)
    low, high = LoadSet(), LoadSet()
    for strip in strips:
        least, most = ends_of(strip)
        low, high = low + least, high + most
    for line in lines:
        low += LoadSet(*(line.plf[k].low if k in line.plf else 0.0 for k in LOAD_KINDS))
        high += LoadSet(*(line.plf[k].high if k in line.plf else 0.0 for k in LOAD_KINDS))
    swings = []
    for name, value in inputs.items():
        if not value.fixed:
            ends = [
                governing_total(tables, total({**usual_of, name: end}))[0]
                for end in (value.low, value.high)
            ]
            swings.append(Swing(name, *ends))
    swings.sort(key=lambda swing: (-swing.width_plf, swing.name))
    governing, combination = governing_total(tables, usual)
    return Takedown(
        {k: Range(getattr(low, k), getattr(usual, k), getattr(high, k)) for k in LOAD_KINDS},
        low,
        usual,
        high,
        Range(governing_total(tables, low)[0], governing, governing_total(tables, high)[0]),
        combination,
        points,
        tuple(swings),
        swings[0].name if swings and swings[0].width_plf > 0 else "",
        tuple(_findings(strips, low)),
        tuple(_steps(strips, lines, usual, governing, combination)),
    )


def _findings(strips: tuple[Strip, ...], low: LoadSet) -> Iterator[str]:
    for strip in strips:
        if strip.spans_in and strip.continuous is None and len(strip.spans_in) > 1:
            yield say(
                "{name}: not known whether the joists break over the wall; both are within "
                "the range",
                name=strip.name,
            )
    if low.dead < 0:
        yield say("the near end of a continuous joist may lift: an engineer has to look at it")


def _steps(
    strips: tuple[Strip, ...],
    lines: tuple[LineLoad, ...],
    usual: LoadSet,
    governing: float,
    combination: str,
) -> Iterator[CalcStep]:
    for strip in strips:
        chosen = {name: value.usual for name, value in inputs_of(strip)}
        even, worst = widths(strip, chosen)
        yield _width_step(strip, even)
        for kind, value in strip.psf.items():
            width = even if kind == "dead" else worst
            yield CalcStep(
                f"{strip.name}, {kind}",
                "load x tributary width / 12",
                f"{value.usual:.4g} psf x {width:.1f} in / 12",
                value.usual * width / 12,
                "plf",
                strip.source,
            )
    for line in lines:
        for kind, value in line.plf.items():
            formula = line.formula or "given"
            yield CalcStep(
                f"{line.name}, {kind}", formula, line.numbers, value.usual, "plf", line.source
            )
    shown = ", ".join(f"{kind} {value:.0f}" for kind, value in usual.kinds() if value)
    yield CalcStep("w", combination, shown, governing, "plf", "asce7_2_4")


def _width_step(strip: Strip, width: float) -> CalcStep:
    symbol = f"{strip.name}, tributary width"
    if strip.tributary_in:
        return CalcStep(symbol, "given, with any overhang", "", width, "in", strip.source)
    spans = " and ".join(format_length(span.usual) for span in strip.spans_in)
    if strip.continuous and len(strip.spans_in) > 1:
        formula = "reaction of the continuous joist under 1 lb per in"
        return CalcStep(symbol, formula, f"spans {spans}", width, "in", "statics")
    formula = "half of each adjacent span, with any overhang"
    return CalcStep(symbol, formula, f"spans {spans}", width, "in", "statics")
