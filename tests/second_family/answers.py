"""The second family's walls as answers to the questions asked today, all at once.

Everybody tells every answer as certain: that is the hardest case, for the sureness then says
nothing.  Questions about what this family does not draw stay unanswered.
"""

from __future__ import annotations

import math

import numpy as np

from tests.second_family.houses import House, Wall, draw
from tests.second_family.look import Look
from tests.second_family.near import of_house, of_knee_wall, of_low_wall, of_rooms
from tests.second_family.people import FAR, UNKNOWN
from tests.second_family.places import of_attic, of_below, of_upstairs
from tests.second_family.under_cover import of_opened
from walltriage.case.model import Answer
from walltriage.inference.columns.codes import Batch
from walltriage.inference.columns.evaluator import ColumnEvaluator
from walltriage.knowledge.base import AskedQuestion
from walltriage.lab.answers import EFFORT, TWINS_FT, Reach, Truth, framing_seen, where_asked
from walltriage.lab.house.truth import PATHS
from walltriage.lab.reporter import ROLE

FIRST = 10_000_000  # houses apart between one seed and the next


def answer_all(
    evaluator: ColumnEvaluator, seed: int, walls: int, reporter: str, reach: Reach = "attic"
) -> tuple[Batch, Truth]:
    """All answers of ``reporter`` about the first ``walls`` walls of a seed, with the truth."""
    questions = {
        name: q for name, q in evaluator.base.questions.items()
        if q.entry.kind != "computed" and ROLE[reporter] in q.entry.who
        and q.entry.effort <= EFFORT[reach]
    }  # fmt: skip
    batch = evaluator.coder.empty(walls)
    paths, twin, kinds = np.zeros((walls, len(PATHS)), bool), np.zeros(walls, bool), []
    house, left = seed * FIRST, []
    for row in range(walls):
        while not left:
            h, house = draw(house), house + 1
            left = [(h, w, house - 1) for w in h.walls]
        h, w, number = left.pop(0)
        for name, told in tell(h, w, number, reporter, reach).items():
            if name in questions:
                evaluator.coder.put(batch, row, name, _answer(questions[name], told))
        paths[row] = [p in w.paths or (p == "bracing" and w.braced) for p in PATHS]
        twin[row] = _has_twin(h, w)
        kinds.append(kind(h, w))
    batch = where_asked(evaluator, batch)
    return batch, Truth(paths, np.array(kinds), twin, framing_seen(evaluator, batch))


def tell(h: House, w: Wall, number: int, reporter: str, reach: Reach) -> dict[str, str | float]:
    """Everything that one person tells of one wall."""
    look = Look(h, w, number, reporter)
    of_house(look)
    of_rooms(look)
    if reach != "rooms":
        of_attic(look)
        of_upstairs(look)
        of_below(look)
    if reach == "opened":
        of_opened(look)
    of_low_wall(look)
    of_knee_wall(look, reach)
    return look.a


def _answer(question: AskedQuestion, told: str | float) -> Answer:
    if isinstance(told, str):
        return Answer(told, None, told)
    marks = ((question.number(b.under) if b.under is not None else math.inf, b.id)
             for b in question.entry.bands)  # fmt: skip
    band = next((name for mark, name in marks if told < mark), "")
    return Answer(band, told, f"{told:g}")


def kind(h: House, w: Wall) -> str:
    """What kind of house and level this is, for telling results apart."""
    way = "across" if w.see["joist_run"] == "across" else "parallel"
    if w.level < h.storeys:
        return f"lower level, {way}"
    if w.see["above_is"] != "attic":
        return "sloped, flat or rooms in the roof"
    roof = {"truss": "trusses", "struts": "propped"}.get(h.roof, "stick")
    return f"{'upper' if h.storeys == 2 else 'only'} level, {roof}, {way}"


def _has_twin(h: House, w: Wall) -> bool:
    return any(
        TWINS_FT[0] <= abs(x.at - w.at) <= TWINS_FT[1]
        for x in h.on(w.level)
        if x is not w and x.along_ridge == w.along_ridge
    )


__all__ = ["FAR", "UNKNOWN", "answer_all", "kind", "tell"]
