"""Checks of load paths: known conditions and questions, tables that are whole."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from walltriage.errors import Problem
from walltriage.knowledge.base import KnowledgeBase, LoadPath
from walltriage.knowledge.schema import Condition, Given
from walltriage.knowledge.unknown import unknown
from walltriage.yamltree import KeyPath, Tree


def path_problems(base: KnowledgeBase, tree: Tree) -> Iterator[Problem]:
    """What is wrong in the file of a load path, or in one that adds to a path."""
    if "adds_to" in tree.data:
        message = unknown("load path", tree.data["adds_to"], base.paths)
        if message:
            yield tree.problem(("adds_to",), *message)
            return
    path = base.paths[tree.data.get("path") or tree.data["adds_to"]]
    if "path" in tree.data:
        yield from _rate_problems(path, tree)
    for kind in ("conditions", "uses"):
        for index, raw in enumerate(tree.data.get(kind, ())):
            where: KeyPath = (kind, index)
            if raw["id"] not in path.conditions:
                known = {c for p in base.paths.values() for c in p.conditions}
                yield tree.problem(where, *unknown("condition", raw["id"], known) or ("", ""))
                continue
            condition, given = path.conditions[raw["id"]]
            states = list(condition.states)
            yield from _given_problems(given, states, tree, (*where, "given"))
            if kind == "conditions":
                yield from _variant_problems(condition, states, tree, where)
    clues = {clue.id: clue for clue in path.entry.clues}
    for index, raw in enumerate(tree.data.get("clues", ())):
        yield from _clue_problems(base, path.entry.path, index, tree, clues[raw["id"]])


def _rate_problems(path: LoadPath, tree: Tree) -> Iterator[Problem]:
    for index, rate in enumerate(path.entry.base_rates):
        if rate.in_100[0] > rate.in_100[1]:
            yield tree.problem(("base_rates", index, "in_100"), "lowest is above highest")
    if path.entry.base_rates[-1].when is not None:
        yield tree.problem(("base_rates",), "the last base rate has a 'when'", "expected none")


def _given_problems(
    given: Given, states: list[str], tree: Tree, where: KeyPath
) -> Iterator[Problem]:
    for side in ("bearing", "not_bearing"):
        yield from _row_problems(getattr(given, side), states, tree, (*where, side))


def _variant_problems(
    condition: Condition, states: list[str], tree: Tree, where: KeyPath
) -> Iterator[Problem]:
    for index, variant in enumerate(condition.given_where):
        here: KeyPath = (*where, "given_where", index)
        if variant.given is not None:
            yield from _given_problems(variant.given, states, tree, (*here, "given"))
        elif variant.misread is None:
            yield tree.problem(here, "this variant changes nothing", "expected given or misread")


def _clue_problems(
    base: KnowledgeBase, path: str, index: int, tree: Tree, clue: Any
) -> Iterator[Problem]:
    where: KeyPath = ("clues", index)
    if clue.cases is None:
        yield tree.problem(where, "missing key 'cases'", "expected it where the clue has a 'when'")
    if clue.says is None and clue.question in base.questions:
        expected = "expected it where wording.yaml has none for that place"
        yield tree.problem(where, "missing key 'says'", expected)
    own = {condition.id: condition for condition in base.paths[path].entry.conditions}
    message = unknown("condition of this path", clue.condition, own)
    if message:
        yield tree.problem((*where, "condition"), *message)
        return
    message = unknown("question", clue.question, base.questions)
    if message:
        yield tree.problem((*where, "question"), *message)
        return
    states, rows = list(own[clue.condition].states), clue.shows
    if list(rows) != states:
        what = f"'shows' of '{clue.id}' has rows {', '.join(rows)}"
        yield tree.problem((*where, "shows"), what, f"expected {', '.join(states)} in this order")
        return
    order = list(rows[states[0]])
    if sorted(order) != sorted(base.questions[clue.question].values):
        values = base.questions[clue.question].values
        what = f"'shows' of '{clue.id}' has answers {', '.join(order)}"
        yield tree.problem((*where, "shows"), what, f"expected all of {', '.join(values)}")
        return
    for state in states:
        yield from _row_problems(rows[state], order, tree, (*where, "shows", state))


def _row_problems(
    row: dict[str, float], names: list[str], tree: Tree, where: KeyPath
) -> Iterator[Problem]:
    if list(row) != names:
        what = f"entries {', '.join(row)}"
        yield tree.problem(where, what, f"expected {', '.join(names)} in this order")
    elif abs(sum(row.values()) - 100) > 1e-6:
        yield tree.problem(where, f"the row adds up to {sum(row.values()):g}", "expected 100")
    elif not all(0 < cell < 100 for cell in row.values()):
        yield tree.problem(
            where, "a share of 0 or 100", "expected at least 0.1: nobody is that sure"
        )
