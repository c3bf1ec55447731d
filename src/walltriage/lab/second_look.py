"""What a second look is worth: how often the same wrong "clear" is told twice.

One person looks at one wall's top twice.  Slips and misread topics are drawn anew; whoever
stood at the wrong place stands there again unless the place was measured again
(:meth:`walltriage.lab.reporter.Person.look_again`).  No rule is read here: only what is told.
"""

from __future__ import annotations

from dataclasses import dataclass

from walltriage.knowledge.base import KnowledgeBase
from walltriage.lab.answers import EFFORT
from walltriage.lab.house.build import build_house, generator
from walltriage.lab.house.truth import truth
from walltriage.lab.mixes import Mix, kind_of
from walltriage.lab.reporter import ROLE, Person

QUESTION = "wall_top"
CLEAR = "clear_all_along"
SEEN_FROM_THE_ATTIC = ("framing_above", "roof_struts")


@dataclass(frozen=True, slots=True)
class SecondLook:
    """Counts over walls that bear by what is seen from the attic: framing, struts, trusses.

    ``told`` first looks with an answer; ``once`` of them wrongly clear; ``same`` wrongly clear
    again from the place found before; ``measured`` wrongly clear again after measuring anew.
    """

    told: int
    once: int
    same: int
    measured: int

    @property
    def if_apart(self) -> float:
        """Walls twice wrongly clear that two unconnected people would leave."""
        return self.once**2 / self.told if self.told else 0.0


def second_look(
    base: KnowledgeBase, seed: int, walls: int, reporter: str, mix: Mix = "equal"
) -> SecondLook:
    """Two looks from the attic at the first ``walls`` walls of a seed."""
    questions = list(base.questions.values())
    column = list(base.questions).index(QUESTION)
    question = questions[column]
    if ROLE[reporter] not in question.entry.who:
        return SecondLook(0, 0, 0, 0)
    told = once = same = measured = 0
    for index in range(walls):
        kind = kind_of(seed, index, mix)
        house = build_house(kind, seed, index)
        rng = generator(seed, index, f"person {reporter}")
        wall = house.wall(house.subject)
        first = Person(reporter, house, wall, rng, len(questions), EFFORT["attic"])
        paths = truth(house, wall)
        if not any(paths[path] for path in SEEN_FROM_THE_ATTIC):
            continue
        said = first.answer(question, column).value
        if said not in question.values:
            continue
        told += 1
        if said != CLEAR:
            continue
        once += 1
        for again in (False, True):
            stream = generator(seed, index, f"second look {reporter} {again}")
            value = first.look_again(stream, again).answer(question, column).value
            if again:
                measured += value == CLEAR
            else:
                same += value == CLEAR
    return SecondLook(told, once, same, measured)
