"""Simulated houses with somebody who answers, somebody who tells the truth, and what is so."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from walltriage.inference.columns.codes import NOT_ASKED, Batch
from walltriage.inference.columns.evaluator import VERDICTS, ColumnEvaluator
from walltriage.lab.answers import where_asked
from walltriage.lab.house.build import build_house, generator
from walltriage.lab.house.truth import BEARING_PATHS, truth
from walltriage.lab.mixes import Mix, kind_of
from walltriage.lab.reporter import Person

BEARS, CLEAR = VERDICTS.index("likely_bearing"), VERDICTS.index("likely_non_bearing")


@dataclass(frozen=True, slots=True)
class Asked:
    """One simulated wall: who answers, who would tell the truth, and whether it bears.

    ``roof``: what the frame over the wall is, "trusses", "sticks" or "floor" (a story above).
    """

    index: int
    kind: str
    person: Person
    truthful: Person
    bears: bool
    roof: str


def asked_about(
    seed: int, index: int, reporter: str, questions: int, mix: Mix = "equal"
) -> Asked:
    """Wall number ``index`` of a seed with its people; the reporter's reach is drawn."""
    kind = kind_of(seed, index, mix)
    house = build_house(kind, seed, index)
    wall = house.wall(house.subject)
    person = Person(
        reporter, house, wall, generator(seed, index, f"person {reporter}"), questions
    )
    truthful = Person("perfect", house, wall, generator(seed, index, "truth"), questions, 4)
    paths = truth(house, wall)
    bears = any(paths[path] for path in BEARING_PATHS)
    over = house.facts.get("roof_frame", "")
    return Asked(index, kind, person, truthful, bears, over)


def all_told(evaluator: ColumnEvaluator, walls: list[Asked]) -> Batch:
    """Every answer that each reporter can give within reach, to the questions that apply."""
    questions = list(evaluator.base.questions.values())
    batch = evaluator.coder.empty(len(walls))
    from walltriage.lab.reporter import ROLE

    for row, wall in enumerate(walls):
        for column, question in enumerate(questions):
            entry = question.entry
            if (
                entry.kind != "computed"
                and entry.effort <= wall.person.reach
                and ROLE[wall.person.kind] in entry.who
            ):
                answer = wall.person.answer(question, column)
                evaluator.coder.put(batch, row, question.id, answer)
    return where_asked(evaluator, batch)
