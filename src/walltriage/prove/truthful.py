"""What a perfect observer answers at a bearing wall, and such answers with some changed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from walltriage.case.answers import make_answer
from walltriage.case.model import Answer
from walltriage.inference.answers import with_worked_out
from walltriage.inference.columns.codes import Batch
from walltriage.inference.columns.computed import fill_computed
from walltriage.inference.columns.evaluator import VERDICTS
from walltriage.lab.findings import Scene, found
from walltriage.lab.house.archetypes import ARCHETYPES
from walltriage.lab.house.build import build_house, generator
from walltriage.lab.house.truth import bears, truth
from walltriage.prove.intervals import AnswerChoice
from walltriage.prove.prover import BEARING, Prover

SEED = 77
TRIES = 30  # houses of a kind in which such a wall is looked for
MOST_EFFORT = 2


def truthful(prover: Prover, archetype: str) -> dict[str, Answer] | None:
    """All that a perfect observer would answer at a bearing wall that is recognised as one.

    None when none of the first houses of this kind has such a wall.
    """
    base = prover.base
    for index in range(TRIES):
        house = build_house(archetype, SEED, index)
        house.attic_reachable = house.below_reachable = True
        house.facts["traced"] = "whole"
        wall = house.wall(house.subject)
        if not bears(truth(house, wall)):
            continue
        scene = Scene(house, wall, generator(SEED, index, archetype))
        answers: dict[str, Answer] = {}
        for name in prover.asked:
            question = base.questions[name]
            value = found(scene, question)
            if value is None or value == "out_of_reach" or question.entry.effort > MOST_EFFORT:
                continue
            if isinstance(value, float):
                value = f"{value} in" if question.entry.answer == "length" else value
            answers[name] = make_answer(name, question, value)
        answers = with_worked_out(base, answers)
        result = prover.columns.evaluate(prover.columns.coder.encode([answers]))
        if VERDICTS[result.verdict[0]] == BEARING:
            return answers
    return None


def varied(
    prover: Prover,
    answers: Mapping[str, Answer],
    names: Sequence[str],
    changes: Sequence[Sequence[AnswerChoice | None]],
) -> Batch:
    """One row for each change: ``names`` answered so, None where as before; computed ones anew."""
    coder = prover.columns.coder
    asked = {n: a for n, a in answers.items() if n in prover.asked}
    one = coder.encode([asked])
    batch = Batch(
        *(np.asfortranarray(np.repeat(part, len(changes), axis=0))
          for part in (one.codes, one.sure, one.numbers))
    )  # fmt: skip
    for row, chosen in enumerate(changes):
        for name, choice in zip(names, chosen, strict=True):
            if choice is not None:
                coder.put(batch, row, name, choice.answer())
    fill_computed(coder, batch)
    return batch


def all_archetypes() -> tuple[str, ...]:
    """The kinds of house, in order."""
    return tuple(sorted(ARCHETYPES))
