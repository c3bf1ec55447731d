"""The second family's people looking once more: their slips anew, at the place where they stood."""

from __future__ import annotations

import random
from collections.abc import Callable

from tests.second_family import answers as once
from tests.second_family.houses import House, Wall, draw
from tests.second_family.look import Look, Told
from tests.second_family.near import of_house, of_rooms
from tests.second_family.people import UNKNOWN
from tests.second_family.places import of_attic, of_below, of_upstairs
from tests.second_family.under_cover import of_opened
from walltriage.case.model import Answer
from walltriage.inference.columns.codes import Batch
from walltriage.inference.columns.evaluator import ColumnEvaluator
from walltriage.lab.answers import EFFORT, Reach, Truth
from walltriage.lab.looked_again import look_again
from walltriage.lab.reporter import ROLE


def answer_all_twice(
    evaluator: ColumnEvaluator, seed: int, walls: int, reporter: str, reach: Reach = "attic"
) -> tuple[Batch, Truth]:
    """What :func:`tests.second_family.answers.answer_all` gives, after second looks.

    A second look can only add to what applied before: these people's other answers are dropped
    with the questions that did not apply.
    """
    batch, truth = once.answer_all(evaluator, seed, walls, reporter, reach)
    at, house = [], seed * once.FIRST
    while len(at) < walls:
        h, house = draw(house), house + 1
        at += [(h, wall, house - 1) for wall in h.walls]

    def again(row: int) -> Callable[[str], Answer]:
        told = tell_again(*at[row], reporter, reach)
        return lambda name: _answer(evaluator, name, told.get(name, UNKNOWN), reporter, reach)

    return look_again(evaluator, batch, again), truth


def tell_again(h: House, w: Wall, number: int, reporter: str, reach: Reach) -> dict[str, Told]:
    """Everything that the same person tells at a second look.

    The steps of :func:`tests.second_family.answers.tell`, which is frozen and draws no slips anew.
    """
    look = Look(h, w, number, reporter)
    look.p.r = random.Random(f"{number}/{w.name}/{reporter}/again")
    of_house(look)
    of_rooms(look)
    if reach != "rooms":
        of_attic(look)
        of_upstairs(look)
        of_below(look)
    if reach == "opened":
        of_opened(look)
    return look.a


def _answer(
    evaluator: ColumnEvaluator, name: str, told: Told, reporter: str, reach: Reach
) -> Answer:
    question = evaluator.base.questions[name]
    asked = ROLE[reporter] in question.entry.who and question.entry.effort <= EFFORT[reach]
    return once._answer(question, told if asked else UNKNOWN)
