"""A whole proof run as plain data, and counter-examples as case files that can be replayed."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from walltriage.case.model import HOUSE, Answer, Case, Step, Wall
from walltriage.case.write import write_case
from walltriage.knowledge.base import KnowledgeBase
from walltriage.prove.anomalies import ANOMALIES
from walltriage.prove.fewest import fewest_answers
from walltriage.prove.misled import PICKS, Misled, misled
from walltriage.prove.prover import Prover, run
from walltriage.prove.safety import BY_CONDITION, SAFETY
from walltriage.prove.truthful import all_archetypes


def prove(
    base: KnowledgeBase, step: Callable[[], object] = lambda: None
) -> tuple[dict[str, Any], list[tuple[str, Case]]]:
    """Every proof, told as plain data, with (file name, case) of each counter-example."""
    start = time.perf_counter()
    prover, cases, proofs = Prover(base), [], []
    for proof in run(prover, (*SAFETY, *BY_CONDITION, *ANOMALIES)):
        proofs.append({
            "name": proof.name, "holds": proof.holds, "told": proof.told,
            "seconds": round(proof.seconds, 2),
        })  # fmt: skip
        if proof.counter is not None:
            words = f"Breaks: {proof.name}. {proof.told}."
            cases.append(("-".join(proof.name.split()[:6]), as_case(base, proof.counter, words)))
        step()
    least = fewest_answers(prover)
    step()
    tried: list[Misled] = []
    for archetype in all_archetypes():
        found = misled(prover, archetype)
        step()
        if found is None:
            continue
        tried.append(found)
        if found.answers is not None:
            words = f"{len(found.changed)} wrong answers turn a bearing wall of kind '{archetype}'."
            cases.append((f"misled-{archetype}", as_case(base, found.answers, words)))
    wrong = _wrong_answers(tried)
    return {
        "schema": "walltriage/proofs/1",
        "rules": {"version": base.version, "sha256": base.sha256},
        "proofs": proofs,
        "fewest_answers": {
            "at_least": least.at_least,
            "found": None if least.example is None else len(least.example),
            "example": None if least.example is None else values(least.example),
        },
        "wrong_answers": wrong,
        "holds": all(proof["holds"] for proof in proofs) and not wrong["weak"],
        "seconds": round(time.perf_counter() - start, 1),
    }, cases


def _wrong_answers(tried: list[Misled]) -> dict[str, Any]:
    """What was shown of wrong answers, kind by kind."""
    weak = [found for found in tried if found.answers is not None]
    return {
        "in_different_conditions": PICKS + 1,
        "proved": [found.archetype for found in tried if found.proved],
        "left_open": [f.archetype for f in tried if not f.proved and f.answers is None],
        "weak": [{"kind": found.archetype, "changed": dict(found.changed)} for found in weak],
    }


def steps() -> int:
    """How often :func:`prove` calls its ``step``."""
    return len(SAFETY) + len(BY_CONDITION) + len(ANOMALIES) + 1 + len(all_archetypes())


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
