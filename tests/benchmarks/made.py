"""Made walls that benchmarks share."""

from __future__ import annotations

import numpy as np

from walltriage.inference.columns.codes import Batch

SHARE = 0.3  # of all questions answered: a long interview
MAKE = 4000  # different walls; larger batches repeat them in random order


def repeated(batch: Batch, walls: int) -> Batch:
    """A batch of so many walls, drawn from a smaller one."""
    rows = np.random.default_rng(walls).integers(0, len(batch), walls)
    parts = (batch.codes[rows], batch.sure[rows], batch.numbers[rows])
    return Batch(*(np.asfortranarray(part) for part in parts))
