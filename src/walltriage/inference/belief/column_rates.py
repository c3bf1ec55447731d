"""Base rates of load paths in column form."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from walltriage.errors import InputError, Problem
from walltriage.inference.belief.tree import logit_db
from walltriage.inference.columns.codes import Floats
from walltriage.inference.engine.evaluate import posterior
from walltriage.knowledge.base import KnowledgeBase


@dataclass(frozen=True, slots=True)
class Rates:
    """Base rates of a path in load order.

    ``positions`` of their rules; ``odds`` (2, rates): lowest and highest; ``exact``
    (2, rates): the posterior without any evidence, to the last bit of the reference.
    """

    positions: list[int]
    odds: Floats
    exact: Floats


def rates_of(base: KnowledgeBase, path: str, position: dict[str, int]) -> Rates:
    """The base rates of a path, given the place of each rule; :class:`InputError` when none of
    them is sure to hold."""
    rates = [rate for rate in base.paths[path].entry.base_rates if rate.id in position]
    if not any(rate.when is None for rate in rates):
        place = base.places.get(path, ("rules", 0, 0))
        what = f"no base rate of '{path}' holds for every wall"
        raise InputError(Problem(*place, what, "expected one without 'when', not retired"))
    exact = np.array([posterior(rate, 0.0) for rate in rates])
    odds = [
        [10 ** (logit_db(min(max(share / 100, 1e-6), 1 - 1e-6)) / 10) for share in rate.in_100]
        for rate in rates
    ]
    return Rates([position[rate.id] for rate in rates], np.array(odds).T.copy(), exact.T.copy())
