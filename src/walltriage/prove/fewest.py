"""How few answers can lead to "non-bearing"."""

from __future__ import annotations

from dataclasses import dataclass

import z3

from walltriage.case.model import Answer
from walltriage.prove.prover import NON_BEARING, Prover
from walltriage.rule_testing.rule_cases import case_answers

EFFORT = 25_000_000  # what z3 may spend on one step, in its own count: the same on any machine


@dataclass(frozen=True, slots=True)
class Fewest:
    """Proved: no fewer than ``at_least``.  Found: ``example``, if any, with its answers."""

    at_least: int
    example: dict[str, Answer] | None


def fewest_answers(prover: Prover, effort: int = EFFORT) -> Fewest:
    """The fewest answers that reach "non-bearing".

    From below: z3 proves that so many do not suffice, as far as ``effort`` a step allows.
    From above: the rules' own example, with answers taken away while the verdict stays.
    """
    answered = [(prover.encoding.answered(name), 1) for name in prover.asked]
    solver = prover.encoding.solver()
    solver.set("rlimit", effort)
    solver.add(prover.verdict(NON_BEARING))
    proved = 0
    for most in range(1, len(answered)):
        solver.push()
        solver.add(z3.PbLe(answered, most))
        outcome = solver.check()
        solver.pop()
        if outcome != z3.unsat:
            break
        proved = most
    return Fewest(proved + 1, _shrunk(prover))


def _shrunk(prover: Prover) -> dict[str, Answer] | None:
    best: dict[str, Answer] | None = None
    for rule in prover.base.guards.verdicts:
        if rule.concludes != NON_BEARING:
            continue
        for given in rule.cases.fires:
            answers = case_answers(prover.base, given)
            if prover.evaluator.evaluate(answers).verdict != NON_BEARING:
                continue
            for name in list(answers):
                less = {key: value for key, value in answers.items() if key != name}
                if prover.evaluator.evaluate(less).verdict == NON_BEARING:
                    answers = less
            if best is None or len(answers) < len(best):
                best = answers
    return best
