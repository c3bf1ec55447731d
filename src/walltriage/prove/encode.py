"""The rules as logic: every rule a Boolean defined by what it reads, in order of firing.

What the belief arithmetic declares is bounded from below and no further: a path may only be
"ruled out", and the upper bound only lie under a mark, when the most that the answers could
weigh against the path suffices.  A proof of "never non-bearing" under these looser terms holds
for the program itself; a counter-example is replayed through the engine before it is believed.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable
from dataclasses import dataclass

import z3

from walltriage.case.model import DEGREES, LESS_SURE, Answer, Sureness
from walltriage.inference.belief.tree import (
    TEN_LOG,
    Belief,
    ConditionTable,
    Reported,
    logit_db,
)
from walltriage.inference.engine.strata import BELIEF, StratifiedRule, conclusions, stratify
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.schema import BaseRate, Clue
from walltriage.knowledge.terms import ANY, Branch, Leaf
from walltriage.prove.bounds import down, least_weight, up
from walltriage.prove.intervals import choices

_BELIEF_FAMILIES = ("path", "seen_against", "measure")


@dataclass(frozen=True, slots=True)
class _Made:
    """A rule's conclusion: what it concludes and where it stands in the order."""

    family: str
    name: str
    value: str
    position: int


class Encoding:
    """A knowledge base as z3 terms over one Boolean for each answer of each question.

    Conditions of rules in ``tell_apart``, which need not be in the base, can be asked about too.
    """

    def __init__(self, base: KnowledgeBase, tell_apart: Iterable[StratifiedRule] = ()) -> None:
        self.base = base
        self.stratified = stratify(base)
        self.belief = Belief(base)
        self.choices = choices(base, [*self.stratified, *tell_apart])
        self.given = {
            name: [z3.Bool(f"{name}={i}") for i in range(len(options))]
            for name, options in self.choices.items()
        }
        self.axioms: list[z3.BoolRef] = [
            z3.PbEq([(variable, 1) for variable in variables], 1)
            for variables in self.given.values()
        ]
        self.fired: dict[str, z3.BoolRef] = {}
        self.atoms: dict[tuple[str, ...], z3.BoolRef] = {}
        self._clues = {clue.id: clue for clue in base.clues()}
        self._makers: list[_Made] = []
        for position, item in enumerate(self.stratified):
            self._define(item, position)
            if item.id == BELIEF:
                self._bound_paths()
            self._makers += self._concludes(item, position)
        self._link_measures()

    # answers

    def answered(self, name: str) -> z3.BoolRef:
        """Whether a question has a real answer."""
        return self._any_of(name, lambda choice: choice.is_real)

    def decode(self, model: z3.ModelRef) -> dict[str, Answer]:
        """The real answers of a model, as sure as the model has them."""
        found = {}
        for name, variables in self.given.items():
            sure = self._told_how(model, name)
            for choice, variable in zip(self.choices[name], variables, strict=True):
                if z3.is_true(model.eval(variable)) and choice.is_real:
                    found[name] = choice.answer(sure)
        return found

    def _told_how(self, model: z3.ModelRef, name: str) -> Sureness:
        for family, degrees in LESS_SURE.items():
            atom = self.atoms.get((family, name))
            if atom is not None and z3.is_true(model.eval(atom)):
                return degrees[0]
        return "certain"

    def fix(self, name: str, value: str, number: float | None = None) -> z3.BoolRef:
        """That a question is answered so."""
        for choice, variable in zip(self.choices[name], self.given[name], strict=True):
            if choice.value == value and (number is None or choice.number == number):
                return variable
        raise KeyError(f"{name}: {value}")

    def _any_of(self, name: str, test: object) -> z3.BoolRef:
        met = [
            variable
            for choice, variable in zip(self.choices[name], self.given[name], strict=True)
            if test(choice)  # type: ignore[operator]
        ]
        return z3.Or(met) if met else z3.BoolVal(False)

    # rules

    def holds(self, item: StratifiedRule, position: int) -> z3.BoolRef:
        """That the condition of a rule holds, were it in this place of the order of firing."""
        self._position = position
        return z3.Or([self._branch(branch) for branch in item.branches])

    def _define(self, item: StratifiedRule, position: int) -> None:
        variable = z3.Bool(f"fired:{item.id}")
        self.axioms.append(variable == self.holds(item, position))
        self.fired[item.id] = variable

    def _branch(self, branch: Branch) -> z3.BoolRef:
        return z3.And([self._leaf(leaf) for leaf in branch]) if branch else z3.BoolVal(True)

    def _leaf(self, leaf: Leaf) -> z3.BoolRef:
        term = self._plain(leaf)
        return z3.Not(term) if leaf.negated else term

    def _plain(self, leaf: Leaf) -> z3.BoolRef:
        if leaf.family in ("answer", "answered"):
            return self._any_of(
                leaf.name, lambda c: c.is_asked and leaf.holds_for(c.value, c.number)
            )
        if leaf.family in LESS_SURE:
            return self._less_sure(leaf.family, leaf.name)
        if leaf.family in _BELIEF_FAMILIES:
            return self._atom(leaf)
        makers = [
            self.fired[self.stratified[made.position].id]
            for made in self._makers
            if made.position < self._position
            and made.family == leaf.family
            and leaf.name in (made.name, ANY)
            and (not leaf.values or made.value in leaf.values)
        ]
        return z3.Or(makers) if makers else z3.BoolVal(False)

    def _less_sure(self, family: str, name: str) -> z3.BoolRef:
        """That a question has a real answer, given as a guess or with some doubt."""
        key = (family, name)
        if key not in self.atoms:
            self.axioms.append(z3.Implies(self.atom(*key), self.answered(name)))
            guessed, doubted = (self.atoms.get((less, name)) for less in LESS_SURE)
            if guessed is not None and doubted is not None:
                self.axioms.append(z3.Implies(guessed, doubted))
        return self.atoms[key]

    def _atom(self, leaf: Leaf) -> z3.BoolRef:
        if leaf.family == "path":
            states = leaf.values or ("established", "ruled_out", "open")
            return z3.Or([self.atom("path", leaf.name, state) for state in states])
        if leaf.family == "seen_against":
            return self.atom("seen_against", leaf.name)
        limit = leaf.limit
        if isinstance(limit, str):
            limit = self.base.guards.thresholds[limit]
        return self.atom("measure", leaf.name, str(leaf.comparison), repr(float(limit or 0)))

    def atom(self, *key: str) -> z3.BoolRef:
        """What the belief step declares, as a Boolean of its own."""
        if key not in self.atoms:
            self.atoms[key] = z3.Bool(":".join(key))
        return self.atoms[key]

    def _concludes(self, item: StratifiedRule, position: int) -> list[_Made]:
        made = []
        for family, name, value in conclusions(item):
            made.append(_Made(family, name, value, position))
        return made

    # belief, from below

    def _bound_paths(self) -> None:
        seen = self.base.guards.seen_kinds
        signs: dict[str, list[z3.BoolRef]] = {}
        for item in self.stratified:
            if item.kind == "sign":
                signs.setdefault(item.load_path, []).append(self.fired[item.id])
        self._odds: dict[str, z3.ArithRef] = {}
        self.signs = {path: z3.Or(signs.get(path, [z3.BoolVal(False)])) for path in self.base.paths}
        for path in self.base.paths:
            states = [self.atom("path", path, s) for s in ("established", "ruled_out", "open")]
            self.axioms.append(z3.PbEq([(state, 1) for state in states], 1))
            self.axioms.append(z3.Implies(self.signs[path], z3.Not(states[1])))
            against = []
            parts = [self._rate(path)]
            for condition, table in self.belief.tables[path].items():
                total, seen_terms = self._condition(path, condition, table, seen)
                parts.append(total)
                against += seen_terms
            odds = z3.Int(f"odds:{path}")
            self.axioms.append(odds == z3.Sum(parts))
            self._odds[path] = odds
            marks = self.base.guards.thresholds
            least = marks["path_ruled_out_at_most"]
            most = max(least, marks["non_bearing_at_most"])
            term = z3.Or(against) if against else z3.BoolVal(False)
            # that it was no guess, nor an answer plainly for the path, is not asked: more is let by
            ruled_out = z3.If(term, odds <= up(logit_db(most)), odds <= up(logit_db(least)))
            self.axioms.append(z3.Implies(states[1], ruled_out))
            self.axioms.append(z3.Implies(self.atom("seen_against", path), term))

    def _rate(self, path: str) -> z3.ArithRef:
        """The high end of the base rate in force, in hundredths of decibans."""
        total: z3.ArithRef = z3.IntVal(0)
        for item in self.stratified:
            if item.kind == "base_rate" and item.load_path == path:
                assert isinstance(item.rule, BaseRate)
                high = min(max(item.rule.in_100[1] / 100, 1e-6), 1 - 1e-6)
                total = total + z3.If(self.fired[item.id], down(logit_db(high)), 0)
        return total

    def _condition(
        self, path: str, condition: str, table: ConditionTable, seen: Collection[str]
    ) -> tuple[z3.ArithRef, list[z3.BoolRef]]:
        """Least weight a condition can have by its answers, and what is seen against the path."""
        terms: list[z3.ArithRef] = []
        against: list[z3.BoolRef] = []
        for clue_id in table.rows:
            clue = self._clues[clue_id]
            if clue_id not in self.fired:  # a retired rule
                continue
            for choice, variable in zip(
                self.choices[clue.question], self.given[clue.question], strict=True
            ):
                if not choice.is_real or choice.value not in table.rows[clue_id]:
                    continue
                speaks = z3.And(self.fired[clue_id], variable)
                least = min(self._ratio(table, clue, choice.value))
                terms.append(z3.If(speaks, down(least), 0))
                kind = self.base.questions[clue.question].entry.kind
                direct = clue.direct and kind in seen
                if direct and table.weight([self._report(clue, choice.value, "certain")]) < 0:
                    against.append(speaks)
        if not terms:
            return z3.IntVal(0), against
        weight = least_weight(table, z3.Sum(terms))
        if table.in_part is not None:  # if only a part of the top was seen it shows less
            weight = z3.If(weight < 0, weight, 0)
        return weight, against

    def _report(self, clue: Clue, value: str, sure: Sureness) -> Reported:
        kind = self.base.questions[clue.question].entry.kind
        trust = self.base.guards.reliability.trust(kind, sure)
        return Reported(clue.id, clue.condition, value, trust)

    def _ratio(self, table: ConditionTable, clue: Clue, value: str) -> list[float]:
        """Lowest log-likelihood ratio between states that this answer can give, by sureness."""
        found = []
        for sure in DEGREES:
            cells = table.likelihood(self._report(clue, value, sure))
            least = cells[-1] / cells[0] if table.ordered else min(cells) / max(cells)
            found.append(TEN_LOG * math.log10(least))
        return found

    def _link_measures(self) -> None:
        """No bearing path may lie over a mark that their sum lies under."""
        for key, atom in list(self.atoms.items()):
            if key[0] != "measure" or key[1] not in ("upper", "upper_without_adverse"):
                continue
            mark = min(max(float(key[3]), 1e-6), 1 - 1e-6)
            under = atom if key[2] in ("at_most", "below") else z3.Not(atom)
            for path, entry in self.base.paths.items():
                if entry.entry.bears:
                    within = self._odds[path] <= up(logit_db(mark))
                    self.axioms.append(z3.Implies(under, within))
                    if mark < self.base.guards.thresholds["told_sign_at_least"]:
                        self.axioms.append(z3.Implies(under, z3.Not(self.signs[path])))

    def solver(self) -> z3.Solver:
        """A solver that knows the rules."""
        solver = z3.Solver()
        solver.add(*self.axioms)
        return solver
