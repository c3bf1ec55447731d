"""What hints alone can do: answers that are no direct look at the path itself.

A clue is a direct look when it says so and its question is seen or measured with one's own
eyes; all others are indirect.
"""

from __future__ import annotations

import z3

from walltriage.case.model import DEGREES
from walltriage.inference.belief.speaking import is_direct
from walltriage.inference.columns.evaluator import VERDICTS
from walltriage.knowledge.base import KnowledgeBase
from walltriage.language import say
from walltriage.prove.prover import NON_BEARING, Proof, Prover


def indirect_by_condition(base: KnowledgeBase) -> dict[str, list[str]]:
    """By condition: the questions whose answers tell of it indirectly."""
    found: dict[str, list[str]] = {}
    for clue in base.clues():
        if clue.status != "retired" and not is_direct(base, clue):
            found.setdefault(clue.condition, []).append(clue.question)
    return found


def one_indirect_answer(prover: Prover) -> Proof:
    """Each answer of each indirect question, alone and at each sureness, through the columns."""
    names = {name for names in indirect_by_condition(prover.base).values() for name in names}
    sets = [
        {name: choice.answer(sure)}
        for name in sorted(names)
        for choice in prover.encoding.choices[name]
        if choice.is_real
        for sure in DEGREES
    ]
    verdicts = prover.columns.evaluate(prover.columns.encode(sets)).verdict
    for answers, verdict in zip(sets, verdicts, strict=True):
        if VERDICTS[verdict] == NON_BEARING:
            told = say("one answer does: {answers}", answers=", ".join(answers))
            return Proof(False, told, answers)
    tried = say(
        "all {answers} answers of {questions} questions tried",
        answers=len(sets),
        questions=len(names),
    )
    return Proof(True, tried)


def indirect_of_one_condition(prover: Prover) -> Proof:
    """Condition by condition: all sets of answers that tell of it indirectly, and no others."""
    by_condition = indirect_by_condition(prover.base)
    for condition, names in by_condition.items():
        others = [name for name in prover.base.questions if name not in names]
        proof = prover.never(*prover.silent(others), prover.verdict(NON_BEARING))
        if not proof.holds:
            told = say("answers about '{condition}' do", condition=condition)
            return Proof(False, told, proof.counter)
    count = len(by_condition)
    return Proof(True, say("no set of answers in any of {count} conditions", count=count))


def indirect_alone(prover: Prover) -> Proof:
    """All conditions at once: no direct look answered, every other answer free."""
    direct = [
        prover.encoding.fired[clue.id]
        for clue in prover.base.clues()
        if clue.status != "retired" and is_direct(prover.base, clue)
    ]
    return prover.never(
        *(z3.Not(fired) for fired in direct), prover.verdict(NON_BEARING),
        told=say(
            "no set of answers while all {count} direct looks are silent", count=len(direct)
        ),
    )  # fmt: skip
