"""Statics of single-span and continuous beams of constant stiffness.

Support moments come from the equation of three moments (rotations of neighbouring spans are
equal at a support); between supports everything is in closed form, by brackets that vanish
left of where a load begins.  Positions are inches from the left end, loads pounds and pounds
per foot, moments lb-in (sagging positive), deflections positive downward.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, field
from itertools import accumulate, pairwise

from walltriage.errors import refuse
from walltriage.structure.beam_span import (
    SMALL,
    LoadedSpan,
    left_overhang,
    loaded_span,
    right_overhang,
)


@dataclass(frozen=True, slots=True)
class Uniform:
    """A uniform load in lb per foot from ``start_in`` to ``end_in``."""

    load_plf: float
    start_in: float
    end_in: float


@dataclass(frozen=True, slots=True)
class PointForce:
    """A concentrated force in pounds at ``at_in``, of one combination of loads."""

    load_lb: float
    at_in: float


@dataclass(frozen=True, slots=True)
class SolvedBeam:
    """A solved beam on two or more supports, with or without free ends.

    ``supports_in`` count from the beam's left end, free or not; ``reactions_lb`` run from left to
    right, upward positive.
    """

    supports_in: tuple[float, ...]
    reactions_lb: tuple[float, ...]
    _starts: tuple[float, ...] = field(repr=False)
    _spans: tuple[LoadedSpan, ...] = field(repr=False)

    def _at(self, x: float) -> tuple[LoadedSpan, float]:
        index = min(max(bisect_right(self._starts, x) - 1, 0), len(self._spans) - 1)
        return self._spans[index], x - self._starts[index]

    def shear_lb(self, x_in: float) -> float:
        """Shear just right of ``x_in``."""
        span, x = self._at(x_in)
        return span.shear(x)

    def moment_lb_in(self, x_in: float) -> float:
        span, x = self._at(x_in)
        return span.moment(x)

    def deflection_in(self, x_in: float, ei_lb_in2: float) -> float:
        span, x = self._at(x_in)
        return span.sag(x) / ei_lb_in2

    def greatest_shear_lb(self) -> float:
        """Largest shear anywhere, without sign (reached at a support or a load)."""
        return max(
            abs(value)
            for span in self._spans
            for value in (span.right_shear, *(span.shear(x) for x in span.breaks()))
        )

    def greatest_moment_lb_in(self) -> float:
        """Largest bending moment anywhere, without sign."""
        return max(abs(span.moment(x)) for span in self._spans for x in span.turning_points())

    def extreme_moments_lb_in(self) -> tuple[float, float]:
        """Least (hogging) and greatest (sagging) bending moment."""
        moments = [span.moment(x) for span in self._spans for x in span.turning_points()]
        return min(moments), max(moments)

    def deflections_in(self, ei_lb_in2: float) -> tuple[float, ...]:
        """Largest deflection of each piece from left to right, free ends included, no sign."""
        return tuple(
            max((abs(span.sag(x)) for x in span.sag_points()), default=0.0) / ei_lb_in2
            for span in self._spans
        )

    def greatest_deflection_in(self, ei_lb_in2: float) -> float:
        """Largest deflection anywhere, without sign."""
        return max(self.deflections_in(ei_lb_in2))


def solve(
    spans_in: tuple[float, ...],
    uniforms: tuple[Uniform, ...] = (),
    points: tuple[PointForce, ...] = (),
    *,
    overhangs_in: tuple[float, float] = (0.0, 0.0),
) -> SolvedBeam:
    """Solve a beam over ``spans_in`` (one or more), simply supported at every support.

    ``overhangs_in`` run free beyond the first and the last support; all places count from the
    beam's left end.  Raises :class:`InputError` for no span, a span of no length, a free end of
    less than none, or a load off the beam.
    """
    if not spans_in or any(not span > 0 for span in spans_in):
        raise refuse("span", f"{spans_in!r} has a span of no length", "expected lengths above 0")
    if any(not overhang >= 0 for overhang in overhangs_in):
        raise refuse("overhang", f"{overhangs_in!r} is less than none", "expected 0 or more")
    left, right = overhangs_in
    supports = tuple(accumulate(spans_in, initial=left))
    end = supports[-1] + right
    for load in uniforms:
        if not -SMALL <= load.start_in <= load.end_in <= end + SMALL:
            text = f"load from {load.start_in:g} to {load.end_in:g} in lies off the beam"
            raise refuse("load", text, f"expected 0 to {end:g} in, start before end")
    for point in points:
        if not -SMALL <= point.at_in <= end + SMALL:
            text = f"point load at {point.at_in:g} in lies off the beam"
            raise refuse("load", text, f"expected 0 to {end:g} in")
    bounds = (*((0.0,) if left else ()), *supports, *((end,) if right else ()))
    pieces = [_loads_of(i, bounds, uniforms, points) for i in range(len(bounds) - 1)]
    before = left_overhang(*pieces.pop(0)) if left else None
    after = right_overhang(*pieces.pop()) if right else None
    moments = _support_moments(
        pieces, before.right_moment if before else 0.0, after.left_moment if after else 0.0
    )
    spans = [
        loaded_span(*piece, *ends) for piece, ends in zip(pieces, pairwise(moments), strict=True)
    ]
    reactions = [0.0] * len(supports)
    for i, span in enumerate(spans):
        reactions[i] += span.left_shear
        reactions[i + 1] -= span.right_shear
    if before:
        reactions[0] -= before.right_shear
        loads = before.length, before.uniforms, before.points
        spans.insert(0, left_overhang(*loads, spans[0].slope(0.0)))
    if after:
        reactions[-1] += after.left_shear
        loads = after.length, after.uniforms, after.points
        spans.append(right_overhang(*loads, spans[-1].slope(spans[-1].length)))
    return SolvedBeam(supports, tuple(reactions), bounds[:-1], tuple(spans))


_Piece = tuple[float, tuple[tuple[float, float, float], ...], tuple[tuple[float, float], ...]]


def _loads_of(
    index: int,
    bounds: tuple[float, ...],
    uniforms: tuple[Uniform, ...],
    points: tuple[PointForce, ...],
) -> _Piece:
    """Length, uniform loads (lb/in, from, to) and point loads of the piece after a bound."""
    left, right = bounds[index], bounds[index + 1]
    own = []
    for load in uniforms:
        start, end = max(load.start_in, left), min(load.end_in, right)
        if end > start:
            own.append((load.load_plf / 12, start - left, end - left))
    last = index == len(bounds) - 2
    mine = [
        (load.load_lb, min(max(load.at_in - left, 0.0), right - left))
        for load in points
        # a load over an inner support belongs to the piece on its right; it bends neither
        if left <= load.at_in < right or (last and load.at_in >= right) or load.at_in < left == 0
    ]
    return right - left, tuple(own), tuple(mine)


def _support_moments(pieces: list[_Piece], first: float, final: float) -> list[float]:
    # Equal rotation either side of each inner support:
    # M(i-1) L1 + 2 M(i) (L1 + L2) + M(i+1) L2 = -6 (rotation of the right end of span 1
    # taken alone + rotation of the left end of span 2 taken alone), both downward, times EI.
    count = len(pieces) - 1
    if count == 0:
        return [first, final]
    spans = [loaded_span(*piece) for piece in pieces]
    lower = [span.length for span in spans[:-1]]
    upper = [span.length for span in spans[1:]]
    middle = [2 * (a + b) for a, b in zip(lower, upper, strict=True)]
    right = [-6 * (-one.slope(one.length) + two.slope(0.0)) for one, two in pairwise(spans)]
    right[0] -= first * lower[0]
    right[-1] -= final * upper[-1]
    for i in range(1, count):  # the matrix has three diagonals: eliminate downward, then go back
        factor = lower[i] / middle[i - 1]
        middle[i] -= factor * upper[i - 1]
        right[i] -= factor * right[i - 1]
    inner = [0.0] * count
    for i in reversed(range(count)):
        after = upper[i] * inner[i + 1] if i + 1 < count else 0.0
        inner[i] = (right[i] - after) / middle[i]
    return [first, *inner, final]
