"""Statics of single-span and continuous beams of constant stiffness.

Support moments come from the equation of three moments (rotations of neighbouring spans are
equal at a support); between supports everything is in closed form, by brackets that vanish
left of where a load begins.  Positions are inches from the left end, loads pounds and pounds
per foot, moments lb-in (sagging positive), deflections positive downward.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import accumulate, pairwise

from walltriage.structure.inputs import refuse

SMALL = 1e-9


@dataclass(frozen=True, slots=True)
class Uniform:
    """A uniform load in lb per foot from ``start_in`` to ``end_in``."""

    load_plf: float
    start_in: float
    end_in: float


@dataclass(frozen=True, slots=True)
class Point:
    """A point load in pounds at ``at_in``."""

    load_lb: float
    at_in: float


@dataclass(frozen=True, slots=True)
class _Span:
    """One span with its own loads in lb/in and its end moments; x from its left support."""

    length: float
    uniforms: tuple[tuple[float, float, float], ...]
    points: tuple[tuple[float, float], ...]
    left_moment: float
    right_moment: float
    left_shear: float

    @property
    def right_shear(self) -> float:
        total = sum(w * (b - a) for w, a, b in self.uniforms) + sum(p for p, _ in self.points)
        return self.left_shear - total

    def shear(self, x: float) -> float:
        """Shear just right of ``x`` (at the right end: just left of it)."""
        value = self.left_shear
        for w, a, b in self.uniforms:
            value -= w * (min(max(x, a), b) - a)
        at_end = x >= self.length
        return value - sum(p for p, a in self.points if (a < x if at_end else a <= x))

    def moment(self, x: float) -> float:
        value = self.left_moment + self.left_shear * x
        for w, a, b in self.uniforms:
            value -= w / 2 * (max(x - a, 0.0) ** 2 - max(x - b, 0.0) ** 2)
        return value - sum(p * max(x - a, 0.0) for p, a in self.points)

    def _bent(self, x: float, order: int) -> float:
        # EI times slope (order 1) or deflection (order 2) without the constant of integration
        m, v = self.left_moment, self.left_shear
        if order == 1:
            value = m * x + v * x**2 / 2
            for w, a, b in self.uniforms:
                value -= w / 6 * (max(x - a, 0.0) ** 3 - max(x - b, 0.0) ** 3)
            return value - sum(p / 2 * max(x - a, 0.0) ** 2 for p, a in self.points)
        value = m * x**2 / 2 + v * x**3 / 6
        for w, a, b in self.uniforms:
            value -= w / 24 * (max(x - a, 0.0) ** 4 - max(x - b, 0.0) ** 4)
        return value - sum(p / 6 * max(x - a, 0.0) ** 3 for p, a in self.points)

    def slope(self, x: float) -> float:
        """EI times the slope, positive when the beam runs downward."""
        return self._bent(self.length, 2) / self.length - self._bent(x, 1)

    def sag(self, x: float) -> float:
        """EI times the deflection."""
        return self._bent(self.length, 2) * x / self.length - self._bent(x, 2)

    def breaks(self) -> list[float]:
        """Where the load changes, the two ends included."""
        marks = {0.0, self.length}
        for _, a, b in self.uniforms:
            marks |= {a, b}
        return sorted(marks | {a for _, a in self.points})

    def turning_points(self) -> list[float]:
        """Every place where the moment can be greatest: ends, loads, and zero shear."""
        marks = self.breaks()
        found = list(marks)
        for left, right in pairwise(marks):
            middle = (left + right) / 2
            rate = sum(w for w, a, b in self.uniforms if a <= middle < b)
            if rate > SMALL or rate < -SMALL:
                zero = left + self.shear(left) / rate
                if left < zero < right:
                    found.append(zero)
        return sorted(found)

    def sag_points(self) -> list[float]:
        """Places of level slope: between turning points of the moment the slope is monotone."""
        marks = self.turning_points()
        marks += [x for pair in pairwise(marks) for x in self._moment_zero(pair)]
        marks.sort()
        found = list(marks)  # a slope may be level exactly at a mark
        for left, right in pairwise(marks):
            if self.slope(left) * self.slope(right) < 0:
                found.append(_root(self.slope, left, right))
        return found

    def _moment_zero(self, pair: tuple[float, float]) -> list[float]:
        left, right = pair
        if self.moment(left) * self.moment(right) < 0:
            return [_root(self.moment, left, right)]
        return []


def _span(
    length: float,
    uniforms: tuple[tuple[float, float, float], ...],
    points: tuple[tuple[float, float], ...],
    left_moment: float = 0.0,
    right_moment: float = 0.0,
) -> _Span:
    """A span with the shear at its left end: its reaction alone, and the end moments' couple."""
    even = sum(w * (b - a) * (length - (a + b) / 2) for w, a, b in uniforms)
    alone = (even + sum(p * (length - a) for p, a in points)) / length
    shear = alone + (right_moment - left_moment) / length
    return _Span(length, uniforms, points, left_moment, right_moment, shear)


def _root(function: Callable[[float], float], left: float, right: float) -> float:
    """Where a function with one change of sign is 0: false position, halving a stuck end."""
    at_left, at_right, narrow = function(left), function(right), SMALL * (right - left)
    side = 0
    for _ in range(100):
        middle = (left * at_right - right * at_left) / (at_right - at_left)
        value = function(middle)
        if value == 0 or right - left <= narrow:
            return middle
        if (value < 0) == (at_left < 0):
            if abs(middle - left) <= narrow:
                return middle
            left, at_left = middle, value
            at_right, side = (at_right / 2 if side == 1 else at_right), 1
        else:
            if abs(right - middle) <= narrow:
                return middle
            right, at_right = middle, value
            at_left, side = (at_left / 2 if side == -1 else at_left), -1
    return (left + right) / 2


@dataclass(frozen=True, slots=True)
class Beam:
    """A solved beam on two or more supports.

    ``reactions_lb`` run from left to right, upward positive.
    """

    supports_in: tuple[float, ...]
    reactions_lb: tuple[float, ...]
    _spans: tuple[_Span, ...] = field(repr=False)

    def _at(self, x: float) -> tuple[_Span, float]:
        index = min(max(bisect_right(self.supports_in, x) - 1, 0), len(self._spans) - 1)
        return self._spans[index], x - self.supports_in[index]

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

    def greatest_deflection_in(self, ei_lb_in2: float) -> float:
        """Largest deflection anywhere, without sign."""
        places = [(span, x) for span in self._spans for x in span.sag_points()]
        return max((abs(span.sag(x)) for span, x in places), default=0.0) / ei_lb_in2


def solve(
    spans_in: tuple[float, ...],
    uniforms: tuple[Uniform, ...] = (),
    points: tuple[Point, ...] = (),
) -> Beam:
    """Solve a beam over ``spans_in`` (one or more), simply supported at every support.

    Raises :class:`InputError` for no span, a span of no length, or a load off the beam.
    """
    if not spans_in or any(not span > 0 for span in spans_in):
        raise refuse("span", f"{spans_in!r} has a span of no length", "expected lengths above 0")
    supports = (0.0, *accumulate(spans_in))
    end = supports[-1]
    for load in uniforms:
        if not -SMALL <= load.start_in <= load.end_in <= end + SMALL:
            text = f"load from {load.start_in:g} to {load.end_in:g} in lies off the beam"
            raise refuse("load", text, f"expected 0 to {end:g} in, start before end")
    for point in points:
        if not -SMALL <= point.at_in <= end + SMALL:
            text = f"point load at {point.at_in:g} in lies off the beam"
            raise refuse("load", text, f"expected 0 to {end:g} in")
    bare = [_loads_of(i, supports, uniforms, points) for i in range(len(spans_in))]
    moments = _support_moments(bare)
    spans = tuple(
        _span(span.length, span.uniforms, span.points, moments[i], moments[i + 1])
        for i, span in enumerate(bare)
    )
    reactions = [0.0] * len(supports)
    for i, span in enumerate(spans):
        reactions[i] += span.left_shear
        reactions[i + 1] -= span.right_shear
    return Beam(supports, tuple(reactions), spans)


def _loads_of(
    index: int,
    supports: tuple[float, ...],
    uniforms: tuple[Uniform, ...],
    points: tuple[Point, ...],
) -> _Span:
    left, right = supports[index], supports[index + 1]
    own = []
    for load in uniforms:
        start, end = max(load.start_in, left), min(load.end_in, right)
        if end > start:
            own.append((load.load_plf / 12, start - left, end - left))
    last = index == len(supports) - 2
    mine = [
        (load.load_lb, min(max(load.at_in - left, 0.0), right - left))
        for load in points
        # a load over an inner support belongs to the span on its right; it bends neither
        if left <= load.at_in < right or (last and load.at_in >= right) or load.at_in < left == 0
    ]
    return _span(right - left, tuple(own), tuple(mine))


def _support_moments(spans: list[_Span]) -> list[float]:
    # Equal rotation either side of each inner support:
    # M(i-1) L1 + 2 M(i) (L1 + L2) + M(i+1) L2 = -6 (rotation of the right end of span 1
    # taken alone + rotation of the left end of span 2 taken alone), both downward, times EI.
    count = len(spans) - 1
    if count == 0:
        return [0.0, 0.0]
    lower = [span.length for span in spans[:-1]]
    upper = [span.length for span in spans[1:]]
    middle = [2 * (a + b) for a, b in zip(lower, upper, strict=True)]
    right = [
        -6 * (-first.slope(first.length) + second.slope(0.0)) for first, second in pairwise(spans)
    ]
    for i in range(1, count):  # the matrix has three diagonals: eliminate downward, then go back
        factor = lower[i] / middle[i - 1]
        middle[i] -= factor * upper[i - 1]
        right[i] -= factor * right[i - 1]
    inner = [0.0] * count
    for i in reversed(range(count)):
        after = upper[i] * inner[i + 1] if i + 1 < count else 0.0
        inner[i] = (right[i] - after) / middle[i]
    return [0.0, *inner, 0.0]
