"""The form of ``rules/scope.yaml`` and ``rules/contradictions.yaml``."""

from __future__ import annotations

from itertools import product
from typing import Any

from pydantic import Field, model_validator

from walltriage.knowledge.schema import COMMON_PRACTICE, Entry, Id, Rule, Sources, Text


class Scope(Rule):
    """A kind of building that indirect clues cannot settle."""

    when: dict[str, Any]
    refer: Text


class ScopeFile(Entry):
    """``rules/scope.yaml``."""

    scope: list[Scope]


class ContradictionRule(Rule):
    """Answers that cannot all be true; ``questions`` are the ones to look at again.

    ``files_only``: an interview would not ask all of them, but a case file can hold them.
    Where any of some answers stands against any of others and nothing more is asked, the
    questions are those of ``when`` and the cases are made: all together it fires, and without
    one of them it is quiet.
    """

    source: Sources = COMMON_PRACTICE
    when: dict[str, Any]
    questions: list[Id] = Field(min_length=1)
    files_only: bool = False

    @model_validator(mode="before")
    @classmethod
    def _filled_in(cls, data: Any) -> Any:
        sides = _sides(data.get("when")) if isinstance(data, dict) else {}
        if not sides:
            return data
        return {"questions": list(sides), "cases": _cases(sides)} | data


def _sides(term: Any) -> dict[str, list[str]]:
    """The answers that stand against each other, by question; none where it is not so plain."""
    tests = term.get("all") if isinstance(term, dict) else None
    if not isinstance(tests, list) or not all(isinstance(test, dict) for test in tests):
        return {}
    sides = {test.get("answer"): test.get("in", [test.get("is")]) for test in tests}
    plain = len(sides) == len(tests) and all(
        isinstance(answers, list) and all(isinstance(answer, str) for answer in answers)
        for answers in sides.values()
    )
    return sides if plain and all(isinstance(name, str) for name in sides) else {}


def _cases(sides: dict[str, list[str]]) -> dict[str, list[dict[str, str]]]:
    firsts = {name: answers[0] for name, answers in sides.items()}
    return {
        "fires": [dict(zip(sides, answers, strict=True)) for answers in product(*sides.values())],
        "quiet": [{n: a for n, a in firsts.items() if n != name} for name in sides],
    }


class ContradictionFile(Entry):
    """``rules/contradictions.yaml``."""

    contradictions: list[ContradictionRule]
