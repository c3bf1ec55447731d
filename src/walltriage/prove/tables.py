"""Lemmas about single tables, which carry the properties of whole paths."""

from __future__ import annotations

from itertools import pairwise

from walltriage.language import say
from walltriage.prove.prover import Proof, Prover

ALMOST = 1e-12


def monotone(prover: Prover) -> Proof:
    """Every adjacent two-by-two minor of every condition whose states are a scale, and of its
    clues, is at least 0, and the states of every other stand in order.

    So within one condition no answer that speaks for a path lowers it.  Across the conditions
    of one look it may make the look doubtful; there the rules ask for the upper bound without it.
    """
    looked, broken = 0, []
    for path, tables in prover.encoding.belief.tables.items():
        for name, table in tables.items():
            pairs = [(s.not_bearing, s.bearing, f"{path}.{name}") for s in table.every_sides()]
            for clue, rows in table.rows.items() if table.ordered else ():
                by_state = list(zip(*rows.values(), strict=True))
                pairs += [(low, high, clue) for low, high in pairwise(by_state)]
            for low, high, where in pairs:
                for i, j in pairwise(range(len(low))):
                    looked += 1
                    if low[i] * high[j] < low[j] * high[i] - ALMOST:
                        broken.append(where)
    fine = say("{count} minors, none negative", count=looked)
    return Proof(not broken, ", ".join(sorted(set(broken))) or fine)
