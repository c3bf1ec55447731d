"""Lemmas about single tables, which carry the properties of whole paths."""

from __future__ import annotations

from itertools import pairwise

from walltriage.prove.prover import Proof, Prover

ALMOST = 1e-12
MOST_AGAINST_DB = 12.0  # what one condition may weigh against its path


def monotone(prover: Prover) -> Proof:
    """Every adjacent two-by-two minor of every clue and condition table is at least 0."""
    looked, broken = 0, []
    for path, tables in prover.encoding.belief.tables.items():
        for name, table in tables.items():
            pairs = [(table.not_bearing, table.bearing, f"{path}.{name}")]
            for clue, rows in table.rows.items():
                by_state = list(zip(*rows.values(), strict=True))
                pairs += [(low, high, clue) for low, high in pairwise(by_state)]
            for low, high, where in pairs:
                for i, j in pairwise(range(len(low))):
                    looked += 1
                    if low[i] * high[j] < low[j] * high[i] - ALMOST:
                        broken.append(where)
    told = ", ".join(sorted(set(broken))) or f"{looked} minors, none negative"
    return Proof(not broken, told)


def capped(prover: Prover) -> Proof:
    """No single condition can bring a path from its least base rate to "ruled out"."""
    mark = prover.base.guards.thresholds["path_ruled_out_at_most"]
    heavy = []
    for path, tables in prover.encoding.belief.tables.items():
        for name, table in tables.items():
            ratios = [b / n for b, n in zip(table.bearing, table.not_bearing, strict=True)]
            if min(ratios) < 10 ** (-MOST_AGAINST_DB / 10) - ALMOST:
                heavy.append(f"{path}.{name}")
    told = ", ".join(heavy) or (
        f"none speaks against by over {MOST_AGAINST_DB:g} decibans (mark {mark:g})"
    )
    return Proof(not heavy, told)
