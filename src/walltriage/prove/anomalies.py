"""Rules that cannot fire, repeat others or contradict them, and verdicts out of reach."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import z3

from walltriage.knowledge.rule_kinds import KINDS, Owner
from walltriage.knowledge.schema import DerivedFact, Sign
from walltriage.language import say
from walltriage.prove.prover import BEARING, NON_BEARING, Claim, Proof, Prover
from walltriage.rule_testing.rule_cases import case_answers


def nothing_dead(prover: Prover) -> Proof:
    """Each rule, and each question's applicability, holds under some answers."""
    met = np.any(prover.met, axis=0)
    dead = [
        item.id
        for item, shown in zip(prover.encoding.stratified, met, strict=True)
        if not shown and prover.solver.check(prover.encoding.fired[item.id]) == z3.unsat
    ]
    count = len(prover.encoding.stratified)
    return Proof(not dead, ", ".join(dead) or say("all {count} can", count=count))


def nothing_subsumed(prover: Prover) -> Proof:
    """No rule with the same conclusion fires whenever another does."""
    groups: dict[tuple[object, ...], list[str]] = {}
    for item in prover.encoding.stratified:
        if item.kind not in KINDS or not KINDS[item.kind].repeats:
            continue
        same = (item.kind, KINDS[item.kind].same_as(item.rule, Owner(item.load_path)))
        groups.setdefault(same, []).append(item.id)
    covered, pairs, met = [], 0, prover.met
    rules = {item.id: item.rule for item in prover.encoding.stratified}
    settling = {name for name, rule in rules.items() if isinstance(rule, Sign) and rule.settles}
    column = {item.id: index for index, item in enumerate(prover.encoding.stratified)}
    for names in groups.values():
        for one, two in combinations(names, 2):
            for inner, outer in ((one, two), (two, one)):
                if inner in settling and outer not in settling:
                    continue  # says more: the other has to be borne out
                pairs += 1
                if (met[:, column[inner]] & ~met[:, column[outer]]).any():
                    continue  # the rules' own cases show one without the other
                only = (prover.encoding.fired[inner], z3.Not(prover.encoding.fired[outer]))
                if prover.solver.check(*only) == z3.unsat:
                    covered.append(say("{inner} (by {outer})", inner=inner, outer=outer))
    return Proof(not covered, ", ".join(covered) or say("{pairs} pairs, none", pairs=pairs))


def nothing_conflicting(prover: Prover) -> Proof:
    """No two values of one fact, and not both verdicts, for the same answers."""
    by_fact: dict[str, list[tuple[str, str]]] = {}
    for item in prover.encoding.stratified:
        if isinstance(item.rule, DerivedFact):
            for name, value in item.rule.concludes.items():
                by_fact.setdefault(name, []).append((value, item.id))
    for name, makers in by_fact.items():
        for (value, one), (another, two) in combinations(makers, 2):
            if value != another:
                both = (prover.encoding.fired[one], prover.encoding.fired[two])
                if prover.solver.check(*both) == z3.sat:
                    counter = prover.encoding.decode(prover.solver.model())
                    what = say(
                        "{one} and {two} give '{name}' two values", one=one, two=two, name=name
                    )
                    return Proof(False, what, counter)
    both = (prover.verdict(BEARING), prover.verdict(NON_BEARING))
    return prover.never(prover.kind("sign"), *both, told=say("none do"))


def reachable(prover: Prover) -> Proof:
    """Each verdict comes out of the engine for some of the rules' own cases."""
    met = {prover.evaluator.evaluate({}).verdict}
    for rule in prover.base.guards.verdicts:
        for given in rule.cases.fires:
            met.add(prover.evaluator.evaluate(case_answers(prover.base, given)).verdict)
    lacking = {"cannot_tell", BEARING, NON_BEARING} - met
    return Proof(not lacking, ", ".join(sorted(lacking)) or say("all three"))


ANOMALIES: tuple[tuple[str, Claim], ...] = (
    ("every rule can fire", nothing_dead),
    ("no rule is covered by another", nothing_subsumed),
    ("no two rules conclude opposites", nothing_conflicting),
    ("each verdict is reached", reachable),
)
