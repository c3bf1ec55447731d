"""A whole proof run as plain data, and counter-examples as case files that can be replayed."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from walltriage.case.model import HOUSE, Answer, Case, Step, Wall
from walltriage.case.write import write_case
from walltriage.knowledge.base import KnowledgeBase
from walltriage.study.columns import ColumnEvaluator
from walltriage.study.prove.checks import Prover
from walltriage.study.prove.fewest import (
    LOOKED_FOR,
    Misled,
    all_archetypes,
    fewest_answers,
    misled,
)

LEAST_WRONG = LOOKED_FOR + 1


def prove(
    base: KnowledgeBase, step: Callable[[], object] = lambda: None
) -> tuple[dict[str, Any], list[tuple[str, Case]]]:
    """Every proof, told as plain data, with (file name, case) of each counter-example."""
    start = time.perf_counter()
    prover, cases, told = Prover(base), [], []
    for proof in prover.all():
        told.append({
            "name": proof.name, "holds": proof.holds, "told": proof.told,
            "seconds": round(proof.seconds, 2),
        })  # fmt: skip
        if proof.counter is not None:
            words = f"Breaks: {proof.name}. {proof.told}."
            cases.append(("-".join(proof.name.split()[:6]), as_case(base, proof.counter, words)))
        step()
    least = fewest_answers(prover)
    step()
    evaluator = ColumnEvaluator(base)
    tried: list[Misled] = []
    for archetype in all_archetypes():
        found = misled(prover, evaluator, archetype)
        step()
        if found is None:
            continue
        tried.append(found)
        if found.answers is not None:
            words = f"{found.at_least} wrong answers turn a bearing wall of kind '{archetype}'."
            cases.append((f"misled-{archetype}", as_case(base, found.answers, words)))
    weak = [found for found in tried if found.at_least < LEAST_WRONG]
    return {
        "schema": "walltriage/proofs/1",
        "rules": {"version": base.version, "sha256": base.sha256},
        "proofs": told,
        "fewest_answers": {
            "at_least": least.at_least,
            "found": None if least.example is None else len(least.example),
            "example": None if least.example is None else values(least.example),
        },
        "wrong_answers": {
            "kinds_tried": [found.archetype for found in tried],
            "at_least": min((found.at_least for found in tried), default=None),
            "weak": [
                {"kind": found.archetype, "wrong": found.at_least, "changed": dict(found.changed)}
                for found in weak
            ],
        },
        "holds": all(proof["holds"] for proof in told) and not weak,
        "seconds": round(time.perf_counter() - start, 1),
    }, cases


def steps() -> int:
    """How often :func:`prove` calls its ``step``."""
    return 12 + 1 + len(all_archetypes())


def values(answers: Mapping[str, Answer]) -> dict[str, str]:
    """Answers as short words."""
    return {name: answer.given or answer.value for name, answer in answers.items()}


def as_case(base: KnowledgeBase, answers: Mapping[str, Answer], story: str) -> Case:
    """Answers as a case of one wall; what the program works out itself is left out."""
    given = {n: a for n, a in answers.items() if base.questions[n].entry.kind != "computed"}
    house = {n: a for n, a in given.items() if base.questions[n].scope == HOUSE}
    own = {n: a for n, a in given.items() if base.questions[n].scope != HOUSE}
    asked = tuple(Step(HOUSE if n in house else "wall", n) for n in given)
    return Case("counter-example", house, (Wall("wall", "", own),), asked=asked, story=story)


def write_cases(folder: Path, cases: list[tuple[str, Case]]) -> list[Path]:
    """One file for each case; :class:`OSError` when the folder cannot be written."""
    folder.mkdir(parents=True, exist_ok=True)
    paths = []
    for name, case in cases:
        path = folder / f"{name.replace(chr(39), '')}.yaml"
        write_case(path, case)
        paths.append(path)
    return paths
