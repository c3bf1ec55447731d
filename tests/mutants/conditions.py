"""Faults in the conditions of rules: on a whole condition, or on one test within it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from walltriage.knowledge.terms import NO_ANSWER, UNKNOWN
from walltriage.yamltree import KeyPath

Term = dict[str, Any]
TURNED = {"at_least": "at_most", "at_most": "at_least", "above": "below", "below": "above"}


def placed_tests(term: Any, where: KeyPath = ()) -> Iterator[tuple[KeyPath, Term]]:
    """Every single test of a condition with its place inside it; none of None."""
    if term is None:
        return
    for word in ("all", "any"):
        if word in term:
            for index, part in enumerate(term[word]):
                yield from placed_tests(part, (*where, word, index))
            return
    if "not" in term:
        yield from placed_tests(term["not"], (*where, "not"))
    else:
        yield where, term


# on one test; each yields what stands there instead


def _let_unknown_speak(test: Term) -> Iterator[Term]:
    values = _values(test)
    if values and not set(values) & set(NO_ANSWER):
        yield {"answer": test["answer"], "in": [*values, UNKNOWN]}


def _take_any_answer(test: Term) -> Iterator[Term]:
    if _values(test):
        yield {"answered": test["answer"]}


def _narrow(test: Term) -> Iterator[Term]:
    for value in test.get("in", ()) if len(test.get("in", ())) > 1 else ():
        yield {**test, "in": [other for other in test["in"] if other != value]}


def _turn_comparison(test: Term) -> Iterator[Term]:
    for word in TURNED.keys() & test.keys():
        yield {TURNED[word] if key == word else key: value for key, value in test.items()}


def _negate(term: Term) -> Iterator[Term]:
    yield term.get("not", {"not": term})


def _values(test: Term) -> list[str]:
    if "answer" not in test:
        return []
    return [test["is"]] if "is" in test else list(test.get("in", ()))


# on a whole condition


def _all_for_any(term: Term) -> Iterator[Term]:
    for word, other in (("all", "any"), ("any", "all")):
        if len(term.get(word, ())) > 1:
            yield {other: term[word]}


def _drop_part(term: Term) -> Iterator[Term]:
    for word in ("all", "any"):
        parts = term.get(word, ())
        for index in range(len(parts)) if len(parts) > 1 else ():
            yield {word: [*parts[:index], *parts[index + 1 :]]}


TEST_FAULTS: Mapping[str, Callable[[Term], Iterator[Term]]] = {
    "let don't-know speak": _let_unknown_speak,
    "take any answer": _take_any_answer,
    "narrow a set": _narrow,
    "turn a comparison": _turn_comparison,
    "negate a test": _negate,
}
CONDITION_FAULTS: Mapping[str, Callable[[Term], Iterator[Term]]] = {
    "negate a condition": _negate,
    "all for any": _all_for_any,
    "drop a part of a condition": _drop_part,
}
