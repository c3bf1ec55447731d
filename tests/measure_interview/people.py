"""Simulated walls with somebody who answers, somebody who tells the truth, and what is so."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from walltriage.inference.columns.codes import Batch
from walltriage.inference.columns.evaluator import ColumnEvaluator
from walltriage.lab.house.build import build_house, generator
from walltriage.lab.house.model import House, Wall
from walltriage.lab.house.truth import bears, truth
from walltriage.lab.mixes import kind_of
from walltriage.lab.reporter import ROLE, Person
from walltriage.lab.where_asked import where_asked


@dataclass(frozen=True, slots=True)
class Asked:
    """One simulated wall: who answers, who would tell the truth, and what is so.

    ``over``: roof trusses, or anything else, pass over it.
    """

    kind: str
    person: Person
    truthful: Person
    bears: bool
    over: Literal["trusses", "sticks"]


def asked_about(seed: int, index: int, reporter: str, questions: int) -> Asked:
    """Wall number ``index`` of a seed with its people; how far the reporter goes is drawn."""
    kind = kind_of(seed, index)
    house = build_house(kind, seed, index)
    wall = house.wall(house.subject)
    rng, true = generator(seed, index, f"person {reporter}"), generator(seed, index, "truth")
    person = Person(reporter, house, wall, rng, questions)
    truthful = Person("perfect", house, wall, true, questions)
    return Asked(kind, person, truthful, bears(truth(house, wall)), _over(house, wall))


def _over(house: House, wall: Wall) -> Literal["trusses", "sticks"]:
    trusses = any(field.material == "roof_trusses" and field.over(wall) for field in house.fields)
    return "trusses" if trusses else "sticks"


def all_told(evaluator: ColumnEvaluator, walls: Sequence[Asked]) -> Batch:
    """Every answer that each reporter can give within reach, to the questions that apply."""
    return where_asked(evaluator, everything_told(evaluator, walls))


def everything_told(evaluator: ColumnEvaluator, walls: Sequence[Asked]) -> Batch:
    """The same, also to what does not apply."""
    batch = evaluator.coder.empty(len(walls))
    for column, question in enumerate(evaluator.base.questions.values()):
        entry = question.entry
        if entry.kind == "computed":
            continue
        for row, wall in enumerate(walls):
            if entry.effort <= wall.person.reach and ROLE[wall.person.kind] in entry.who:
                answer = wall.person.answer(question, column)
                evaluator.coder.put(batch, row, question.id, answer)
    return batch
