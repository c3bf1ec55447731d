"""What each answer that might be given would tell the belief, beside what was told so far."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from walltriage.case.model import SURENESS
from walltriage.inference.belief.kernel import (
    Joints,
    Pair,
    Told,
    evidence_code,
    joined_looks,
    weighed,
)
from walltriage.inference.belief.step import BeliefStep
from walltriage.inference.columns.codes import Floats

CERTAIN = SURENESS.index("certain")


@dataclass(frozen=True, slots=True)
class Touch:
    """One path that one of a question's clues touches."""

    path: str
    column: int
    condition: str
    clue: str


@dataclass(slots=True)
class After:
    """What each answer of a question does to one path, (k, values) each: its chance where the
    path bears and where it is clear."""

    if_bears: Floats
    if_clear: Floats


class WhatIf:
    """Answers to come, beside what ``n`` walls' people have told."""

    def __init__(self, step: BeliefStep, told: Told) -> None:
        self.step, self.told = step, told
        self.joints = step.kernel.joints(told)
        self.part = step.kernel.seen_in_part(told)
        self.groups = {path: step.kernel.groups(path, told, self.joints) for path in step.paths}

    def after(self, touches: Iterable[Touch], rows: np.ndarray) -> dict[int, After]:
        """By path (its column): the chances of each answer where it bears and where it is clear."""
        by_path: dict[str, list[Touch]] = {}
        for touch in touches:
            by_path.setdefault(touch.path, []).append(touch)
        found = {}
        part = self.part[rows][:, None]
        for path, own in by_path.items():
            _, whole, hidden = self.groups[path]
            sides = [[side[rows][:, None] for side in pair] for pair in (whole, hidden)]
            before = [(1 - part) * w + part * h for w, h in zip(*sides, strict=True)]
            factor: list[Floats] = [np.ones((1, 1)), np.ones((1, 1))]
            for touch in own:
                seen, missed = self._changed(touch, rows)
                for side in range(2):
                    if missed is None:
                        factor[side] = factor[side] * seen[side]
                    else:
                        sides[0][side] = sides[0][side] * seen[side]
                        sides[1][side] = sides[1][side] * missed[side]
            now = [(1 - part) * w + part * h for w, h in zip(*sides, strict=True)]
            found[own[0].column] = After(
                factor[0] * now[0] / before[0], factor[1] * now[1] / before[1]
            )
        return found

    def _changed(self, touch: Touch, rows: np.ndarray) -> tuple[Pair, Pair | None]:
        """By how much each answer to a clue multiplies both sides of its condition (k, values),
        if the whole top was seen and if a part was; None where no partial look matters."""
        kernel = self.step.kernel
        clue = kernel.clues[touch.clue]
        table = self.step.belief.tables[touch.path][touch.condition]
        answers = (clue.table.shape[1] - 1) // len(SURENESS)
        codes = [evidence_code(answer, CERTAIN) for answer in range(answers)]
        shown = [row[codes][None, :] for row in clue.table]  # (1, values) for each state
        sides = [
            (_rows(bears, rows), _rows(clear, rows))
            for bears, clear in kernel.sides(touch.path, touch.condition, self.told)
        ]
        joint = self.joints.get(touch.condition)
        known = _at(joint, rows) if joint is not None else None
        one = [np.ones((1, 1))] * len(shown)
        yes = np.ones((1, 1), bool)
        before = known or Joints(None, one, one, one, yes, ~yes)
        top, rest = before.top, before.rest
        if clue.along_top:
            top = [a * b for a, b in zip(top, shown, strict=True)] if top else shown
        else:
            rest = [a * b for a, b in zip(rest, shown, strict=True)] if rest else shown
        after = joined_looks(table, top, rest, yes, yes)
        seen = _over(weighed(sides, after.whole), weighed(sides, before.whole))
        if after.top is None:
            return seen, None
        if before.top is None:  # what was known moves from one group to the other
            was = weighed(sides, before.whole)
            return seen, _over(weighed(sides, after.partly), was)
        return seen, _over(weighed(sides, after.partly), weighed(sides, before.partly))


def _rows(column: Floats, rows: np.ndarray) -> Floats:
    return column[:, None] if len(column) == 1 else column[rows][:, None]


def _at(joint: Joints, rows: np.ndarray) -> Joints:
    def cut(part: list[Floats] | None) -> list[Floats] | None:
        return None if part is None else [column[rows][:, None] for column in part]

    whole, partly = cut(joint.whole), cut(joint.partly)
    assert whole is not None
    assert partly is not None
    told = (joint.met[rows][:, None], joint.along[rows][:, None])
    return Joints(cut(joint.top), cut(joint.rest), whole, partly, *told)


def _over(now: Pair, before: Pair) -> Pair:
    return now[0] / before[0], now[1] / before[1]
