"""Every answer that a simulated person can give, at once, with the truth beside it; kept on disk.

No planner asks here: what applies and is in reach is answered.  So beliefs can be compared on
the same answers in seconds, also after questions have been added (they are matched by id).
"""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Literal

import numpy as np

from walltriage.case.model import Answer
from walltriage.inference.columns.codes import (
    FIRST_VALUE,
    NO_BAND,
    UNKNOWN,
    Batch,
    Bools,
    Coder,
)
from walltriage.inference.columns.evaluator import ColumnEvaluator
from walltriage.lab.house.build import build_house, generator
from walltriage.lab.house.model import House, Wall
from walltriage.lab.house.truth import BEARING_PATHS, PATHS, truth
from walltriage.lab.looked_again import look_again
from walltriage.lab.mixes import Mix, kind_of
from walltriage.lab.reporter import ROLE, Person
from walltriage.lab.where_asked import where_asked

Reach = Literal["rooms", "attic", "opened"]
# The most effort of each reach: from where one stands; attic, upstairs and below too; a cover off.
EFFORT: dict[Reach, int] = {"rooms": 1, "attic": 2, "opened": 4}
# Framing seen: the look reached the joists or trusses at this wall's own top.
AT_THE_TOP = ("attic_joists_at_wall", "truss_at_wall", "opened_joist_end", "overhead_at_wall")
TWINS_FT = (2.5, 4.5)  # between the two walls of a hall
MakePerson = Callable[[House, Wall, int, int, int], Person]
"""Of a house, its wall, the wall's number, how many questions there are, the most effort."""


@dataclass(frozen=True, slots=True)
class Truth:
    """What was so at ``n`` walls.

    ``paths`` (n, 6): which load paths reach the wall, in the order of ``PATHS``.  ``kind``
    (n,): name of the kind of house.  ``twin`` (n,): another inside wall runs alongside at the
    width of a hall.  ``seen`` (n,): **framing seen** - the reporter told what the joists or
    trusses do at this wall's top (:data:`AT_THE_TOP`), rightly or wrongly, at the right place
    or not; "unknown" and "out of reach" are no look.
    """

    paths: Bools
    kind: np.ndarray
    twin: Bools
    seen: Bools

    def __len__(self) -> int:
        return len(self.kind)

    @property
    def bears(self) -> Bools:
        """Whether any path but bracing reaches the wall (n,)."""
        reached: Bools = np.any(self.paths[:, : len(BEARING_PATHS)], axis=1)
        return reached

    @property
    def braces_only(self) -> Bools:
        """Whether bracing is all that the wall does (n,)."""
        only: Bools = np.logical_and(self.paths[:, PATHS.index("bracing")], ~self.bears)
        return only

    @classmethod
    def joined(cls, parts: Sequence[Truth]) -> Truth:
        """Walls put one after the other; at least one part."""
        return cls(*(np.concatenate([getattr(p, f.name) for p in parts]) for f in fields(cls)))

    def rows(self, which: slice | np.ndarray) -> Truth:
        """Some of the walls."""
        return Truth(*(getattr(self, f.name)[which] for f in fields(self)))


def has_twin(house: House, wall: Wall) -> bool:
    """Whether another inside wall runs alongside at the width of a hall."""
    return any(
        TWINS_FT[0] <= abs(w.line.at - wall.line.at) <= TWINS_FT[1]
        for w in house.on_level(wall.level)
        if w is not wall and w.role == "inside" and w.line.axis == wall.line.axis
        and w.line.overlap(wall.line.start, wall.line.stop) > 0.5
    )  # fmt: skip


def answer_all(
    evaluator: ColumnEvaluator,
    seed: int,
    indices: range,
    reporter: str,
    reach: Reach = "attic",
    mix: Mix = "equal",
    make: MakePerson | None = None,
    twice: bool = False,
) -> tuple[Batch, Truth]:
    """All answers of ``reporter`` about walls number ``indices``, with the truth.

    ``make`` makes the person at a wall, for people who are more than a reporter.  ``twice``:
    they look once more where :mod:`walltriage.lab.looked_again` says.
    """
    questions = list(evaluator.base.questions.values())
    askable = [
        (column, q) for column, q in enumerate(questions)
        if q.entry.kind != "computed" and ROLE[reporter] in q.entry.who
        and q.entry.effort <= EFFORT[reach]
    ]  # fmt: skip
    batch = evaluator.coder.empty(len(indices))
    paths, twin, kinds = np.zeros((len(indices), len(PATHS)), bool), [], []

    def at(index: int) -> tuple[House, Wall, Person]:
        house = build_house(kind_of(seed, index, mix), seed, index)
        wall = house.wall(house.subject)
        if make is not None:
            return house, wall, make(house, wall, index, len(questions), EFFORT[reach])
        rng = generator(seed, index, f"person {reporter}")
        return house, wall, Person(reporter, house, wall, rng, len(questions), EFFORT[reach])

    def again(row: int) -> Callable[[str], Answer]:
        _, _, person = at(indices[row])
        stream = generator(seed, indices[row], f"second looks {reporter}")
        second, column = person.look_again(stream, measured=False), evaluator.coder.column
        return lambda name: second.answer(evaluator.base.questions[name], column[name])

    for row, index in enumerate(indices):
        house, wall, person = at(index)
        for column, question in askable:
            evaluator.coder.put(batch, row, question.id, person.answer(question, column))
        paths[row] = list(truth(house, wall).values())
        twin.append(has_twin(house, wall))
        kinds.append(kind_of(seed, index, mix))
    batch = look_again(evaluator, batch, again) if twice else where_asked(evaluator, batch)
    found = Truth(paths, np.array(kinds), np.array(twin, bool), framing_seen(evaluator, batch))
    return batch, found


def framing_seen(evaluator: ColumnEvaluator, batch: Batch) -> Bools:
    """Where the framing was seen (n,), as :class:`Truth` has it."""
    column = evaluator.coder.column
    told = [batch.codes[:, column[name]] >= FIRST_VALUE for name in AT_THE_TOP if name in column]
    return np.any(told, axis=0) if told else np.zeros(len(batch), bool)


def save_answers(path: Path, coder: Coder, batch: Batch, truth: Truth, made: object) -> None:
    """Keep answers and truth in one file; ``made`` says how they were made."""
    with path.open("wb") as stream:
        np.savez_compressed(
            stream,
            questions=np.array(coder.questions),
            values=np.array([json.dumps(list(values)) for values in coder.values]),
            measured=np.array(list(coder.number_column)),
            codes=batch.codes, sure=batch.sure, numbers=batch.numbers,
            made=np.array(json.dumps(made)),
            **{f.name: getattr(truth, f.name) for f in fields(truth)},
        )  # fmt: skip


def load_answers(path: Path, coder: Coder) -> tuple[Batch, Truth]:
    """What :func:`save_answers` kept, in the columns of ``coder``.

    Questions and options are matched by id: a question that is new stays unasked, one that is
    gone is left out, and an answer whose option is gone becomes "unknown".
    """
    with np.load(path) as stored:
        old = {name: stored[name] for name in stored.files}
    batch = coder.empty(len(old["codes"]))
    for at, name in enumerate(old["questions"]):
        column = coder.column.get(str(name))
        if column is None:
            continue
        now, translated = coder.values[column], np.arange(256, dtype=np.uint8)
        before = json.loads(str(old["values"][at]))
        for index, value in enumerate(before):
            known = value in now
            translated[FIRST_VALUE + index] = FIRST_VALUE + now.index(value) if known else UNKNOWN
        if str(name) not in coder.number_column:
            translated[NO_BAND] = UNKNOWN
        batch.codes[:, column] = translated[old["codes"][:, at]]
        batch.sure[:, column] = old["sure"][:, at]
    for at, name in enumerate(old["measured"]):
        if str(name) in coder.number_column:
            batch.numbers[:, coder.number_column[str(name)]] = old["numbers"][:, at]
    return batch, Truth(*(old[f.name] for f in fields(Truth)))
