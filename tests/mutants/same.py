"""Whether a mutant does the same as the rules it was made from: shown, not supposed.

Two steps.  All that inference reads apart from the conditions of rules must be equal: tables,
trust, base rates, thresholds, what counts as seen, what rules conclude.  And each condition that
was changed must hold for the same answers as before, which z3 shows over all answers.
"""

from __future__ import annotations

from typing import Any

import z3

from walltriage.entries import Entry
from walltriage.inference.belief.tree import Belief, Reported
from walltriage.inference.engine.strata import StratifiedRule, stratify
from walltriage.knowledge.base import KnowledgeBase
from walltriage.prove.encode import Encoding

EFFORT = 40_000_000  # of z3 for one condition; what is not shown by then is taken to differ
_NOT_READ = {"when", "direct", "kind", "cases"}


def same(before: KnowledgeBase, after: KnowledgeBase) -> bool:
    """Whether both give every answer set the same firings, belief and verdict."""
    if _read(before) != _read(after):
        return False
    old = {item.id: item for item in stratify(before)}
    new = stratify(after)
    if [_frame(item) for item in old.values()] != [_frame(item) for item in new]:
        return False
    changed = {
        position: old[item.id]
        for position, item in enumerate(new)
        if item.branches != old[item.id].branches
    }
    return not changed or _hold_alike(after, changed)


def _hold_alike(after: KnowledgeBase, changed: dict[int, StratifiedRule]) -> bool:
    """Whether rules hold as they did, by place in the order of firing; given as they were."""
    encoding = Encoding(after, tell_apart=changed.values())
    bodies = [
        (encoding.fired[item.id], encoding.holds(item, position))
        for position, item in changed.items()
    ]
    solver = encoding.solver()
    solver.set("rlimit", EFFORT)
    return all(solver.check(fires != held) == z3.unsat for fires, held in bodies)


def _frame(item: StratifiedRule) -> tuple[Any, ...]:
    return (item.id, item.kind, item.heads, item.load_path)


def _told(entry: Entry) -> dict[str, Any]:
    return {name: value for name, value in vars(entry).items() if name not in _NOT_READ}


def _read(base: KnowledgeBase) -> tuple[Any, ...]:
    """What inference reads, conditions of rules apart."""
    belief = Belief(base)
    rules = [(kind, _told(rule)) for kind, rule in base.rules() if rule.status != "retired"]
    questions = [_told(q.entry) for q in base.questions.values()]
    bears = {name: path.entry.bears for name, path in base.paths.items()}
    return (
        _tables(base, belief), rules, questions, bears, dict(base.guards.thresholds),
        dict(base.guards.reliability.sureness), dict(base.guards.reliability.checked),
        _trust(base), _seen_against(base, belief),
    )  # fmt: skip


def _tables(base: KnowledgeBase, belief: Belief) -> list[tuple[Any, ...]]:
    """Every table with the rows of the clues in use."""
    live = {clue.id for clue in base.clues() if clue.status != "retired"}
    return [
        (path, name, table.bearing, table.not_bearing,
         {clue: row for clue, row in table.rows.items() if clue in live})
        for path, tables in belief.tables.items()
        for name, table in tables.items()
    ]  # fmt: skip


def _trust(base: KnowledgeBase) -> dict[str, float]:
    """How far each question that a clue reads is trusted."""
    kinds = base.guards.reliability.kinds
    live = [clue for clue in base.clues() if clue.status != "retired"]
    return {c.question: kinds[base.questions[c.question].entry.kind] for c in live}


def _seen_against(base: KnowledgeBase, belief: Belief) -> set[tuple[str, str, str]]:
    """(path, clue, answer) of every direct look that speaks against a path some rule asks of."""
    leaves = {leaf for item in stratify(base) for branch in item.branches for leaf in branch}
    asked_of = {leaf.name for leaf in leaves if leaf.family == "seen_against"}
    found = set()
    for clue in base.clues():
        kind = base.questions[clue.question].entry.kind
        direct = clue.direct and kind in base.guards.seen_kinds
        if not direct or clue.status == "retired":
            continue
        for path in asked_of:
            tables = belief.tables[path]
            for value in next(iter(clue.shows.values())) if clue.condition in tables else ():
                told = Reported(clue.id, clue.condition, value, 1.0)
                if tables[clue.condition].weight([told]) < 0:
                    found.add((path, clue.id, value))
    return found
