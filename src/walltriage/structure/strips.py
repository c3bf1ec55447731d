"""Floors, ceilings, roofs and walls that reach a wall, and the width each brings to it.

A strip's *tributary width* is half of each adjacent span when its members break over the
wall; when they run through, it is the reaction of the continuous beam (equation of three
moments), the passing load in its worst arrangement.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import product

from walltriage.errors import refuse
from walltriage.structure import beams
from walltriage.structure.inputs import within
from walltriage.structure.loads import LoadSet
from walltriage.structure.shapes import LOAD_KINDS
from walltriage.structure.steps import Range
from walltriage.structure.tables import Tables


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


def check_strip(tables: Tables, strip: Strip) -> None:
    """:class:`InputError` for a strip whose loads or widths make no sense."""
    for kind, value in strip.psf.items():
        if kind not in LOAD_KINDS:
            raise refuse(strip.name, f"unknown kind of load '{kind}'", ", ".join(LOAD_KINDS))
        for end in (value.low, value.high):
            within(tables, "dead_psf", end, name=f"{strip.name}: {kind} load")
    ranges = (*strip.psf.values(), *strip.spans_in, strip.overhang_in)
    for value in ranges if strip.tributary_in is None else (*ranges, strip.tributary_in):
        if not value.low <= value.usual <= value.high:
            raise refuse(strip.name, f"{value} is out of order", "expected lowest, usual, highest")
    if strip.overhang_in.high:
        within(tables, "span_in", strip.overhang_in.high, name=f"{strip.name}: overhang")
    if strip.overhang_in.low < 0:
        raise refuse(f"{strip.name}: overhang", "is negative", "expected 0 or more")
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


def inputs_of(item: Strip | LineLoad) -> Iterator[tuple[str, Range]]:
    """Every input of a strip or line load by name, as a range."""
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
        continuous = item.continuous
        ends = Range(0.0, 0.0, 1.0) if continuous is None else Range.of(float(continuous))
        yield f"{item.name}: joists run through", ends


def widths(strip: Strip, chosen: Mapping[str, float]) -> tuple[float, float]:
    """Tributary width in inches for dead and for passing loads, at one choice of the inputs."""
    overhang = chosen.get(f"{strip.name}: overhang", 0.0)
    if strip.tributary_in:
        width = chosen[f"{strip.name}: tributary width"] + overhang
        return width, width
    spans = tuple(chosen[f"{strip.name}: span {i}"] for i in range(1, len(strip.spans_in) + 1))
    through = chosen[f"{strip.name}: joists run through"] > 0
    even, worst = tributary(spans, strip.support, through)
    return even + overhang, worst + overhang


def strip_load(strip: Strip, chosen: Mapping[str, float]) -> LoadSet:
    """Load per foot of wall (plf) at one choice of the inputs."""
    even, worst = widths(strip, chosen)
    return LoadSet(
        *(
            chosen.get(f"{strip.name}: {kind} load", 0.0) * (even if kind == "dead" else worst) / 12
            for kind in LOAD_KINDS
        )
    )


def ends_of(strip: Strip) -> tuple[LoadSet, LoadSet]:
    """Least and greatest load per foot of wall (plf) over all its inputs."""
    # A support's share does not always grow with a span (a very short span beside a long one is
    # levered), so both ends, the usual value and every combination of them are looked at.
    names = [name for name, value in inputs_of(strip) if not name.endswith(" load")]
    ranges = dict(inputs_of(strip))
    values = [sorted({ranges[n].low, ranges[n].usual, ranges[n].high}) for n in names]
    found = [widths(strip, dict(zip(names, chosen, strict=True))) for chosen in product(*values)]
    least = min(even for even, _ in found)
    most_dead, most = max(even for even, _ in found), max(worst for _, worst in found)
    zero = Range(0.0, 0.0, 0.0)
    # dead load may lift a levered end; a passing load can always stay away
    low = LoadSet(
        *(
            strip.psf.get(k, zero).low * (least if k == "dead" else max(least, 0.0)) / 12
            for k in LOAD_KINDS
        )
    )
    high = LoadSet(
        *(
            strip.psf.get(k, zero).high * (most_dead if k == "dead" else most) / 12
            for k in LOAD_KINDS
        )
    )
    return low, high
