"""The logic of the proofs held against what the program itself does."""

from __future__ import annotations

import random
from dataclasses import dataclass

import z3

from walltriage.case.model import LESS_SURE, SURENESS_IN_FILES, Answer
from walltriage.inference.columns.codes import Batch
from walltriage.inference.columns.evaluator import PATH_STATES, BatchResult
from walltriage.prove.encode import Encoding
from walltriage.prove.intervals import AnswerChoice
from walltriage.prove.prover import Prover

COMPARE = {
    "at_least": lambda number, limit: number >= limit,
    "at_most": lambda number, limit: number <= limit,
    "above": lambda number, limit: number > limit,
    "below": lambda number, limit: number < limit,
}


@dataclass(frozen=True, slots=True)
class Given:
    """One answer set: a choice of each question in it, and how sure each is."""

    choices: dict[str, AnswerChoice]
    sure: dict[str, str]

    @property
    def answers(self) -> dict[str, Answer]:
        """As answers."""
        return {name: c.answer(self.sure[name]) for name, c in self.choices.items()}  # type: ignore[arg-type]


def random_sets(prover: Prover, count: int, seed: int) -> list[Given]:
    """Answer sets of every size, each question by chance, sure or not."""
    draw = random.Random(seed)
    found = []
    for _ in range(count):
        share = draw.random()
        chosen = {
            name: draw.choice([choice for choice in options if choice.is_real])
            for name, options in prover.encoding.choices.items()
            if draw.random() < share
        }
        found.append(Given(chosen, {name: draw.choice(SURENESS_IN_FILES) for name in chosen}))
    return found


def nearest(prover: Prover, answers: dict[str, Answer]) -> Given:
    """Real answers of a case as choices; a number as one that no rule tells from it."""
    chosen, sure = {}, {}
    for name, answer in answers.items():
        options = [c for c in prover.encoding.choices[name] if c.is_real]
        same = [c for c in options if c.value == answer.value]
        if answer.number is not None:
            same = sorted(same, key=lambda c: abs((c.number or 0) - (answer.number or 0)))
        if same:
            chosen[name], sure[name] = same[0], answer.sure
    return Given(chosen, sure)


def through_columns(prover: Prover, sets: list[Given]) -> BatchResult:
    """What the program does with each; computed answers are taken as they are given."""
    batch: Batch = prover.columns.coder.encode([given.answers for given in sets])
    return prover.columns.evaluate(batch)


def rules_that_differ(
    prover: Prover, solver: z3.Solver, given: Given, result: BatchResult, row: int
) -> set[str]:
    """Rules on which logic and program disagree, belief taken as the program has it."""
    encoding = prover.encoding
    fixed = _answered(encoding, given)
    for key, atom in encoding.atoms.items():
        fixed.append(atom if _holds(key, given, result, row) else z3.Not(atom))
    assert solver.check(*fixed) == z3.sat, "the program does what the logic calls impossible"
    model = solver.model()
    fired = set(result.fired_rules(row))
    return {
        name
        for name, variable in encoding.fired.items()
        if z3.is_true(model.eval(variable)) != (name in fired)
    }


def _answered(encoding: Encoding, given: Given) -> list[z3.BoolRef]:
    fixed = []
    for name, options in encoding.choices.items():
        chosen = given.choices.get(name, options[0])
        fixed.append(encoding.given[name][options.index(chosen)])
    return fixed


def _holds(key: tuple[str, ...], given: Given, result: BatchResult, row: int) -> bool:
    if key[0] in LESS_SURE:
        return given.sure.get(key[1]) in LESS_SURE[key[0]]
    if key[0] == "measure":
        return bool(COMPARE[key[2]](getattr(result, key[1])[row], float(key[3])))
    column = result.path_ids.index(key[1])
    if key[0] == "path":
        return PATH_STATES[result.path_status[row, column]] == key[2]
    return bool(result.seen_against[row, column])
