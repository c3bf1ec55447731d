"""Why, and why not: the firings of one evaluation told in the words of the rules."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from walltriage.case.model import Answer
from walltriage.inference.belief.tree import logit_db
from walltriage.inference.engine.compile import Firing
from walltriage.inference.engine.evaluate import Evaluation, Evaluator
from walltriage.inference.engine.strata import GUESSED_SIGN, guessed_name
from walltriage.inference.finding import (
    LEVELS,
    Caution,
    Contradiction,
    Evidence,
    Fired,
    PathFinding,
    Referral,
    Verdict,
    WhyNot,
)
from walltriage.inference.observed import said
from walltriage.knowledge.schema import Clue, Rule, Sources
from walltriage.knowledge.terms import compare, placed_leaves
from walltriage.language import say

UNTOLD = ("belief", "question")
"""Kinds of firings that are steps of the program, and no reasons."""
NO_REFERRAL = Referral("strong", "Have a licensed structural engineer look at this wall.")
_GUESSED = "Only guessed so far: {says}"
# the marks that the whole wall's chance is held against
_MARKS: Mapping[Verdict, str] = {
    "likely_non_bearing": "non_bearing_at_most",
    "likely_bearing": "bearing_at_least",
}
_MEASURED = {
    "lower": "The lowest chance that it bears",
    "middle": "The chance that it bears, between the lowest and the highest,",
    "upper": "The highest chance that it bears",
    "upper_without_adverse": "The highest chance that it bears",
}


def _with_answer(says: str, means: str) -> str:
    """What a rule says with the answer put in, which may stand first."""
    text = says.replace("{answer}", means)
    return text[:1].upper() + text[1:]


def source_text(source: Sources) -> str:
    """Sources as one line."""
    return source if isinstance(source, str) else "; ".join(source)


def _rules(evaluator: Evaluator) -> dict[str, Rule]:
    """Each rule by the ids under which it may fire."""
    rules = {rule.id: rule for _, rule in evaluator.base.rules()}
    return rules | {guessed_name(sign.id): sign for _, sign in evaluator.base.signs()}


def load_paths(
    evaluator: Evaluator, result: Evaluation, answers: Mapping[str, Answer]
) -> tuple[PathFinding, ...]:
    """One finding a load path, strongest reasons first."""
    found = []
    for name, state in result.paths.items():
        entry = evaluator.base.paths[name].entry
        evidence = _evidence(evaluator, name, result, answers)
        found.append(
            PathFinding(
                name,
                entry.title,
                entry.says,
                entry.settled_by,
                state.status,
                (state.low, state.high),
                evidence,
                entry.bears,
                state.seen_against,
            )
        )
    return tuple(found)


def _evidence(
    evaluator: Evaluator, path: str, result: Evaluation, answers: Mapping[str, Answer]
) -> tuple[Evidence, ...]:
    base, state = evaluator.base, result.paths[path]
    signs = {sign.id: sign for _, sign in base.signs()}
    clues = {clue.id: clue for clue in base.clues()}
    found = [
        Evidence(
            sign.id, None, None, None, sign.says, source_text(sign.source),
            kind="sign", limits=tuple(sign.limits),
        )
        for sign in (signs[name] for name in state.signs)
    ]  # fmt: skip
    weighed = []
    shares = evaluator.step.kernel.shares(path, result.told)
    for reported in state.reports:
        clue, answer = clues[reported.clue], answers[clues[reported.clue].question]
        means = base.questions[clue.question].means(answer.value)
        assert clue.says is not None  # rules once loaded have their words
        weighed.append(
            Evidence(
                clue.id, clue.question, answer.value, shares[clue.id],
                _with_answer(clue.says, means), source_text(clue.source),
                clue.condition, "clue", answer.sure, tuple(clue.limits),
            )
        )  # fmt: skip
    weighed.sort(key=lambda item: (-abs(item.decibans or 0.0), item.rule))
    rate = state.base_rate
    high = min(max(rate.in_100[1] / 100, 1e-6), 1 - 1e-6)
    prior = Evidence(
        rate.id, None, None, logit_db(high), rate.says, source_text(rate.source),
        kind="base_rate", limits=tuple(rate.limits),
    )  # fmt: skip
    return (*found, *weighed, prior)


def why_not(evaluator: Evaluator, result: Evaluation) -> tuple[WhyNot, ...]:
    """For each verdict not reached: the gates that withheld it, and the bound it missed."""
    gates = {gate.id: gate for gate in evaluator.base.guards.gates}
    rules = _rules(evaluator)
    reasons = []
    for verdict, mark in _MARKS.items():
        if result.verdict == verdict:
            continue
        for firing in result.fired("gate"):
            if gates[firing.rule].withholds == verdict:
                reasons.append(WhyNot(verdict, firing.rule, gates[firing.rule].says))
        if verdict == "likely_non_bearing":
            reasons += [
                WhyNot(verdict, f.rule, say(_GUESSED, says=rules[f.rule].says))
                for f in result.fired(GUESSED_SIGN)
            ]
        reasons += [WhyNot(verdict, mark, text) for text in _missed(evaluator, result, mark)]
    return tuple(reasons)


def _missed(evaluator: Evaluator, result: Evaluation, mark: str) -> Iterator[str]:
    """Where a measure that a verdict's rule holds against this mark misses it."""
    guards = evaluator.base.guards
    cut = guards.thresholds[mark]
    tests = (leaf for rule in guards.verdicts for _, leaf in placed_leaves(rule.when))
    for leaf in dict.fromkeys(t for t in tests if t.family == "measure" and t.limit == mark):
        number = result.measures[leaf.name]
        if not compare(str(leaf.comparison), number, cut):
            measured = say(_MEASURED[leaf.name])
            if number > cut:
                yield say("{measured} is {at:.1%}, over {mark:.1%}.",
                          measured=measured, at=number, mark=cut)  # fmt: skip
            else:
                yield say("{measured} is {at:.1%}, under {mark:.0%}.",
                          measured=measured, at=number, mark=cut)  # fmt: skip


def contradictions(
    evaluator: Evaluator, result: Evaluation, answers: Mapping[str, Answer]
) -> tuple[Contradiction, ...]:
    """The contradictions met, with the answers that clash."""
    entries = {rule.id: rule for rule in evaluator.base.contradictions}
    found = []
    for firing in result.fired("contradiction"):
        rule = entries[firing.rule]
        clash = tuple(said(evaluator.base, q, answers[q]) for q in rule.questions if q in answers)
        found.append(Contradiction(rule.id, rule.says, clash))
    return tuple(found)


def cautions(evaluator: Evaluator, result: Evaluation) -> tuple[Caution, ...]:
    """The warnings to show, in load order."""
    fired = {firing.rule for firing in result.fired("caution")}
    return tuple(
        Caution(c.id, c.says, source_text(c.source), c.before_opening)
        for c in evaluator.base.cautions.cautions
        if c.id in fired
    )


def referral(evaluator: Evaluator, result: Evaluation) -> Referral:
    """The strongest referral that fired; strong when none did."""
    fired = {firing.rule for firing in result.fired("referral")}
    found = [
        Referral(r.level, r.says, r.id) for r in evaluator.base.cautions.referrals if r.id in fired
    ]
    for guard in evaluator.base.scope:
        if any(firing.rule == guard.id for firing in result.fired("scope")):
            found.append(Referral("strong", guard.refer, guard.id))
    return max(found, key=lambda r: LEVELS.index(r.level), default=NO_REFERRAL)


def trace(evaluator: Evaluator, result: Evaluation) -> tuple[Fired, ...]:
    """Every rule that fired, in order, but for the steps of the program's own."""
    rules = _rules(evaluator)
    return tuple(
        _fired(evaluator, rules.get(firing.rule), firing)
        for firing in result.firings
        if firing.kind not in UNTOLD
    )


def _fired(evaluator: Evaluator, rule: Rule | None, firing: Firing) -> Fired:
    text = rule.says if rule is not None else firing.rule
    if firing.kind == GUESSED_SIGN:
        text = say(_GUESSED, says=text)
    for known in firing.matched:
        if isinstance(rule, Clue) and known.family == "answer" and known.name == rule.question:
            means = evaluator.base.questions[known.name].means(known.value)
            text = _with_answer(text, means)
    matched = tuple(
        f"{known.family} {known.name}" + (f" = {known.value}" if known.value else "")
        for known in firing.matched
        if known.family != "stage"
    )
    source = source_text(rule.source) if rule is not None else ""
    return Fired(firing.rule, firing.kind, text, source, matched)
