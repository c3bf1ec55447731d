"""Random walls as the files a batch reads."""

from __future__ import annotations

import csv
import io
import json
import random
from collections.abc import Iterable
from typing import Any

from tests.inference.answer_sets import random_answers
from walltriage.bulk.header import OWN_COLUMNS
from walltriage.case.model import HOUSE, Case, Wall
from walltriage.case.write import case_data
from walltriage.knowledge.base import KnowledgeBase


def random_case(base: KnowledgeBase, seed: int, share: float | None = None, walls: int = 1) -> Case:
    """A case of one or more walls that anybody may have answered."""
    found: dict[str, Wall] = {}
    house: dict[str, Any] = {}
    for index in range(walls):
        answers = random_answers(base, seed * 7 + index, share)
        asked = {n: a for n, a in answers.items() if base.questions[n].entry.kind != "computed"}
        mine = {n: a for n, a in asked.items() if base.questions[n].scope != HOUSE}
        if index == 0:
            house = {n: a for n, a in asked.items() if n not in mine}
        found[f"w{index + 1}"] = Wall(f"w{index + 1}", answers=mine)
    return Case(f"case {seed}", house, tuple(found.values()))


def json_lines(cases: Iterable[Case]) -> str:
    """Cases as JSON Lines."""
    return "".join(json.dumps(case_data(case)) + "\n" for case in cases)


def csv_rows(base: KnowledgeBase, cases: Iterable[Case], names: list[str] | None = None) -> str:
    """Cases as CSV with a column for every question and its sureness."""
    names = names or [n for n, q in base.questions.items() if q.entry.kind != "computed"]
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([*OWN_COLUMNS, *names, *(f"{name}.sure" for name in names)])
    for case in cases:
        for wall in case.walls:
            answers = case.answers_for(wall.id)
            values = [answers[n].given or answers[n].value if n in answers else "" for n in names]
            sure = [answers[n].sure if n in answers else "" for n in names]
            own = [case.name, wall.id, wall.name, case.role, case.reach, case.units]
            writer.writerow([*own, *values, *sure])
    return out.getvalue()


def shuffled(lines: list[str], seed: int) -> list[str]:
    """The same lines in another order."""
    return random.Random(seed).sample(lines, len(lines))
