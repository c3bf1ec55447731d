"""Properties that keep a bearing wall from passing, over all answers."""

from __future__ import annotations

import z3

from walltriage.inference.engine.strata import GUESSED_SIGN
from walltriage.knowledge.schema_guards import Gate
from walltriage.language import say
from walltriage.prove.holes import holes_with_a_gap
from walltriage.prove.indirect import (
    indirect_alone,
    indirect_of_one_condition,
    one_indirect_answer,
)
from walltriage.prove.prover import NON_BEARING, Claim, Proof, Prover
from walltriage.prove.tables import monotone


def sign_never(prover: Prover) -> Proof:
    """Decisive sign and "non-bearing" exclude each other, at any sureness."""
    return prover.never(prover.kind("sign"), prover.verdict(NON_BEARING))


def guess_never(prover: Prover) -> Proof:
    """A sign held back because of a guess still withholds "non-bearing"."""
    return prover.never(prover.kind(GUESSED_SIGN), prover.verdict(NON_BEARING))


def nothing_known(prover: Prover) -> Proof:
    """With no real answer the engine tells nothing, and logic allows no "non-bearing"."""
    proof = prover.never(*prover.silent(prover.base.questions), prover.verdict(NON_BEARING))
    empty = prover.evaluator.evaluate({})
    if empty.verdict != "cannot_tell":
        return Proof(
            False, say("the engine says {verdict} to no answers", verdict=empty.verdict), {}
        )
    return proof


def nothing_seen(prover: Prover) -> Proof:
    """Without anything seen or measured against a path, no "non-bearing"."""
    unseen = [z3.Not(prover.encoding.atom("seen_against", path)) for path in prover.base.paths]
    return prover.never(*unseen, prover.verdict(NON_BEARING))


def scope_never(prover: Prover) -> Proof:
    """A scope guard withholds "non-bearing"."""
    return prover.never(prover.kind("scope"), prover.verdict(NON_BEARING))


def contradiction_never(prover: Prover) -> Proof:
    """So does a contradiction."""
    return prover.never(prover.kind("contradiction"), prover.verdict(NON_BEARING))


def gates_withhold(prover: Prover) -> Proof:
    """No gate fires beside the very verdict that it says it withholds."""
    gates = [i for i in prover.encoding.stratified if isinstance(i.rule, Gate)]
    for item in gates:
        assert isinstance(item.rule, Gate)
        withheld = prover.verdict(item.rule.withholds)
        proof = prover.never(prover.encoding.fired[item.id], withheld)
        if not proof.holds:
            told = say(
                "{gate} does not withhold '{verdict}'", gate=item.id, verdict=item.rule.withholds
            )
            return Proof(False, told, proof.counter)
    return Proof(True, say("none of {count}", count=len(gates)))


SAFETY: tuple[tuple[str, Claim], ...] = (
    ("a decisive sign is never non-bearing", sign_never),
    ("a guessed sign is never non-bearing", guess_never),
    ("all don't-know is cannot tell", nothing_known),
    ("nothing seen is never non-bearing", nothing_seen),
    ("one indirect answer is never non-bearing", one_indirect_answer),
    ("no set of indirect answers is non-bearing", indirect_alone),
    ("a building out of scope is never non-bearing", scope_never),
    ("a contradiction is never non-bearing", contradiction_never),
    ("a gate withholds the verdict it names", gates_withhold),
    ("no answer for a path lowers its condition", monotone),
    ("no holes with a gap speak for the whole wall", holes_with_a_gap),
)
# Follows from the above where no question is both a direct look and a hint; slower.
BY_CONDITION: tuple[tuple[str, Claim], ...] = (
    ("indirect answers about one condition are never non-bearing", indirect_of_one_condition),
)
