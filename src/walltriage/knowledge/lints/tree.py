"""One answer may count once on a path: the shape of the tree of conditions and clues."""

from __future__ import annotations

from collections.abc import Iterator

from walltriage.errors import Problem
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.lints.model import at, lint
from walltriage.knowledge.reads import questions_behind, questions_of
from walltriage.knowledge.rule_kinds import condition_of
from walltriage.knowledge.satisfy import Satisfier
from walltriage.knowledge.schema import BaseRate, Clue
from walltriage.knowledge.terms import branches


@lint("error", "use the question for the one or the other on this path")
def clue_and_base_rate(base: KnowledgeBase) -> Iterator[Problem]:
    """Questions that choose a path's base rate and are also a clue that can fire beside it."""
    behind, satisfier = questions_behind(base), Satisfier(base)
    for path in base.paths.values():
        rates = [
            (rate, questions_of(rate.when, behind))
            for rate in path.entry.base_rates
            if rate.status != "retired"
        ]
        for clues in path.clues.values():
            for clue in clues:
                twice = next(
                    (
                        rate for rate, questions in rates
                        if clue.question in questions and clue.status != "retired"
                        and _beside(satisfier, clue, rate)
                    ),
                    None,
                )  # fmt: skip
                if twice is not None:
                    what = (
                        f"'{clue.question}' counts twice on '{path.id}': as this clue and in "
                        f"the base rate '{twice.id}'"
                    )
                    yield at(base, what, clue.id, "question")


@lint("error", "one condition per question on a path, or 'when's that exclude each other")
def two_conditions(base: KnowledgeBase) -> Iterator[Problem]:
    """Questions read under two conditions of one path by clues that can fire together."""
    satisfier = Satisfier(base)
    for path in base.paths.values():
        read = [
            (name, clue)
            for name, clues in path.clues.items()
            for clue in clues
            if clue.status != "retired"
        ]
        for index, (name, clue) in enumerate(read):
            for first_name, first in read[:index]:
                if first.question != clue.question or first_name == name:
                    continue
                if _together(satisfier, first, clue):
                    what = (
                        f"'{clue.question}' counts twice on '{path.id}': under '{name}' and, "
                        f"by '{first.id}', under '{first_name}'"
                    )
                    yield at(base, what, clue.id, "question")


@lint("error", "make it one clue, or give the two 'when's that exclude each other")
def question_twice(base: KnowledgeBase) -> Iterator[Problem]:
    """Two clues that read the same question under the same condition and can fire together."""
    satisfier = Satisfier(base)
    for path in base.paths.values():
        clues = [clue for clue in path.entry.clues if clue.status != "retired"]
        for index, clue in enumerate(clues):
            for first in clues[:index]:
                same = (first.question, first.condition) == (clue.question, clue.condition)
                if same and _together(satisfier, first, clue):
                    what = f"'{clue.id}' and '{first.id}' both read '{clue.question}'"
                    yield at(base, what, clue.id, "question")


def _beside(satisfier: Satisfier, clue: Clue, rate: BaseRate) -> bool:
    fires, chosen = condition_of("clue", clue), branches(rate.when)
    return any(satisfier.branch((*a, *b)) for a in fires for b in chosen)


def _together(satisfier: Satisfier, one: Clue, other: Clue) -> bool:
    first, second = condition_of("clue", one), condition_of("clue", other)
    return any(satisfier.branch((*a, *b)) for a in first for b in second)
