"""The condition language of ``when:`` and ``applies:``.

A term is one of::

    {all: [TERM, ...]}    {any: [TERM, ...]}    {not: TERM}
    {answer: QUESTION, is: OPTION}              {answer: QUESTION, in: [OPTION, ...]}
    {answer: QUESTION, at_least: 15 ft}         also at_most, above, below
    {answered: QUESTION}                        any answer but unknown and out_of_reach
    {fact: NAME, is: VALUE}                     something an earlier rule concluded
    {path: LOAD_PATH, is: established}          also ruled_out, open, or in: [...]
    {guessed: QUESTION}                         answered, but only as a guess
    {doubted: QUESTION}                         answered, but not as certain
    {seen_against: LOAD_PATH}                   a direct look speaks against the path
    {block: GATE_OR_ANY}  {sign: RULE}  {contradiction: any}  {scope: any}
    {measure: NAME, at_most: THRESHOLD}         a number the belief arithmetic gave

There is no expression language and nothing is evaluated as code.  Terms are put
into disjunctive normal form; the engine matches each branch as patterns.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import product
from typing import Any

from walltriage.errors import QuantityError
from walltriage.units import parse_length

FAMILIES = (
    "answer", "answered", "guessed", "doubted", "fact", "path", "seen_against",
    "block", "sign", "contradiction", "scope", "measure", "verdict",
)  # fmt: skip
ASKED_OF = ("answer", "answered", "guessed", "doubted")  # families that read an answer
LESS_THAN_CERTAIN = ("guessed", "doubted")  # families that read how sure somebody was
COMPARISONS = ("at_least", "at_most", "above", "below")
ANY = "any"
UNKNOWN, OUT_OF_REACH = "unknown", "out_of_reach"
NO_ANSWER = (UNKNOWN, OUT_OF_REACH)
MOST_BRANCHES = 24


@dataclass(frozen=True, slots=True)
class Leaf:
    """One test of one datum.

    ``values`` holds the accepted words (empty: any), ``comparison`` and ``limit``
    a numeric test (inches where the question asks a length), ``negated`` turns the
    leaf into "nothing matching was concluded so far".
    """

    family: str
    name: str
    values: tuple[str, ...] = ()
    comparison: str | None = None
    limit: float | str | None = None
    negated: bool = False

    def holds_for(self, value: str, number: float | None) -> bool:
        """Whether one datum of this family and name satisfies the test, sign aside."""
        if self.comparison is not None:
            return number is not None and compare(self.comparison, number, float(self.limit or 0))
        if self.family == "answered":
            return value not in NO_ANSWER
        return not self.values or value in self.values


Branch = tuple[Leaf, ...]


def positive(leaf: Leaf) -> Leaf:
    """The leaf without its "not"."""
    return replace(leaf, negated=False) if leaf.negated else leaf


def compare(comparison: str, number: float, limit: float) -> bool:
    """Apply one of :data:`COMPARISONS`."""
    if comparison == "at_least":
        return number >= limit
    if comparison == "at_most":
        return number <= limit
    return number > limit if comparison == "above" else number < limit


class TermError(ValueError):
    """A term that cannot be read; ``where`` is the key path inside the term."""

    def __init__(self, where: tuple[str | int, ...], what: str, expected: str) -> None:
        self.where, self.what, self.expected = where, what, expected
        super().__init__(f"{what}; {expected}")


def branches(term: Any) -> tuple[Branch, ...]:
    """Disjunctive normal form: the term holds when all leaves of any one branch hold.

    Raises :class:`TermError`.  An absent term (None) is one empty branch: always.
    """
    if term is None:
        return ((),)
    result = _dnf(term, (), negate=False)
    if len(result) > MOST_BRANCHES:
        raise TermError(
            (), f"{len(result)} alternatives after expansion",
            f"at most {MOST_BRANCHES}; conclude a fact first and use that",
        )  # fmt: skip
    return tuple(dict.fromkeys(tuple(dict.fromkeys(branch)) for branch in result))


def _dnf(term: Any, where: tuple[str | int, ...], negate: bool) -> list[Branch]:
    if not isinstance(term, dict) or not term:
        raise TermError(where, f"{term!r} is not a condition", "expected {all|any|not|answer: ...}")
    for word in ("all", "any"):
        if word in term:
            items = term[word]
            if len(term) != 1 or not isinstance(items, list) or not items:
                raise TermError((*where, word), f"'{word}' needs a list", "expected [TERM, ...]")
            parts = [_dnf(item, (*where, word, i), negate) for i, item in enumerate(items)]
            if (word == "all") != negate:
                return [tuple(leaf for b in combo for leaf in b) for combo in product(*parts)]
            return [branch for part in parts for branch in part]
    if "not" in term:
        if len(term) != 1:
            raise TermError((*where, "not"), "'not' stands beside other keys", "expected it alone")
        return _dnf(term["not"], (*where, "not"), not negate)
    return [(_leaf(term, where, negate),)]


def placed_leaves(term: Any) -> tuple[tuple[tuple[str | int, ...], Leaf], ...]:
    """Every test of a term once, with its key path inside the term, in the order written.

    Raises :class:`TermError`.  A test under ``not`` comes out negated, as in :func:`branches`.
    """
    found: dict[Leaf, tuple[str | int, ...]] = {}
    if term is not None:
        _place(term, (), False, found)
    return tuple((where, leaf) for leaf, where in found.items())


def _place(
    term: Any, where: tuple[str | int, ...], negate: bool, found: dict[Leaf, tuple[str | int, ...]]
) -> None:
    for word in ("all", "any"):
        if word in term:
            for index, item in enumerate(term[word]):
                _place(item, (*where, word, index), negate, found)
            return
    if "not" in term:
        _place(term["not"], (*where, "not"), not negate, found)
    else:
        found.setdefault(_leaf(term, where, negate), where)


def _leaf(term: dict[str, Any], where: tuple[str | int, ...], negate: bool) -> Leaf:
    family = next((word for word in FAMILIES if word in term), None)
    if family is None:
        raise TermError(
            where, f"unknown condition '{next(iter(term))}'",
            "expected one of all, any, not, " + ", ".join(FAMILIES),
        )  # fmt: skip
    name = term[family]
    if not isinstance(name, str):
        raise TermError((*where, family), f"{name!r} is not an id", "expected a word")
    tests = {key: value for key, value in term.items() if key != family}
    if len(tests) > 1:
        raise TermError(where, f"more than one test: {', '.join(tests)}", "expected one")
    if not tests:
        return Leaf(family, name, negated=negate)
    ((key, value),) = tests.items()
    if key == "is" and isinstance(value, str):
        return Leaf(family, name, (value,), negated=negate)
    if key == "in" and isinstance(value, list) and value and all(isinstance(v, str) for v in value):
        return Leaf(family, name, tuple(value), negated=negate)
    if key in COMPARISONS and family in ("answer", "measure"):
        return Leaf(family, name, (), key, _limit(family, value, (*where, key)), negate)
    raise TermError(
        (*where, key), f"'{key}: {value}' is not a test", "expected is: WORD, in: [WORD, ...] "
        "or one of " + ", ".join(COMPARISONS),
    )  # fmt: skip


def _limit(family: str, value: Any, where: tuple[str | int, ...]) -> float | str:
    if family == "measure" and isinstance(value, str):
        return value  # a threshold by its name in guards.yaml
    if isinstance(value, int | float) and not isinstance(value, bool):
        return float(value)
    try:
        return parse_length(value)
    except QuantityError as error:
        raise TermError(where, str(error), "expected a length or a number") from None
