"""What each answer that might be given would tell the belief, beside what was told so far.

Many questions about one wall are worked out together, and so are many walls asked one
question: the arrays are (questions, walls, answers), and each row comes out the same to the
last bit whatever stands beside it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from walltriage.inference.belief.kernel import Joint, Told, Weighed
from walltriage.inference.columns.codes import Floats
from walltriage.inference.looks.conditions import Conditions, product, weighed
from walltriage.inference.looks.stack import Stack


@dataclass(frozen=True, slots=True)
class After:
    """What each answer does to some paths, (paths, q, k, answers) each: its chance where the path
    bears and where it is clear; 1 where a question does not touch the path."""

    if_bears: Floats
    if_clear: Floats


class WhatIf:
    """Answers to come, beside what ``n`` walls' people have told."""

    def __init__(self, conditions: Conditions, told: Told, told_so_far: Weighed) -> None:
        self._step, self._so_far = conditions.step, told_so_far
        known = conditions.known(told_so_far.joints, told.walls)
        self._top, self._rest, self._by_top = known.top, known.rest, known.by_top
        self._hidden = conditions.hiding_all(known.top)
        self._bears, self._clear = conditions.sides(told)

    def after(self, stack: Stack, rows: np.ndarray) -> After:
        """What the answers would do to each path of the stack at these ``k`` walls."""
        clues, cells = stack.clues, stack.cells
        along = clues.along | self._by_top[clues.places]
        apart, split = along[:, None, None], bool(along.any())
        seen, missed = self._changed(stack, rows, split)
        paths = [self._step.paths[column] for column in stack.columns]
        part = self._so_far.part[rows][:, None]
        found = []
        for side in range(2):
            shape = len(cells[0]), len(rows), stack.given.shape[2]
            factor = np.ones(shape)
            both = np.array([
                [group[side][rows] for group in self._so_far.groups[path][1:]] for path in paths
            ])[cells[0], :, :, None]  # fmt: skip
            before = (1 - part) * both[:, 0] + part * both[:, 1]
            whole, hidden = both[:, 0], both[:, 1]
            if split:
                whole, hidden = (np.broadcast_to(one, shape).copy() for one in (whole, hidden))
            one = np.where(apart, 1.0, seen[side]) if split else seen[side]
            for at, which in stack.turns:
                factor[at] *= one[which]
            if split:
                together, unseen = (np.where(apart, s[side], 1.0) for s in (seen, missed))
                for at, which in stack.turns:
                    whole[at] *= together[which]
                    hidden[at] *= unseen[which]
            now = (1 - part) * whole + part * hidden
            after = np.ones((len(paths), len(stack.questions), *shape[1:]))
            after[cells] = factor * now / before
            found.append(after)
        return After(*found)

    def _changed(
        self, stack: Stack, rows: np.ndarray, split: bool
    ) -> tuple[list[Floats], list[Floats]]:
        """By how much each clue's answers (t, k, answers) multiply both sides of its path, if the
        whole top was seen and, where that makes a difference, if a part was."""
        clues = stack.clues
        top, rest = (_cut(part, clues.places, rows) for part in (self._top, self._rest))
        new_top, new_rest = product(top, clues.top), product(rest, clues.rest)
        sides = [_cut(side, clues.pairs, rows) for side in (self._bears, self._clear)]
        before, now = product(top, rest), product(new_top, new_rest)
        seen = [weighed(side, now) / weighed(side, before) for side in sides]
        if not split:
            return seen, seen
        hidden = _cut(self._hidden, clues.places, rows)
        new_hidden = [np.repeat(one, stack.given.shape[2], axis=2) for one in hidden]
        along = [clues.along[: len(one)] for one in new_top]
        unseen = clues.hiding([one[a] for one, a in zip(new_top, along, strict=True) if a.any()])
        for target, which, column in zip(new_hidden, along, unseen, strict=False):
            target[which] = column
        before = product(self._hidden_or_whole(hidden, top, clues.places), rest)
        now = product(new_hidden, new_rest)
        return seen, [weighed(side, now) / weighed(side, before) for side in sides]

    def _hidden_or_whole(self, hidden: Joint, top: Joint, places: np.ndarray) -> Joint:
        """What a partial look shows; where there was none, what was known moves from one group
        to the other as it is."""
        by_top = self._by_top[places][:, None, None]
        return [
            np.where(by_top[: len(one)], one, other) for one, other in zip(hidden, top, strict=True)
        ]


def _cut(columns: Joint, which: np.ndarray, rows: np.ndarray) -> Joint:
    """Some rows and walls of columns (c, n) by state, each (k, walls, 1)."""
    found = []
    for column in columns:
        some = column[which[which < len(column)]]
        if not len(some):  # none has so many states
            break
        found.append((some if some.shape[1] == 1 else some[:, rows])[:, :, None])
    return found
