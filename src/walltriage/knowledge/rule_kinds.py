"""What sets the kinds of rules apart: the one table that engine, columns, proofs, lints and
descriptions of rules go by.

A new kind is a form in ``schema*.py``, a line in :meth:`KnowledgeBase.rules` and one here.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.schema import Rule
from walltriage.knowledge.terms import ANY, Branch, Leaf, branches
from walltriage.language import say

Head = tuple[str, str]
"""Family and name of a datum that a rule declares when it fires."""
Facts = list[tuple[str, str]]
"""Labels and words that describe an entry."""


@dataclass(frozen=True, slots=True)
class Owner:
    """The load path a rule belongs to, if any, and whether it carries gravity loads."""

    path: str = ""
    bears: bool = True


@dataclass(frozen=True, slots=True)
class RuleKind:
    """One kind of rule.  A callable gets the rule, and the path that owns it.

    * ``heads``, ``value``: what is declared when it fires, and the value that goes with it.
    * ``effect``: what follows, for people.
    * ``same_as``: two rules with the same conclude the same.
    * ``family``: by which a condition may ask for one rule of the kind, or for any.
    * ``feeds``: what the evaluation keeps of a firing besides what is declared; the belief
      step waits for reports, rates and signs.
    * ``needs_answer``: also waits for the answer to its question.
    * ``first_counts``: of those of one path that hold, the first one counts.
    * ``takes_guesses``: off where an answer that was only guessed is not enough.
    * ``dead``: under which lint one that never fires is told.
    * ``may_shadow``: a broader one of the same conclusion makes a narrower one needless;
      ``repeats`` says the same for proofs.
    """

    heads: Callable[[Any, Owner], tuple[Head, ...]]
    effect: Callable[[Any, Owner], Facts]
    same_as: Callable[[Any, Owner], Hashable]
    value: Callable[[Any, Owner], str] = lambda rule, owner: ""
    family: str = ""
    feeds: Literal["", "reports", "rates", "signs", "facts", "verdict"] = ""
    needs_answer: bool = False
    first_counts: bool = False
    takes_guesses: bool = True
    dead: Literal["never_fires", "contradiction", "caution"] = "never_fires"
    may_shadow: bool = False
    repeats: bool = False

    @property
    def before_belief(self) -> bool:
        """Whether the belief step reads it."""
        return self.feeds in ("reports", "rates", "signs")


def _fact_value(rule: Any, owner: Owner) -> str:
    return str(*rule.concludes.values())  # there is one


def _caution_shown(rule: Any, owner: Owner) -> Facts:
    shown = say("before any opening") if rule.before_opening else say("with the result")
    if rule.before_look_in is not None:
        shown += say("; in an interview before a look in: {place}", place=rule.before_look_in)
    if rule.forbids_opening:
        shown += say("; no hole is planned beside it")
    return [("shown", shown)]


KINDS: Mapping[str, RuleKind] = {
    "fact": RuleKind(
        heads=lambda rule, owner: tuple(("fact", name) for name in rule.concludes),
        effect=lambda rule, owner: [
            ("concludes", ", ".join(f"{n}: {v}" for n, v in rule.concludes.items()))
        ],
        same_as=lambda rule, owner: tuple(sorted(rule.concludes.items())),
        value=_fact_value,
        feeds="facts",
        may_shadow=True,
        repeats=True,
    ),
    "clue": RuleKind(
        heads=lambda rule, owner: (),
        effect=lambda rule, owner: [("question", rule.question), ("condition", rule.condition)],
        same_as=lambda rule, owner: (rule.condition, rule.question),
        feeds="reports",
        needs_answer=True,
    ),
    "base_rate": RuleKind(
        heads=lambda rule, owner: (("rate", owner.path),),
        effect=lambda rule, owner: [
            ("path", owner.path),
            ("of 100", say("{low:g} to {high:g} bear", low=rule.in_100[0], high=rule.in_100[1])),
        ],
        same_as=lambda rule, owner: owner.path,
        feeds="rates",
        first_counts=True,
    ),
    "sign": RuleKind(
        # of bracing: it settles its path, and is no sign of weight
        heads=lambda rule, owner: (("sign" if owner.bears else "own_sign", rule.id),),
        effect=lambda rule, owner: [
            ("path", owner.path),
            ("weight", say("decisive: the path bears")),
        ],
        same_as=lambda rule, owner: owner.path,
        value=lambda rule, owner: owner.path,
        family="sign",
        feeds="signs",
        takes_guesses=False,
        repeats=True,
    ),
    "scope": RuleKind(
        heads=lambda rule, owner: (("scope", rule.id),),
        effect=lambda rule, owner: [("refer", rule.refer)],
        same_as=lambda rule, owner: "",
        family="scope",
        repeats=True,
    ),
    "contradiction": RuleKind(
        heads=lambda rule, owner: (("contradiction", rule.id),),
        effect=lambda rule, owner: [("look again", ", ".join(rule.questions))],
        same_as=lambda rule, owner: "",
        family="contradiction",
        dead="contradiction",
        repeats=True,
    ),
    "gate": RuleKind(
        heads=lambda rule, owner: (("block", rule.id),),
        effect=lambda rule, owner: [("withholds", rule.withholds)],
        same_as=lambda rule, owner: rule.withholds,
        family="block",
    ),
    "verdict": RuleKind(
        heads=lambda rule, owner: (("verdict", rule.concludes),),
        effect=lambda rule, owner: [("concludes", rule.concludes)],
        same_as=lambda rule, owner: rule.concludes,
        feeds="verdict",
    ),
    "caution": RuleKind(
        heads=lambda rule, owner: (("caution", rule.id),),
        effect=_caution_shown,
        same_as=lambda rule, owner: rule.says,
        dead="caution",
    ),
    "referral": RuleKind(
        heads=lambda rule, owner: (("referral", rule.id),),
        effect=lambda rule, owner: [("level", rule.level)],
        same_as=lambda rule, owner: rule.says,
        dead="caution",
    ),
}

KIND_ASKED = {kind.family: name for name, kind in KINDS.items() if kind.family}
"""By the family of a test, the kind of rule it asks for by id, or for any."""


def owners(base: KnowledgeBase) -> dict[str, Owner]:
    """By rule, the load path it belongs to; rules of no path are left out."""
    found = {}
    for path, rule in (*base.base_rates(), *base.signs()):
        found[rule.id] = Owner(path, base.paths[path].entry.bears)
    return found


def condition_of(kind: str, rule: Rule) -> tuple[Branch, ...]:
    """When a rule fires, as it is written; a clue also needs its question answered."""
    terms = branches(getattr(rule, "when", None))
    if KINDS[kind].needs_answer:
        answered = Leaf("answered", rule.question)  # type: ignore[attr-defined]
        terms = tuple((answered, *branch) for branch in terms)
    return terms


def concluding(rules: Iterable[tuple[str, Rule]], leaf: Leaf) -> list[Rule]:
    """Those of the rules that conclude what a test asks for, rules of load paths by their id."""
    found = []
    for kind, rule in rules:
        way = KINDS[kind]
        if leaf.family == way.family or leaf.family in ("fact", "verdict"):
            heads = way.heads(rule, Owner())
            named = any(leaf.family == f and leaf.name in (n, ANY) for f, n in heads)
            if named and (leaf.family != "fact" or leaf.holds_for(way.value(rule, Owner()), None)):
                found.append(rule)
    return found
