"""Computed answers for many walls: the same function as for one, once for each set of inputs.

Many walls share their measurements' codes, and most have none, so the function is called
for distinct inputs only.
"""

from __future__ import annotations

import numpy as np

from walltriage.inference import computed
from walltriage.study.codes import NOT_ASKED, Batch, Coder


def fill_computed(coder: Coder, batch: Batch) -> None:
    """Set the computed questions' codes of a batch in place, from its other answers."""
    reads = computed.computed_from(coder.base)
    columns = [coder.column[name] for name in coder.questions if name in reads]
    if not columns or not len(batch):
        return
    numbers = [coder.number_column[name] for name in coder.number_column if name in reads]
    values = batch.numbers[:, numbers]
    inputs = np.hstack([
        batch.codes[:, columns], batch.sure[:, columns],
        np.ascontiguousarray(values).view(np.uint8).reshape(len(batch), -1),
    ])  # fmt: skip
    _, first, which = np.unique(inputs, axis=0, return_index=True, return_inverse=True)
    order = np.argsort(which.ravel(), kind="stable")
    groups = np.split(order, np.cumsum(np.bincount(which.ravel()))[:-1])
    one = coder.empty(1)
    for row, rows in zip(first, groups, strict=True):
        if not (batch.codes[row, columns] != NOT_ASKED).any():
            continue
        answers = coder.decode(batch, int(row))
        given = {name: answer for name, answer in answers.items() if name in reads}
        for name, answer in computed.computed_answers(coder.base, given).items():
            column = coder.column[name]
            coder.put(one, 0, name, answer)
            batch.codes[rows, column] = one.codes[0, column]
            batch.sure[rows, column] = one.sure[0, column]
            if name in coder.number_column:
                number = coder.number_column[name]
                batch.numbers[rows, number] = one.numbers[0, number]
