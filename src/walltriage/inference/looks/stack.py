"""Questions worked out together: what each answer to each of them would tell of which path."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from walltriage.case.model import DEGREES
from walltriage.inference.belief.evidence import told_as
from walltriage.inference.belief.kernel import Joint, Kernel
from walltriage.inference.columns.codes import Bools, Floats
from walltriage.inference.looks.conditions import Conditions, Hiding

CERTAIN = DEGREES.index("certain")


@dataclass(frozen=True, slots=True)
class Touch:
    """One path that one of a question's clues touches."""

    path: str
    column: int
    condition: str
    clue: str


@dataclass(frozen=True, slots=True)
class Clues:
    """Clues by what they touch: ``t`` of them, a path's condition each.

    ``pairs``, ``places`` (t,): the path's condition, and the condition, among all.  ``along``
    (t,): whether it is a look along the top.  ``top``, ``rest``: what it shows, by state (those
    with that state, 1, answers): 1 beyond a question's own answers, and where it is not such a
    look.  ``hiding`` is of those that are.
    """

    pairs: np.ndarray
    places: np.ndarray
    along: Bools
    top: Joint
    rest: Joint
    hiding: Hiding


@dataclass(frozen=True, slots=True)
class Stack:
    """``q`` questions worked out together, which touch ``p`` paths.

    ``given`` (q, 1, answers): 1 for the answers that a question has, 0 beyond.  ``columns`` (p,):
    the columns of the paths.  ``cells``: (p places, questions) of what is touched, and
    ``touched`` (p, q) the same.  ``turns``: what multiplies into the cells, one turn after the
    other: (cells, clues) each.
    """

    questions: tuple[str, ...]
    given: Floats
    columns: np.ndarray
    cells: tuple[np.ndarray, np.ndarray]
    touched: Bools
    clues: Clues
    turns: tuple[tuple[np.ndarray, np.ndarray], ...]

    @classmethod
    def of(cls, conditions: Conditions, touches: Mapping[str, Sequence[Touch]]) -> Stack:
        """These questions, each with what its clues touch."""
        kernel = conditions.step.kernel
        answers = [_answers(kernel, own[0].clue) for own in touches.values()]
        which = _order(touches)
        every = [
            (conditions.pair_at[conditions.place[touch.condition], touch.column], place, touch)
            for place, own in enumerate(touches.values())
            for touch in own
        ]
        every.sort(key=lambda one: one[:2])
        columns = sorted({touch.column for _, _, touch in every})
        cells = sorted({(columns.index(touch.column), place) for _, place, touch in every})
        of_cell: dict[tuple[int, int], list[tuple[tuple[str, int, bool], int]]] = {}
        for index, (_, place, touch) in enumerate(every):
            turn = touch.condition, which[touch.clue], kernel.clues[touch.clue].along_top
            of_cell.setdefault((columns.index(touch.column), place), []).append((turn, index))
        orders = [[index for _, index in sorted(of_cell[cell])] for cell in cells]
        turns = []
        for nth in range(max(map(len, orders))):
            now = [(cell, order[nth]) for cell, order in enumerate(orders) if len(order) > nth]
            turns.append((np.array([cell for cell, _ in now]), np.array([one for _, one in now])))
        given = np.arange(max(answers))[None, :] < np.array(answers)[:, None]
        touched = np.zeros((len(columns), len(answers)), bool)
        at = np.array([p for p, _ in cells]), np.array([q for _, q in cells])
        touched[at] = True
        clues = _clues(conditions, [(pair, touch) for pair, _, touch in every], max(answers))
        return cls(
            tuple(touches), given[:, None, :].astype(float), np.array(columns), at, touched, clues,
            tuple(turns),
        )  # fmt: skip


def _answers(kernel: Kernel, clue: str) -> int:
    return (kernel.clues[clue].table.shape[1] - 1) // len(DEGREES)


def _order(touches: Mapping[str, Sequence[Touch]]) -> dict[str, int]:
    """For each clue, which of its question's clues of its condition it is."""
    found: dict[str, int] = {}
    for own in touches.values():
        count: dict[str, int] = {}
        for touch in own:
            if touch.clue not in found:
                found[touch.clue] = count[touch.condition] = count.get(touch.condition, 0) + 1
    return found


def _clues(conditions: Conditions, every: list[tuple[int, Touch]], most: int) -> Clues:
    kernel = conditions.step.kernel
    pairs = np.array([pair for pair, _ in every])
    places = conditions.of_pair[pairs]
    along = np.array([kernel.clues[touch.clue].along_top for _, touch in every])
    top, rest = (
        [np.ones((count, 1, most)) for count in conditions.counts(places)] for _ in range(2)
    )
    for row, (_, touch) in enumerate(every):
        of = top if along[row] else rest
        for state, shown in enumerate(told_as(kernel.clues[touch.clue].table, CERTAIN)):
            of[state][row, 0, : len(shown)] = shown
    return Clues(pairs, places, along, top, rest, conditions.hiding(places[along]))
