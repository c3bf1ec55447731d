"""How few wrong answers can turn a truthful interview about a bearing wall into "non-bearing".

Wrong answers in *different conditions* are what counts: somebody who mistakes one thing answers
every question about it wrongly.  Three answers lie in three different conditions when each can
be given one of its own.  By König's theorem a set of wrong answers has no such three exactly when
two picks cover it, a pick being one answer, or one condition with all answers that tell of
nothing else.  So the question to the solver is whether two picks suffice.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import islice, product

import numpy as np
import z3

from walltriage.case.model import Answer
from walltriage.inference.columns.evaluator import VERDICTS
from walltriage.prove.intervals import AnswerChoice
from walltriage.prove.prover import NON_BEARING, Prover
from walltriage.prove.truthful import truthful, varied

PICKS = 2  # that must not suffice
MOST_TRIED = 20_000  # sets of wrong answers tried for one cover; fewer sets are tried in full
EFFORT = 40_000_000  # what z3 may spend on one case, in its own count: the same on any machine


@dataclass(frozen=True, slots=True)
class Misled:
    """One kind of house: whether two picks of wrong answers can turn its truthful interview.

    ``proved``: shown for all sets of answers, by logic and, where logic leaves a cover open, by
    trying all of its sets in the program.  Else ``left_open`` cases or covers were not settled.
    ``changed`` are wrong answers that do turn it, with the whole ``answers``.
    """

    archetype: str
    proved: bool
    left_open: int = 0
    changed: tuple[tuple[str, str], ...] = ()
    answers: Mapping[str, Answer] | None = None


def misled(prover: Prover, archetype: str) -> Misled | None:
    """The answer for one kind of house; None when it has no truthful interview that bears."""
    answers = truthful(prover, archetype)
    return None if answers is None else misled_from(prover, archetype, answers)


def misled_from(prover: Prover, archetype: str, answers: dict[str, Answer]) -> Misled:
    """The same from given truthful answers."""
    picks = _Picks(prover, answers)
    solver = prover.encoding.solver()
    solver.set("rlimit", EFFORT)
    solver.add(prover.verdict(NON_BEARING), *picks.axioms)
    left_open = 0
    for case in picks.cases():
        while (outcome := solver.check(*case)) == z3.sat:
            cover = picks.chosen(solver.model())
            found, whole = _try(prover, answers, picks.covered(cover))
            if found is not None:
                return Misled(archetype, False, left_open, _wrong(prover, answers, found), found)
            left_open += not whole
            solver.add(z3.Not(z3.And([picks.variables[name] for name in cover])))
        left_open += outcome != z3.unsat
    return Misled(archetype, not left_open, left_open)


def _wrong(
    prover: Prover, answers: Mapping[str, Answer], found: Mapping[str, Answer]
) -> tuple[tuple[str, str], ...]:
    """The answers that are other ones than the truthful."""
    told = {name: answer.value for name, answer in answers.items()}
    return tuple(
        (name, answer.value)
        for name, answer in found.items()
        if name in prover.asked and answer.value != told.get(name)
    )


class _Picks:
    """One Boolean for each answer and each condition: whether it is picked to be wrong."""

    def __init__(self, prover: Prover, answers: Mapping[str, Answer]) -> None:
        self._conditions: dict[str, set[str]] = {name: set() for name in prover.asked}
        for clue in prover.base.clues():
            if clue.status != "retired" and clue.question in self._conditions:
                self._conditions[clue.question].add(clue.condition)
        conditions = sorted({c for found in self._conditions.values() for c in found})
        names = [("answer", name) for name in prover.asked] + [("about", c) for c in conditions]
        self.variables = {name: z3.Bool(f"pick:{name[0]}:{name[1]}") for name in names}
        self.axioms = [z3.PbEq([(v, 1) for v in self.variables.values()], PICKS)]
        for name, about in self._conditions.items():
            ways = [_as_told(prover, name, answers), self.variables["answer", name]]
            if about:
                ways.append(z3.And([self.variables["about", c] for c in about]))
            self.axioms.append(z3.Or(ways))

    def cases(self) -> list[list[z3.BoolRef]]:
        """A split of all picks: each condition picked, and no condition picked.

        Together they are no easier than the whole; one by one they take far less time.
        """
        conditions = [v for (kind, _), v in self.variables.items() if kind == "about"]
        return [*([picked] for picked in conditions), [z3.Not(picked) for picked in conditions]]

    def chosen(self, model: z3.ModelRef) -> list[tuple[str, str]]:
        """The picks of a model."""
        return [name for name, v in self.variables.items() if z3.is_true(model.eval(v))]

    def covered(self, cover: list[tuple[str, str]]) -> list[str]:
        """The questions that may be answered wrongly under these picks."""
        picked = {name for kind, name in cover if kind == "about"}
        return [
            name
            for name, about in self._conditions.items()
            if ("answer", name) in cover or (about and about <= picked)
        ]


def _as_told(prover: Prover, name: str, answers: Mapping[str, Answer]) -> z3.BoolRef:
    """That a question is answered as in these answers; a number, by the nearest choice."""
    encoding, answer = prover.encoding, answers.get(name)
    if answer is None:
        return z3.Not(encoding.answered(name))
    if answer.number is None:
        return encoding.fix(name, answer.value)
    number = answer.number
    near = min(
        (choice for choice in encoding.choices[name] if choice.number is not None),
        key=lambda c: (c.value != answer.value, abs((c.number or 0) - number)),
    )
    return encoding.fix(name, near.value, near.number)


def _try(
    prover: Prover, answers: dict[str, Answer], names: list[str]
) -> tuple[dict[str, Answer] | None, bool]:
    """A set of wrong answers to these questions that turns the verdict, and whether all were tried.

    Each question keeps its truthful answer or takes any other one.
    """
    options = [_options(prover, name, answers) for name in names]
    sets = np.prod([float(len(choices)) for choices in options])
    whole = bool(sets <= MOST_TRIED)
    if whole:
        tried = list(product(*options))
    else:
        draw = np.random.default_rng(len(names))
        tried = [
            tuple(choices[draw.integers(len(choices))] for choices in options)
            for _ in range(MOST_TRIED)
        ]
    batch = varied(prover, answers, names, tried)
    verdicts = prover.columns.evaluate(batch).verdict
    for row in islice(np.flatnonzero(verdicts == VERDICTS.index(NON_BEARING)), 1):
        return prover.columns.coder.decode(batch, int(row)), whole
    return None, whole


def _options(prover: Prover, name: str, answers: Mapping[str, Answer]) -> list[AnswerChoice | None]:
    """None for the answer as it is, and every other real answer."""
    given = answers[name].value if name in answers else None
    others = [c for c in prover.encoding.choices[name] if c.is_real and c.value != given]
    return [None, *others]
