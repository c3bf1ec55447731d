"""One loaded span of a beam in closed form, and the free ends beside it.

Brackets vanish left of where a load begins.  Units as in ``structure/beams.py``, but loads per
inch.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import pairwise

SMALL = 1e-9


@dataclass(frozen=True, slots=True)
class LoadedSpan:
    """One span, or an overhang, with its loads in lb/in and its end moments; x from its left end.

    ``bend`` is EI times the slope and ``start`` EI times the deflection at the left end.
    """

    length: float
    uniforms: tuple[tuple[float, float, float], ...]
    points: tuple[tuple[float, float], ...]
    left_moment: float
    right_moment: float
    left_shear: float
    bend: float
    start: float = 0.0

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
        return self.bend - self._bent(x, 1)

    def sag(self, x: float) -> float:
        """EI times the deflection."""
        return self.start + self.bend * x - self._bent(x, 2)

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


def loaded_span(
    length: float,
    uniforms: tuple[tuple[float, float, float], ...],
    points: tuple[tuple[float, float], ...],
    left_moment: float = 0.0,
    right_moment: float = 0.0,
) -> LoadedSpan:
    """A span with the shear at its left end: its reaction alone, and the end moments' couple."""
    even = sum(w * (b - a) * (length - (a + b) / 2) for w, a, b in uniforms)
    alone = (even + sum(p * (length - a) for p, a in points)) / length
    shear = alone + (right_moment - left_moment) / length
    held = length, uniforms, points, left_moment, right_moment, shear
    return LoadedSpan(*held, -LoadedSpan(*held, 0.0).sag(length) / length)  # level at both ends


def left_overhang(
    length: float,
    uniforms: tuple[tuple[float, float, float], ...],
    points: tuple[tuple[float, float], ...],
    slope: float = 0.0,
) -> LoadedSpan:
    """A free end that runs to the first support, where EI times the slope is ``slope``."""
    flat = LoadedSpan(length, uniforms, points, 0.0, 0.0, 0.0, 0.0)
    held = replace(flat, right_moment=flat.moment(length), bend=slope - flat.slope(length))
    return replace(held, start=-held.sag(length))


def right_overhang(
    length: float,
    uniforms: tuple[tuple[float, float, float], ...],
    points: tuple[tuple[float, float], ...],
    slope: float = 0.0,
) -> LoadedSpan:
    """A free end beyond the last support, where EI times the slope is ``slope``."""
    total = sum(w * (b - a) for w, a, b in uniforms) + sum(p for p, _ in points)
    moment = sum(w * (b - a) * (a + b) / 2 for w, a, b in uniforms)
    moment += sum(p * a for p, a in points)
    return LoadedSpan(length, uniforms, points, -moment, 0.0, total, slope)


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
