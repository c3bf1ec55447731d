"""Rules that can never fire, or that another rule makes needless."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from walltriage.errors import Problem
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.condition_text import branch_words
from walltriage.knowledge.lints.model import at, lint
from walltriage.knowledge.reads import questions_behind, questions_of
from walltriage.knowledge.rule_kinds import KINDS, Owner, condition_of, owners
from walltriage.knowledge.satisfy import Satisfier, covers
from walltriage.knowledge.schema import Rule, Sign
from walltriage.knowledge.schema_scope import ContradictionRule


def _dead(base: KnowledgeBase, lint: str, never: str, interview: bool = True) -> Iterator[Problem]:
    satisfier = Satisfier(base, interview)
    for kind, rule in base.rules():
        if KINDS[kind].dead != lint or rule.status == "retired":
            continue
        terms = condition_of(kind, rule)
        dead = [branch for branch in terms if not satisfier.branch(branch)]
        if len(dead) == len(terms):
            yield at(base, f"'{rule.id}' {never}: no answers satisfy its 'when'", rule.id, "when")
        elif dead:
            what = f"{len(dead)} of {len(terms)} alternatives of '{rule.id}' can never hold"
            yield at(base, f"{what}: {branch_words(base, dead[0])}", rule.id, "when")


@lint("error", "fix the tests that exclude each other")
def never_fires(base: KnowledgeBase) -> Iterator[Problem]:
    """Rules, or alternatives of rules, whose tests exclude each other."""
    yield from _dead(base, "never_fires", "can never fire")


@lint("error", "fix its 'when'")
def contradiction_unreachable(base: KnowledgeBase) -> Iterator[Problem]:
    """Contradictions that no set of answers can meet, in a case file or an interview."""
    yield from _dead(base, "contradiction", "can never be met", interview=False)


@lint(
    "warning", "say 'files_only: true' where it is to guard case files, or let both questions apply"
)
def contradiction_files_only(base: KnowledgeBase) -> Iterator[Problem]:
    """Contradictions that an interview cannot meet, because a question would not apply.

    Those that say so themselves (``files_only``) are left out.
    """
    never_met = {problem.what for problem in contradiction_unreachable.check(base)}
    said = {at(base, "", rule.id, "when") for rule in _said_files_only(base)}
    for problem in _dead(base, "contradiction", "can never be met"):
        if problem.what not in never_met and replace(problem, what="") not in said:
            what = problem.what.replace("never be met", "be met in case files only")
            yield replace(problem, what=what.replace("no answers", "no answers to an interview"))


@lint("error", "take 'files_only' out")
def files_only_mistaken(base: KnowledgeBase) -> Iterator[Problem]:
    """Contradictions said to be for case files only, which an interview can meet too."""
    satisfier = Satisfier(base)
    for rule in _said_files_only(base):
        if satisfier.term(condition_of("contradiction", rule)):
            what = f"'{rule.id}' is said to be for case files only, yet an interview can meet it"
            yield at(base, what, rule.id, "files_only")


def _said_files_only(base: KnowledgeBase) -> Iterator[ContradictionRule]:
    for rule in base.contradictions:
        if rule.files_only and rule.status != "retired":
            yield rule


@lint("error", "fix its 'when'")
def caution_never_shown(base: KnowledgeBase) -> Iterator[Problem]:
    """Cautions and referrals that no house can bring up."""
    yield from _dead(base, "caution", "is never shown")


def _families(base: KnowledgeBase) -> Iterator[list[tuple[str, Rule]]]:
    """Rules of one kind that conclude the same."""
    families: dict[tuple[object, ...], list[tuple[str, Rule]]] = {}
    owner = owners(base)
    for kind, rule in base.rules():
        if rule.status != "retired":
            same = (kind, KINDS[kind].same_as(rule, owner.get(rule.id, Owner())))
            families.setdefault(same, []).append((kind, rule))
    yield from families.values()


def _same(kind: str, one: Rule, other: Rule) -> bool:
    """Whether two rules of a kind have the same condition."""
    first, second = (set(map(frozenset, condition_of(kind, rule))) for rule in (one, other))
    return first == second


def _covers(kind: str, broad: Rule, narrow: Rule) -> bool:
    return covers(condition_of(kind, broad), condition_of(kind, narrow))


@lint("error", "keep one, with both sources")
def duplicate_rule(base: KnowledgeBase) -> Iterator[Problem]:
    """Two rules with the same condition and the same conclusion."""
    for family in _families(base):
        for index, (kind, rule) in enumerate(family):
            twin = next((first for _, first in family[:index] if _same(kind, first, rule)), None)
            if twin is not None:
                yield at(base, f"'{rule.id}' says again what '{twin.id}' says", rule.id)


@lint("error", "put the narrower rule first, narrow the broader one, or take this one out")
def shadowed_rule(base: KnowledgeBase) -> Iterator[Problem]:
    """Base rates after one that always comes first; facts that a broader rule concludes."""
    for family in _families(base):
        for index, (kind, rule) in enumerate(family):
            way = KINDS[kind]
            if not (way.first_counts or way.may_shadow):
                continue
            those = family[:index] if way.first_counts else family[:index] + family[index + 1 :]
            others = [other for _, other in those if not _same(kind, other, rule)]
            broader = next((other for other in others if _covers(kind, other, rule)), None)
            if broader is not None:
                what = f"'{rule.id}' never counts: '{broader.id}' holds whenever it does"
                yield at(base, what, rule.id)


def _settles(rule: Rule) -> bool:
    return isinstance(rule, Sign) and rule.settles


@lint("warning", "keep it only if its words tell more than the broader sign's")
def redundant_sign(base: KnowledgeBase) -> Iterator[Problem]:
    """Signs that fire only when a broader sign of the same path fires too, and settle no more."""
    for family in _families(base):
        for kind, rule in family:
            for _, other in family:
                if kind != "sign" or other is rule or _same(kind, other, rule):
                    continue
                if _settles(rule) and not _settles(other):
                    continue
                if _covers(kind, other, rule):
                    yield at(base, f"'{rule.id}' fires only where '{other.id}' does", rule.id)


@lint("error", "let one question of the ring apply by itself")
def applies_cycle(base: KnowledgeBase) -> Iterator[Problem]:
    """Questions that apply only once they are answered themselves, directly or in a ring."""
    behind = questions_behind(base)
    needs = {
        name: questions_of(question.entry.applies, behind)
        for name, question in base.questions.items()
    }
    for name in needs:
        reached: set[str] = set()
        waiting = set(needs[name])
        while waiting:
            step = waiting.pop()
            reached.add(step)
            waiting |= needs[step] - reached
        if name in reached:
            yield at(base, f"'{name}' waits for its own answer", name, "applies")
