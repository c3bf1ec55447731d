"""Entries that nothing asks, reads or cites."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from walltriage.errors import Problem
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.lints.model import at, lint
from walltriage.knowledge.reads import belief_facts
from walltriage.knowledge.satisfy import Satisfier
from walltriage.knowledge.schema import Sources
from walltriage.knowledge.terms import ANY, Leaf, branches
from walltriage.yamltree import load


def rule_leaves(base: KnowledgeBase) -> set[Leaf]:
    """Every test of every rule that is not retired."""
    terms = [getattr(rule, "when", None) for _, rule in base.rules() if rule.status != "retired"]
    return {leaf for term in terms for branch in branches(term) for leaf in branch}


@lint("error", "fix its 'applies' or 'who', or take the question out")
def never_asked(base: KnowledgeBase) -> Iterator[Problem]:
    """Questions never answered: asked of nobody, never applying, or computed by nothing."""
    satisfier = Satisfier(base)
    worked_out = base.relations.works_out | base.measures.worked_out
    if base.seen_along is not None:
        worked_out.add(base.seen_along.clash.question)
    for name, question in base.questions.items():
        entry = question.entry
        if not entry.who:
            yield at(base, f"'{name}' is asked of nobody", name, "who")
        elif entry.kind == "computed" and name not in worked_out:
            yield at(base, f"'{name}' is never asked, and nothing works it out", name, "kind")
        elif entry.applies is not None and not satisfier.term(branches(entry.applies)):
            yield at(base, f"'{name}' is never asked: it can never apply", name, "applies")


@lint("warning", "write a rule that reads it, or take the question out")
def unused_question(base: KnowledgeBase) -> Iterator[Problem]:
    """Questions that no rule, no other question and no arithmetic reads."""
    read = {leaf.name for leaf in rule_leaves(base) if leaf.family in ("answer", "answered")}
    read |= {clue.question for clue in base.clues() if clue.status != "retired"}
    for question in base.questions.values():
        read |= {leaf.name for b in branches(question.entry.applies) for leaf in b}
    read |= {reading.question for list_ in base.measures.inputs.values() for reading in list_}
    for name in base.questions:
        if name not in read:
            yield at(base, f"no rule needs the answer to '{name}'", name)


@lint("error", "use it in a rule, or take it out")
def unused_conclusion(base: KnowledgeBase) -> Iterator[Problem]:
    """Facts that nothing reads, gates that no verdict heeds, conditions without a clue."""
    leaves, believed = rule_leaves(base), belief_facts(base)
    for question in base.questions.values():
        leaves |= {leaf for b in branches(question.entry.applies) for leaf in b}
    for rule in base.facts:
        for name, value in rule.concludes.items():
            if (
                rule.status != "retired"
                and name not in believed
                and not any(
                    leaf.family == "fact" and leaf.name == name and leaf.holds_for(value, None)
                    for leaf in leaves
                )
            ):
                yield at(base, f"nobody uses '{name}: {value}'", rule.id, "concludes", name)
    heeded = {leaf.name for leaf in leaves if leaf.family == "block"}
    for gate in base.guards.gates:
        if gate.status != "retired" and not heeded & {gate.id, ANY}:
            yield at(base, f"no verdict heeds the gate '{gate.id}'", gate.id)
    for path in base.paths.values():
        for condition in path.entry.conditions:
            if not any(clue.status != "retired" for clue in path.clues[condition.id]):
                yield at(base, f"no clue speaks of the condition '{condition.id}'", condition.id)


def cited(sources: Sources) -> Iterator[tuple[str, str]]:
    """(key, clause) of each citation; the clause is empty where none is given."""
    for source in [sources] if isinstance(sources, str) else sources:
        key, _, clause = source.partition(":")
        yield key.strip(), clause.strip()


def all_sources(base: KnowledgeBase) -> Iterable[tuple[str, Sources]]:
    """(entry id, its sources) for rules and conditions."""
    for _, rule in base.rules():
        yield rule.id, rule.source
    for path in base.paths.values():
        yield from ((condition.id, condition.source) for condition in path.entry.conditions)
        yield from ((used.id, used.source) for used in path.entry.uses)


def value_file_sources(base: KnowledgeBase) -> Iterator[str]:
    """Keys cited by the value files of the folder (lumber, loads), which other rooms read."""
    known = {tree.path for tree, _ in base.anchors.values()}
    for path in sorted(base.folder.rglob("*.yaml")):
        if str(path) in known or path.name == "measures.yaml":
            continue
        tree = load(path)
        for where in tree.places:
            if where and where[-1] == "source":
                found = tree.at(where)
                yield from (
                    key for key, _ in cited(found if isinstance(found, list) else str(found))
                )


@lint("warning", "cite it in a rule, or take it out")
def unused_source(base: KnowledgeBase) -> Iterator[Problem]:
    """Publications of sources.yaml that no rule, condition, guard number or value file cites."""
    used = {key for _, sources in all_sources(base) for key, _ in cited(sources)}
    assumed = [entry.source for entry in base.measures.assumed.values()]
    for sources in (base.guards.costs.source, base.guards.reliability.source, *assumed):
        used |= {key for key, _ in cited(sources)}
    used |= set(value_file_sources(base))
    for key in base.sources:
        if key not in used:
            yield at(base, f"no rule cites the source '{key}'", key)
