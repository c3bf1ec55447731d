"""Whole-number bounds from below on what a condition can weigh."""

from __future__ import annotations

import math

import z3

from walltriage.inference.belief.tree import TEN_LOG, ConditionTable, decibans

SCALE = 100  # hundredths of a deciban, rounded down: a bound stays a bound
STEP = 2 * SCALE  # between the marks at which a weight is worked out
MOST_AGAINST = 24 * SCALE  # a sum under this counts as without end


def least_weight(table: ConditionTable, total: z3.ArithRef) -> z3.ArithRef:
    """A bound from below on a condition's weight by the sum of its answers' log-ratios.

    With two states the weight is a rising function of that sum, so between two marks it is no
    less than at the lower one.  With more it falls no faster than the sum, where the states are a
    scale; else the sum is of the least ratios between any two states, and bounds it too.  Never
    is it under the condition's cap.  What a look at a part of the top shows lies between the
    states, so that it only weighs nearer to nothing.
    """
    ratios = [
        b / n for s in table.every_sides() for b, n in zip(s.bearing, s.not_bearing, strict=True)
    ]
    cap = down(TEN_LOG * math.log10(min(ratios)))
    if len(table.bearing) > 2 or table.where:
        return z3.If(total <= cap, cap, z3.If(total <= 0, total, 0))
    weight: z3.ArithRef = z3.IntVal(0)
    for mark in range(0, MOST_AGAINST, STEP):  # the outermost If is that of the lowest mark
        under = total < 0 if mark == 0 else total <= -mark
        weight = z3.If(under, down(_two_states(table, -(mark + STEP) / SCALE)), weight)
    return z3.If(total <= -MOST_AGAINST, cap, weight)


def _two_states(table: ConditionTable, sum_db: float) -> float:
    """The weight of a condition of two states whose answers' log-ratios have this sum."""
    ratio = 10 ** (sum_db / TEN_LOG)
    bearing = table.bearing[0] + table.bearing[1] * ratio
    return decibans(bearing, table.not_bearing[0] + table.not_bearing[1] * ratio)


def down(weight_db: float) -> int:
    """Hundredths of a deciban, rounded down."""
    return math.floor(weight_db * SCALE)


def up(weight_db: float) -> int:
    """Hundredths of a deciban, rounded up."""
    return math.ceil(weight_db * SCALE)
