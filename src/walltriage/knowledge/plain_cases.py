"""Cases of rules that ask for plain answers and nothing more: they need not be written."""

from __future__ import annotations

from itertools import product
from typing import Any


def plain_answers(term: Any) -> dict[str, list[str]]:
    """The answers that a condition asks for, by question; none where it is not so plain."""
    tests = term.get("all", [term]) if isinstance(term, dict) else None
    if not isinstance(tests, list) or not all(isinstance(test, dict) for test in tests):
        return {}
    sides = {test.get("answer"): test.get("in", [test.get("is")]) for test in tests}
    plain = len(sides) == len(tests) and all(
        isinstance(answers, list) and answers and all(isinstance(answer, str) for answer in answers)
        for answers in sides.values()
    )
    return sides if plain and all(isinstance(name, str) for name in sides) else {}


def made_cases(sides: dict[str, list[str]]) -> dict[str, list[dict[str, str]]]:
    """Cases of a rule that asks for plain answers."""
    firsts = {name: answers[0] for name, answers in sides.items()}
    return {
        "fires": [dict(zip(sides, answers, strict=True)) for answers in product(*sides.values())],
        "quiet": [{n: a for n, a in firsts.items() if n != name} for name in sides],
    }
