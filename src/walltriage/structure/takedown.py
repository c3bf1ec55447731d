"""What a wall carries: loads from everything above it, per foot and at points.

Each :class:`Strip` is a floor, ceiling or roof whose members reach the wall; its *tributary
width* is half of each neighbouring span when the members break over the wall, and comes from
the continuous beam (equation of three moments, worst arrangement of the transient load) when
they run through.  Inputs are ranges; so are the results, with the input that matters most found
by moving one at a time.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import product

from walltriage.structure import beams
from walltriage.structure.inputs import refuse, within
from walltriage.structure.loads import LoadSet, governing_total
from walltriage.structure.shapes import LOAD_KINDS
from walltriage.structure.steps import NOTE, Range, Step
from walltriage.structure.tables import Tables
from walltriage.units import format_length


@dataclass(frozen=True, slots=True)
class Strip:
    """A floor, ceiling or roof that reaches the wall.

    ``psf`` gives each kind of load as a range.  Either ``spans_in`` (the spans in a row, the
    wall being support number ``support``, counted from 0 at the near end) or ``tributary_in``
    is given.  ``continuous`` = members run through unbroken; ``None`` = not known.
    ``overhang_in`` adds a width beyond the wall (eaves).
    """

    name: str
    psf: Mapping[str, Range]
    spans_in: tuple[Range, ...] = ()
    support: int = 1
    continuous: bool | None = None
    tributary_in: Range | None = None
    overhang_in: Range = field(default_factory=lambda: Range(0.0, 0.0, 0.0))
    source: str = ""


@dataclass(frozen=True, slots=True)
class LineLoad:
    """A load that stands along the wall: a wall above, the wall's own weight; plf ranges."""

    name: str
    plf: Mapping[str, Range]
    formula: str = ""
    numbers: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True)
class PointLoad:
    """A load that comes down at one place, ``at_in`` from the wall's (or opening's) left end."""

    name: str
    at_in: float
    lb: LoadSet


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
    steps: tuple[Step, ...]
    note: str = NOTE


def tributary(spans_in: tuple[float, ...], support: int, continuous: bool) -> tuple[float, float]:
    """Tributary width in inches at one support: under load everywhere, and at worst.

    The worst arrangement loads only the spans that add to this support.
    """
    left = spans_in[support - 1] if support > 0 else 0.0
    right = spans_in[support] if support < len(spans_in) else 0.0
    if not continuous or len(spans_in) == 1:
        return (left + right) / 2, (left + right) / 2
    shares, start = [], 0.0
    for length in spans_in:
        alone = beams.solve(spans_in, (beams.Uniform(12.0, start, start + length),))
        shares.append(alone.reactions_lb[support])  # 1 lb per inch: pounds are inches of width
        start += length
    return sum(shares), sum(share for share in shares if share > 0)


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
    names = [item.name for item in (*strips, *lines)]
    for name in names:
        if names.count(name) > 1:
            raise refuse("loads", f"two are called '{name}'", "give each its own name")
    for strip in strips:
        _check(tables, strip)
    for line in lines:
        for kind, value in line.plf.items():
            if kind not in LOAD_KINDS:
                raise refuse(line.name, f"unknown kind of load '{kind}'", ", ".join(LOAD_KINDS))
            for end in (value.low, value.high):
                within(tables, "line_load_plf", end, name=f"{line.name}: {kind}")
    inputs = dict(pair for item in (*strips, *lines) for pair in _inputs(item))
    usual_of = {name: value.usual for name, value in inputs.items()}

    def total(chosen: Mapping[str, float]) -> LoadSet:
        loads = LoadSet()
        for strip in strips:
            loads += _strip_load(strip, chosen)
        for line in lines:
            loads += LoadSet(*(chosen.get(f"{line.name}: {kind}", 0.0) for kind in LOAD_KINDS))
        return loads

    usual = total(usual_of)
    low, high = LoadSet(), LoadSet()
    for strip in strips:
        least, most = _ends(strip)
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


def _check(tables: Tables, strip: Strip) -> None:
    for kind, value in strip.psf.items():
        if kind not in LOAD_KINDS:
            raise refuse(strip.name, f"unknown kind of load '{kind}'", ", ".join(LOAD_KINDS))
        for end in (value.low, value.high):
            within(tables, "dead_psf", end, name=f"{strip.name}: {kind} load")
    if bool(strip.spans_in) == (strip.tributary_in is not None):
        raise refuse(strip.name, "needs its spans or its tributary width", "give one of the two")
    for span in strip.spans_in:
        for end in (span.low, span.high):
            within(tables, "span_in", end, name=f"{strip.name}: span")
    if strip.tributary_in:
        for end in (strip.tributary_in.low, strip.tributary_in.high):
            within(tables, "span_in", end, name=f"{strip.name}: tributary width")
    if strip.spans_in and not 0 <= strip.support <= len(strip.spans_in):
        expected = f"expected 0 to {len(strip.spans_in)}"
        raise refuse(strip.name, f"support {strip.support} does not exist", expected)


def _inputs(item: Strip | LineLoad) -> Iterator[tuple[str, Range]]:
    if isinstance(item, LineLoad):
        for kind, value in item.plf.items():
            yield f"{item.name}: {kind}", value
        return
    for kind, value in item.psf.items():
        yield f"{item.name}: {kind} load", value
    for index, span in enumerate(item.spans_in, start=1):
        yield f"{item.name}: span {index}", span
    if item.tributary_in:
        yield f"{item.name}: tributary width", item.tributary_in
    if item.overhang_in.high:
        yield f"{item.name}: overhang", item.overhang_in
    if item.spans_in:
        told = item.continuous
        ends = Range(0.0, 0.0, 1.0) if told is None else Range.of(float(told))
        yield f"{item.name}: joists run through", ends


def _widths(strip: Strip, chosen: Mapping[str, float]) -> tuple[float, float]:
    overhang = chosen.get(f"{strip.name}: overhang", 0.0)
    if strip.tributary_in:
        width = chosen[f"{strip.name}: tributary width"] + overhang
        return width, width
    spans = tuple(chosen[f"{strip.name}: span {i}"] for i in range(1, len(strip.spans_in) + 1))
    through = chosen[f"{strip.name}: joists run through"] > 0
    even, worst = tributary(spans, strip.support, through)
    return even + overhang, worst + overhang


def _strip_load(strip: Strip, chosen: Mapping[str, float]) -> LoadSet:
    even, worst = _widths(strip, chosen)
    return LoadSet(
        *(
            chosen.get(f"{strip.name}: {kind} load", 0.0) * (even if kind == "dead" else worst) / 12
            for kind in LOAD_KINDS
        )
    )


def _ends(strip: Strip) -> tuple[LoadSet, LoadSet]:
    # A support's share does not always grow with a span (a very short span beside a long one is
    # levered), so both ends, the usual value and every combination of them are looked at.
    names = [name for name, value in _inputs(strip) if not name.endswith(" load")]
    ranges = dict(_inputs(strip))
    values = [sorted({ranges[n].low, ranges[n].usual, ranges[n].high}) for n in names]
    found = [_widths(strip, dict(zip(names, chosen, strict=True))) for chosen in product(*values)]
    least = min(even for even, _ in found)
    most_dead, most = max(even for even, _ in found), max(worst for _, worst in found)
    zero = Range(0.0, 0.0, 0.0)
    low = LoadSet(*(strip.psf.get(k, zero).low * least / 12 for k in LOAD_KINDS))
    high = LoadSet(
        *(
            strip.psf.get(k, zero).high * (most_dead if k == "dead" else most) / 12
            for k in LOAD_KINDS
        )
    )
    return low, high


def _findings(strips: tuple[Strip, ...], low: LoadSet) -> Iterator[str]:
    for strip in strips:
        if strip.spans_in and strip.continuous is None and len(strip.spans_in) > 1:
            yield (
                f"{strip.name}: not known whether the joists break over the wall; both are "
                "within the range"
            )
    if low.dead < 0:
        yield "the near end of a continuous joist may lift: an engineer has to look at it"


def _steps(
    strips: tuple[Strip, ...],
    lines: tuple[LineLoad, ...],
    usual: LoadSet,
    governing: float,
    combination: str,
) -> Iterator[Step]:
    for strip in strips:
        chosen = {name: value.usual for name, value in _inputs(strip)}
        even, worst = _widths(strip, chosen)
        yield _width_step(strip, even)
        for kind, value in strip.psf.items():
            width = even if kind == "dead" else worst
            yield Step(
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
            yield Step(
                f"{line.name}, {kind}", formula, line.numbers, value.usual, "plf", line.source
            )
    shown = ", ".join(f"{kind} {value:.0f}" for kind, value in usual.kinds() if value)
    yield Step("w", combination, shown, governing, "plf", "asce7_2_4")


def _width_step(strip: Strip, width: float) -> Step:
    symbol = f"{strip.name}, tributary width"
    if strip.tributary_in:
        return Step(symbol, "given, with any overhang", "", width, "in", strip.source)
    spans = " and ".join(format_length(span.usual) for span in strip.spans_in)
    if strip.continuous and len(strip.spans_in) > 1:
        formula = "reaction of the continuous joist under 1 lb per in"
        return Step(symbol, formula, f"spans {spans}", width, "in", "statics")
    formula = "half of each neighbouring span, with any overhang"
    return Step(symbol, formula, f"spans {spans}", width, "in", "statics")
