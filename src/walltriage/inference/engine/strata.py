"""The order in which rules may fire: each after everything it reads is complete.

experta has no truth maintenance and reads "not" as "not concluded so far", so a rule
must wait for all rules whose conclusions it tests.  Rules are put into layers by their
dependencies; a cycle is an error of the knowledge base.

A decisive sign takes no guess: where an answer it reads was only guessed it stays quiet, its
clues count as ever, and a rule beside it withholds "non-bearing" until somebody has looked.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter

from walltriage.errors import InputError, Problem
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.reads import belief_facts
from walltriage.knowledge.rule_kinds import KINDS, Owner, condition_of, owners
from walltriage.knowledge.schema import Rule
from walltriage.knowledge.terms import ANY, Branch, Leaf, branches

BELIEF = "belief"
GUESSED_SIGN = "guessed_sign"
_BELIEF_FAMILIES = ("path", "seen_against", "measure")


@dataclass(frozen=True, slots=True)
class StratifiedRule:
    """One thing to compile: a rule, the applicability of a question, or the belief step.

    ``heads`` are the (family, name) pairs it concludes, ``branches`` its condition in
    disjunctive normal form, ``layer`` its place in the order of firing.
    """

    id: str
    kind: str
    branches: tuple[Branch, ...]
    heads: tuple[tuple[str, str], ...]
    rule: Rule | None = None
    load_path: str = ""
    layer: int = 0


def stratify(base: KnowledgeBase) -> list[StratifiedRule]:
    """All rules with their layers, in firing order; :class:`InputError` for a cycle."""
    items = [*_questions(base), *_rules(base), StratifiedRule(BELIEF, BELIEF, ((),), ())]
    needs = dependencies(items, belief_facts(base))
    try:
        order = list(TopologicalSorter(needs).static_order())
    except CycleError as error:
        raise InputError(_cycle(base, items, error.args[1])) from None
    layers: dict[str, int] = {}
    for name in order:
        layers[name] = 1 + max((layers[n] for n in needs[name]), default=-1)
    position = {item.id: index for index, item in enumerate(items)}
    stratified = [
        StratifiedRule(i.id, i.kind, i.branches, i.heads, i.rule, i.load_path, layers[i.id])
        for i in items
    ]
    return sorted(stratified, key=lambda item: (item.layer, position[item.id]))


def dependencies(
    items: Iterable[StratifiedRule], believed: Collection[str] = ()
) -> dict[str, set[str]]:
    """For each item the ids of those that must be complete before it may fire.

    ``believed``: the facts of the situation that the belief step reads.
    """
    items = list(items)
    makers: dict[tuple[str, str], set[str]] = {}
    for item in items:
        for family, name in item.heads:
            for key in ((family, name), (family, ANY)):
                makers.setdefault(key, set()).add(item.id)
    needs = {item.id: _needs(item, makers) for item in items}
    rates: dict[str, list[str]] = {}
    for item in items:
        if item.kind in KINDS and KINDS[item.kind].first_counts:
            needs[item.id] |= set(rates.setdefault(item.load_path, []))
            rates[item.load_path].append(item.id)
    needs[BELIEF] = {i.id for i in items if i.kind in KINDS and KINDS[i.kind].before_belief}
    for item in items:
        if any(family == "fact" and name in believed for family, name in item.heads):
            needs[BELIEF].add(item.id)
    return needs


def conclusions(item: StratifiedRule) -> tuple[tuple[str, str, str], ...]:
    """(family, name, value) of what an item declares when it fires; the belief step apart."""
    value = ""
    if item.kind in KINDS:
        value = KINDS[item.kind].value(item.rule, Owner(item.load_path))
    return tuple((family, name, value) for family, name in item.heads)


def guessed_name(sign: str) -> str:
    """The id of the rule beside a sign, which holds where the sign is only guessed."""
    return f"{sign}:guessed"


def written(item: StratifiedRule) -> tuple[Branch, ...]:
    """The branches as the rule's ``when`` has them, without the tests added to them here."""
    if item.kind in KINDS and item.rule is not None:
        return condition_of(item.kind, item.rule)
    return item.branches


def _questions(base: KnowledgeBase) -> Iterable[StratifiedRule]:
    for question in base.questions.values():
        if question.entry.applies is not None:
            terms = branches(question.entry.applies)
            yield StratifiedRule(question.id, "question", terms, (("applies", question.id),))


def _rules(base: KnowledgeBase) -> Iterable[StratifiedRule]:
    owner = owners(base)
    for name, rule in base.rules():
        if rule.status == "retired":
            continue
        kind, own = KINDS[name], owner.get(rule.id, Owner())
        terms = condition_of(name, rule)
        if kind.first_counts:
            first = Leaf("rate", own.path, negated=True)
            terms = tuple((*branch, first) for branch in terms)
        if not kind.takes_guesses:
            terms, guessed = _without_guess(terms), _with_guess(terms)
            if guessed:
                beside = guessed_name(rule.id)
                yield StratifiedRule(beside, GUESSED_SIGN, guessed, (("block", beside),), rule)
        yield StratifiedRule(rule.id, name, terms, kind.heads(rule, own), rule, own.path)


def _guessable(branch: Branch) -> tuple[str, ...]:
    """The questions whose answers a branch takes as given."""
    given = (leaf.name for leaf in branch if leaf.family == "answer" and not leaf.negated)
    return tuple(dict.fromkeys(given))


def _without_guess(terms: tuple[Branch, ...]) -> tuple[Branch, ...]:
    return tuple(
        (*branch, *(Leaf("guessed", name, negated=True) for name in _guessable(branch)))
        for branch in terms
    )


def _with_guess(terms: tuple[Branch, ...]) -> tuple[Branch, ...]:
    return tuple(
        (*branch, Leaf("guessed", name)) for branch in terms for name in _guessable(branch)
    )


def _needs(item: StratifiedRule, makers: dict[tuple[str, str], set[str]]) -> set[str]:
    needed = set()
    for leaf in {leaf for branch in item.branches for leaf in branch}:
        if leaf.family in _BELIEF_FAMILIES:
            needed.add(BELIEF)
        elif leaf.family != "rate":
            needed |= makers.get((leaf.family, leaf.name), set())
    return needed


def _cycle(base: KnowledgeBase, items: list[StratifiedRule], cycle: list[str]) -> Problem:
    by_id = {item.id: item for item in items}
    negated = any(
        leaf.negated for name in cycle for branch in by_id[name].branches for leaf in branch
    )
    what = "a cycle through negation" if negated else "a cycle"
    named = next((name for name in cycle if name in base.places), "rules")
    path, line, column = base.places.get(named, ("rules", 0, 0))
    chain = " -> ".join(reversed(cycle))
    return Problem(path, line, column, f"{what}: {chain}", "a rule may read only earlier ones")
