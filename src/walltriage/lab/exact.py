"""Exact one-sided bounds for shares (Clopper and Pearson 1934), by bisection on the binomial."""

from __future__ import annotations

import math

CONFIDENCE = 0.95
_STEPS = 200


def at_most(count: int, of: int, share: float) -> float:
    """P(X <= count) for X binomial with ``of`` trials and chance ``share``."""
    if share <= 0 or count >= of:
        return 1.0
    if share >= 1 or count < 0:
        return 0.0
    log_yes, log_no = math.log(share), math.log1p(-share)
    whole = math.lgamma(of + 1)
    terms = [
        whole - math.lgamma(k + 1) - math.lgamma(of - k + 1) + k * log_yes + (of - k) * log_no
        for k in range(count + 1)
    ]
    top = max(terms)
    return min(1.0, math.exp(top) * math.fsum(math.exp(term - top) for term in terms))


def upper(count: int, of: int, confidence: float = CONFIDENCE) -> float:
    """The largest share that ``count`` of ``of`` does not refute; 1.0 when ``of`` is 0.

    Raises :class:`ValueError` for a count that is not between 0 and ``of``.
    """
    if not 0 <= count <= of:
        raise ValueError(f"{count} of {of} is not a share")
    if count == of:
        return 1.0
    if count == 0:
        return 1.0 - float((1.0 - confidence) ** (1.0 / of))
    low, high = count / of, 1.0
    for _ in range(_STEPS):
        middle = (low + high) / 2
        if middle in (low, high):
            break
        if at_most(count, of, middle) > 1 - confidence:
            low = middle
        else:
            high = middle
    return high


def order_statistic(scores: int, share: float, confidence: float = CONFIDENCE) -> int:
    """The largest k with P(Bin(scores, share) <= k - 1) <= 1 - confidence; 0 when there is none.

    With the k-th smallest score of that many bearing walls as the cut (strictly under it is
    "non-bearing"), the share of bearing walls under the cut is at most ``share`` with that
    confidence (Tong, Feng and Li 2018).
    """
    k = 0
    while k < scores and at_most(k, scores, share) <= 1 - confidence:
        k += 1
    return k
