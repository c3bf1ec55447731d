"""How few answers can lead to "non-bearing", and how few wrong ones can mislead an interview."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations, islice, product

import z3

from walltriage.case.answers import make_answer
from walltriage.case.model import Answer
from walltriage.inference.computed import computed_answers
from walltriage.inference.rule_cases import case_answers
from walltriage.study.columns import VERDICTS, ColumnEvaluator
from walltriage.study.findings import Scene, found
from walltriage.study.house.archetypes import ARCHETYPES
from walltriage.study.house.build import build_house, generator
from walltriage.study.house.truth import bears, truth
from walltriage.study.prove.checks import NON_BEARING, Prover

SEED = 77
TRIES = 30
LOOKED_FOR = 2  # wrong answers that must not suffice
MOST_EFFORT = 2
BATCH = 20_000


@dataclass(frozen=True, slots=True)
class Fewest:
    """Proved: no fewer than ``at_least``.  Found: ``example``, if any, with its answers."""

    at_least: int
    example: dict[str, Answer] | None


def fewest_answers(prover: Prover, seconds: float = 3.0) -> Fewest:
    """The fewest answers that reach "non-bearing".

    From below: z3 proves that so many do not suffice, as far as ``seconds`` a step allow.
    From above: the rules' own example, with answers taken away while the verdict stays.
    """
    answered = [(prover.encoding.answered(name), 1) for name in prover.asked]
    solver = prover.encoding.solver()
    solver.set("timeout", int(seconds * 1000))
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


@dataclass(frozen=True, slots=True)
class Misled:
    """Wrong answers that turn one truthful interview into "non-bearing".

    ``at_least`` is proved; ``changed`` names the wrong answers when that few were found.
    """

    archetype: str
    at_least: int
    changed: tuple[tuple[str, str], ...] = ()
    answers: Mapping[str, Answer] | None = None


def truthful(
    prover: Prover, evaluator: ColumnEvaluator, archetype: str
) -> dict[str, Answer] | None:
    """All that a perfect observer would answer at a bearing wall that is recognised as one.

    None when none of the first houses of this kind has such a wall.
    """
    base = prover.base
    for index in range(TRIES):
        house = build_house(archetype, SEED, index)
        house.attic_reachable = house.below_reachable = True
        house.facts["traced"] = "whole"
        wall = house.wall(house.subject)
        if not bears(truth(house, wall)):
            continue
        scene = Scene(house, wall, generator(SEED, index, archetype))
        answers: dict[str, Answer] = {}
        for name in prover.asked:
            question = base.questions[name]
            value = found(scene, question)
            if value is None or value == "out_of_reach" or question.entry.effort > MOST_EFFORT:
                continue
            if isinstance(value, float):
                value = f"{value} in" if question.entry.answer == "length" else value  # type: ignore[assignment]
            answers[name] = make_answer(name, question, value)
        answers |= computed_answers(base, answers)
        result = evaluator.evaluate(evaluator.coder.encode([answers]))
        if VERDICTS[result.verdict[0]] == "likely_bearing":
            return answers
    return None


def misled(
    prover: Prover, evaluator: ColumnEvaluator, archetype: str, seconds: float = 4.0
) -> Misled | None:
    """Whether at most :data:`LOOKED_FOR` wrong answers can turn a truthful bearing interview.

    First by proof; where that is left open, by trying every change of so many answers.
    """
    answers = truthful(prover, evaluator, archetype)
    if answers is None:
        return None
    encoding = prover.encoding
    kept = []
    for name in prover.asked:
        answer = answers.get(name)
        if answer is None:
            kept.append((z3.Not(encoding.answered(name)), 1))
        elif answer.number is None:
            kept.append((encoding.fix(name, answer.value), 1))
        else:
            near = min(
                (c for c in encoding.choices[name] if c.number is not None),
                key=lambda c, n=answer.number: (
                    c.value != answer.value,
                    abs(c.number - n),
                ),
            )
            kept.append((encoding.fix(name, near.value, near.number), 1))
    solver = encoding.solver()
    solver.set("timeout", int(seconds * 1000))
    solver.add(prover.verdict(NON_BEARING), z3.PbGe(kept, len(kept) - LOOKED_FOR))
    if solver.check() == z3.unsat:
        return Misled(archetype, LOOKED_FOR + 1)
    return _tried(prover, evaluator, archetype, answers)


def _tried(
    prover: Prover, evaluator: ColumnEvaluator, archetype: str, answers: dict[str, Answer]
) -> Misled:
    """Every change of at most so many answers, through the column evaluator."""
    for count in range(1, LOOKED_FOR + 1):
        changed = _changed(prover, answers, count)
        while sets := list(islice(changed, BATCH)):
            verdicts = evaluator.evaluate(evaluator.coder.encode(sets)).verdict
            for given, verdict in zip(sets, verdicts, strict=True):
                if VERDICTS[verdict] == NON_BEARING:
                    wrong = tuple(
                        (name, answer.value)
                        for name, answer in given.items()
                        if name in prover.asked and answer != answers[name]
                    )
                    return Misled(archetype, count, wrong, given)
    return Misled(archetype, LOOKED_FOR + 1)


def _changed(prover: Prover, answers: dict[str, Answer], count: int) -> Iterator[dict[str, Answer]]:
    """The answers with every choice of ``count`` of them replaced by every other real one."""
    asked = [name for name in answers if name in prover.asked]
    fixed = {name: answers[name] for name in asked}
    for names in combinations(asked, count):
        others = [
            [
                Answer(choice.value, choice.number, choice.value)
                for choice in prover.encoding.choices[name]
                if choice.is_real and choice.value != answers[name].value
            ]
            for name in names
        ]
        for replaced in product(*others):
            given = {**fixed, **dict(zip(names, replaced, strict=True))}
            yield given | computed_answers(prover.base, given)


def all_archetypes() -> tuple[str, ...]:
    """The kinds of house, in order."""
    return tuple(sorted(ARCHETYPES))
