"""What each answer that might be given would tell the belief, beside what was told so far.

Many questions about one wall are worked out together, and so are many walls asked one
question: the arrays are (questions, walls, answers), and each row comes out the same to the
last bit whatever stands beside it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from walltriage.case.model import DEGREES
from walltriage.inference.belief.kernel import (
    Joints,
    Kernel,
    Pair,
    Told,
    evidence_code,
    joined_looks,
    weighed,
)
from walltriage.inference.belief.step import BeliefStep
from walltriage.inference.columns.codes import Bools, Floats

CERTAIN = DEGREES.index("certain")


@dataclass(frozen=True, slots=True)
class Touch:
    """One path that one of a question's clues touches."""

    path: str
    column: int
    condition: str
    clue: str


@dataclass(frozen=True, slots=True)
class Look:
    """Clues of one condition, one each of the questions ``at`` these places of a stack.

    ``shown``: P(answer | state) by state, each (clues, 1, answers); 1 beyond a question's own.
    """

    condition: str
    along_top: bool
    at: np.ndarray | slice
    shown: list[Floats]


@dataclass(frozen=True, slots=True)
class Column:
    """What a stack does to one path: the questions that touch it (q,), and by which looks."""

    path: str
    touched: Bools
    looks: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Stack:
    """``q`` questions worked out together.

    ``given`` (q, 1, answers): 1 for the answers that a question has, 0 beyond.  ``columns``:
    by the path's column.
    """

    questions: tuple[str, ...]
    given: Floats
    looks: tuple[Look, ...]
    columns: dict[int, Column]

    @classmethod
    def of(cls, kernel: Kernel, touches: Mapping[str, Sequence[Touch]]) -> Stack:
        """These questions, each with what its clues touch."""
        answers = [_answers(kernel, own[0].clue) for own in touches.values()]
        groups: dict[tuple[str, int], list[tuple[int, str]]] = {}
        for place, own in enumerate(touches.values()):
            count: dict[str, int] = {}
            for touch in {touch.clue: touch for touch in own}.values():
                nth = count[touch.condition] = count.get(touch.condition, 0) + 1
                groups.setdefault((touch.condition, nth), []).append((place, touch.clue))
        parts = {}
        for (condition, nth), members in groups.items():
            for along in (False, True):
                some = [one for one in members if kernel.clues[one[1]].along_top == along]
                if some:
                    parts[condition, nth, along] = some
        keys = sorted(parts)  # in this order factors are multiplied, in any stack
        looks = [_look(kernel, key[0], key[2], parts[key], answers) for key in keys]
        columns = {}
        for column, path in sorted({(t.column, t.path) for own in touches.values() for t in own}):
            within = {t.condition for own in touches.values() for t in own if t.path == path}
            touched = np.array([any(t.path == path for t in own) for own in touches.values()])
            of = tuple(index for index, key in enumerate(keys) if key[0] in within)
            columns[column] = Column(path, touched, of)
        given = np.arange(max(answers))[None, :] < np.array(answers)[:, None]
        return cls(tuple(touches), given[:, None, :].astype(float), tuple(looks), columns)


def _answers(kernel: Kernel, clue: str) -> int:
    return (kernel.clues[clue].table.shape[1] - 1) // len(DEGREES)


def _look(
    kernel: Kernel, condition: str, along: bool, members: list[tuple[int, str]], answers: list[int]
) -> Look:
    states = len(kernel.clues[members[0][1]].table)
    shown = [np.ones((len(members), 1, max(answers))) for _ in range(states)]
    for row, (place, clue) in enumerate(members):
        codes = [evidence_code(answer, CERTAIN) for answer in range(answers[place])]
        for state, table in zip(shown, kernel.clues[clue].table, strict=True):
            state[row, 0, : answers[place]] = table[codes]
    at = np.array([place for place, _ in members])
    return Look(condition, along, slice(None) if len(at) == len(answers) else at, shown)


@dataclass(slots=True)
class After:
    """What each answer does to one path, (q, k, answers) each: its chance where the path bears
    and where it is clear; 1 where a question does not touch the path."""

    if_bears: Floats
    if_clear: Floats


class WhatIf:
    """Answers to come, beside what ``n`` walls' people have told."""

    def __init__(self, step: BeliefStep, told: Told) -> None:
        self.step, self.told = step, told
        self.joints = step.kernel.joints(told)
        self.part = step.kernel.seen_in_part(told)
        self.groups = {path: step.kernel.groups(path, told, self.joints) for path in step.paths}

    def after(self, stack: Stack, rows: np.ndarray) -> dict[int, After]:
        """By path (its column): what the answers would do to it at these ``k`` walls."""
        part = _cut(self.part, rows)
        shape = (len(stack.questions), len(rows), stack.given.shape[2])
        joined = [self._joined(look, rows) for look in stack.looks]
        found = {}
        for column, of in stack.columns.items():
            _, whole, hidden = self.groups[of.path]
            sides = [[_cut(side, rows) for side in pair] for pair in (whole, hidden)]
            before = [(1 - part) * w + part * h for w, h in zip(*sides, strict=True)]
            factor = [np.ones(shape), np.ones(shape)]
            in_part = False
            for index in of.looks:
                look = stack.looks[index]
                seen, missed = self._changed(of.path, look.condition, *joined[index], rows)
                if missed is not None and not in_part:
                    in_part = True
                    sides = [[np.broadcast_to(s, shape).copy() for s in pair] for pair in sides]
                for side in range(2):
                    if missed is None:
                        factor[side][look.at] *= seen[side]
                    else:
                        sides[0][side][look.at] *= seen[side]
                        sides[1][side][look.at] *= missed[side]
            now = [(1 - part) * w + part * h for w, h in zip(*sides, strict=True)]
            found[column] = After(factor[0] * now[0] / before[0], factor[1] * now[1] / before[1])
        return found

    def _joined(self, look: Look, rows: np.ndarray) -> tuple[Joints, Joints]:
        """What is known of a condition (1, k, 1), and what would be (clues, k, answers)."""
        joint = self.joints.get(look.condition)
        one = [np.ones((1, 1, 1))] * len(look.shown)
        yes = np.ones((1, 1, 1), bool)
        before = Joints(None, one, one, one, yes, ~yes) if joint is None else _at(joint, rows)
        top, rest = before.top, before.rest
        if look.along_top:
            top = [a * b for a, b in zip(top, look.shown, strict=True)] if top else look.shown
        else:
            rest = [a * b for a, b in zip(rest, look.shown, strict=True)] if rest else look.shown
        # what a part of the top hides is told alike for all paths
        table = next(
            tables[look.condition]
            for tables in self.step.belief.tables.values()
            if look.condition in tables
        )
        return before, joined_looks(table, top, rest, yes, yes)

    def _changed(
        self, path: str, condition: str, before: Joints, after: Joints, rows: np.ndarray
    ) -> tuple[Pair, Pair | None]:
        """By how much each answer multiplies both sides of a path's condition, if the whole
        top was seen and if a part was; None where no partial look matters."""
        sides = [
            (_rows(bears, rows), _rows(clear, rows))
            for bears, clear in self.step.kernel.sides(path, condition, self.told)
        ]
        known = weighed(sides, before.whole)
        seen = _over(weighed(sides, after.whole), known)
        if after.top is None:
            return seen, None
        if before.top is None:  # what was known moves from one group to the other
            return seen, _over(weighed(sides, after.partly), known)
        return seen, _over(weighed(sides, after.partly), weighed(sides, before.partly))


def _cut(column: np.ndarray, rows: np.ndarray) -> np.ndarray:
    """Some walls of a column (n,), as (1, k, 1)."""
    return column[rows][None, :, None]


def _rows(column: Floats, rows: np.ndarray) -> Floats:
    return column[None, :, None] if len(column) == 1 else _cut(column, rows)


def _at(joint: Joints, rows: np.ndarray) -> Joints:
    def cut(part: list[Floats] | None) -> list[Floats] | None:
        return None if part is None else [_cut(column, rows) for column in part]

    whole, partly = cut(joint.whole), cut(joint.partly)
    assert whole is not None
    assert partly is not None
    told = (_cut(joint.met, rows), _cut(joint.along, rows))
    return Joints(cut(joint.top), cut(joint.rest), whole, partly, *told)


def _over(now: Pair, before: Pair) -> Pair:
    return now[0] / before[0], now[1] / before[1]
