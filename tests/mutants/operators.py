"""The kinds of fault: each finds every place in one file where it can be made.

The *safety* class are the faults that could let a bearing wall pass as non-bearing: whatever
changes a decisive sign, a scope guard, a contradiction, a gate or a verdict, loosens a threshold,
lowers a base rate, or turns evidence round, sharpens it or trusts it too much.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from tests.mutants.conditions import CONDITION_FAULTS, TEST_FAULTS, placed_tests
from tests.mutants.places import DROP
from walltriage.yamltree import KeyPath

Document = dict[str, Any]
GUARDING = ("signs", "scope", "contradictions", "gates", "verdicts")
RULES = (*GUARDING, "facts", "base_rates", "clues", "cautions", "referrals")
LOOSER = {"bearing_at_least": 1.2, "path_established_at_least": 1.2,
          "decisive_sign_at_least": 0.001}  # fmt: skip
LOOSER_BY_DEFAULT = 20.0
ALMOST_SURE = 0.999


@dataclass(frozen=True, slots=True)
class Change:
    """One fault in one file; ``guards``: the changed entry is one that guards against misses."""

    entry: str
    where: KeyPath
    new: Any
    guards: bool = False


@dataclass(frozen=True, slots=True)
class Operator:
    """One kind of fault; ``safety`` when every such fault is of the safety class."""

    changes: Callable[[Document], Iterator[Change]]
    safety: bool = False


def _entries(document: Document, *keys: str) -> Iterator[tuple[KeyPath, Document]]:
    for key in keys:
        listed = document.get(key)
        for index, entry in enumerate(listed if isinstance(listed, list) else ()):
            if isinstance(entry, dict) and "id" in entry:  # others use these words otherwise
                yield (key, index), entry


def _drop(*keys: str) -> Callable[[Document], Iterator[Change]]:
    def changes(document: Document) -> Iterator[Change]:
        for where, entry in _entries(document, *keys):
            yield Change(entry["id"], where, DROP)

    return changes


def _on_conditions(fault: Callable[[Any], Iterator[Any]]) -> Callable[..., Iterator[Change]]:
    def changes(document: Document) -> Iterator[Change]:
        for where, entry in _entries(document, *RULES):
            if entry.get("when") is not None:
                for new in fault(entry["when"]):
                    yield Change(entry["id"], (*where, "when"), new, where[0] in GUARDING)

    return changes


def _on_tests(fault: Callable[[Document], Iterator[Any]]) -> Callable[..., Iterator[Change]]:
    def changes(document: Document) -> Iterator[Change]:
        for where, entry in _entries(document, *RULES):
            for inside, test in placed_tests(entry.get("when")):
                for new in fault(test):
                    place = (*where, "when", *inside)
                    yield Change(entry["id"], place, new, where[0] in GUARDING)

    return changes


def _on_shows(fault: Callable[[Document], Document]) -> Callable[..., Iterator[Change]]:
    def changes(document: Document) -> Iterator[Change]:
        for where, clue in _entries(document, "clues"):
            yield Change(clue["id"], (*where, "shows"), fault(clue["shows"]))

    return changes


def _flip_states(shows: Document) -> Document:
    return dict(zip(shows, reversed(shows.values()), strict=True))


def _swap_answers(shows: Document) -> Document:
    return {state: _swapped(row) for state, row in shows.items()}


def _swapped(row: Document) -> Document:
    names = list(row)
    return {**row, names[0]: row[names[-1]], names[-1]: row[names[0]]}


def _sharpen(shows: Document) -> Document:
    states = list(shows)
    ends = {states[0]: 0, states[-1]: -1}
    return {s: _certain(row, ends[s]) if s in ends else row for s, row in shows.items()}


def _certain(row: Document, at: int) -> Document:
    names = list(row)
    return {name: 100 - len(names) + 1 if name == names[at] else 1 for name in names}


def _move_clue(document: Document) -> Iterator[Change]:
    conditions = [condition["id"] for _, condition in _entries(document, "conditions")]
    for where, clue in _entries(document, "clues"):
        for other in [name for name in conditions if name != clue["condition"]][:1]:
            yield Change(clue["id"], (*where, "condition"), other)


def _turn_direct(document: Document) -> Iterator[Change]:
    for where, clue in _entries(document, "clues"):
        direct = not clue.get("direct", False)
        yield Change(clue["id"], (*where, "direct"), direct, guards=direct)


def _flip_given(document: Document) -> Iterator[Change]:
    for where, entry in _entries(document, "conditions", "uses"):
        given = entry["given"]
        turned = {"bearing": given["not_bearing"], "not_bearing": given["bearing"]}
        yield Change(entry["id"], (*where, "given"), {**given, **turned})


def _lower_rate(document: Document) -> Iterator[Change]:
    for where, rate in _entries(document, "base_rates"):
        lower = [share / 10 for share in rate["in_100"]]
        yield Change(rate["id"], (*where, "in_100"), lower)


def _turn_withheld(document: Document) -> Iterator[Change]:
    other = {"likely_bearing": "likely_non_bearing", "likely_non_bearing": "likely_bearing"}
    for key, word in (("gates", "withholds"), ("verdicts", "concludes")):
        for where, rule in _entries(document, key):
            yield Change(rule["id"], (*where, word), other[rule[word]])


def _loosen(document: Document) -> Iterator[Change]:
    for name, value in (document.get("thresholds") or {}).items():
        looser = value * LOOSER.get(name, LOOSER_BY_DEFAULT)
        yield Change(name, ("thresholds", name), looser)


def _trust(document: Document) -> Iterator[Change]:
    for group in ("kinds", "checked", "sureness"):
        for name in (document.get("reliability") or {}).get(group, {}):
            if document["reliability"][group][name] < ALMOST_SURE:
                yield Change(f"{group}.{name}", ("reliability", group, name), ALMOST_SURE)
    seen = document.get("seen_kinds") or []
    for word in [kind for kind in ("recalled", "judged") if seen and kind not in seen]:
        yield Change(f"seen_kinds {word}", ("seen_kinds",), [*seen, word])


def _call_it_seen(document: Document) -> Iterator[Change]:
    for where, question in _entries(document, "questions"):
        if question.get("kind") in ("recalled", "judged"):
            yield Change(question["id"], (*where, "kind"), "seen")


def _count_for_nothing(document: Document) -> Iterator[Change]:
    if "path" in document and document.get("bears", True):
        yield Change(document["path"], ("bears",), False)


OPERATORS: dict[str, Operator] = {
    "drop a decisive sign": Operator(_drop("signs"), safety=True),
    "drop a gate": Operator(_drop("gates"), safety=True),
    "drop a scope guard": Operator(_drop("scope"), safety=True),
    "drop a contradiction": Operator(_drop("contradictions"), safety=True),
    "drop a fact": Operator(_drop("facts")),
    "drop a clue": Operator(_drop("clues")),
    "drop a base rate": Operator(_drop("base_rates")),
    "turn a gate or verdict": Operator(_turn_withheld, safety=True),
    "loosen a threshold": Operator(_loosen, safety=True),
    **{name: Operator(_on_tests(fault)) for name, fault in TEST_FAULTS.items()},
    **{name: Operator(_on_conditions(fault)) for name, fault in CONDITION_FAULTS.items()},
    "flip the states of a clue": Operator(_on_shows(_flip_states), safety=True),
    "swap the answers of a clue": Operator(_on_shows(_swap_answers), safety=True),
    "sharpen a clue to certainty": Operator(_on_shows(_sharpen), safety=True),
    "move a clue to another condition": Operator(_move_clue),
    "turn direct and indirect": Operator(_turn_direct),
    "flip a condition": Operator(_flip_given, safety=True),
    "lower a base rate": Operator(_lower_rate, safety=True),
    "trust a report too much": Operator(_trust, safety=True),
    "call a memory or guess seen": Operator(_call_it_seen),
    "let a path count for nothing": Operator(_count_for_nothing, safety=True),
}
