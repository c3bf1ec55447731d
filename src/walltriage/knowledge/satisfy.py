"""Whether any house at all could make a condition hold.

A condition is followed through the facts, signs, guards and gates it reads down to
answers.  A positive test of an answer also needs the question to apply.  What the belief
arithmetic gives (path status, measures) is taken as free within its own kind: a path has
one status, a measure one number.  So "cannot hold" is proven, "can hold" is not.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from walltriage.knowledge.base import AskedQuestion, KnowledgeBase
from walltriage.knowledge.rule_kinds import concluding
from walltriage.knowledge.schema import Rule
from walltriage.knowledge.terms import ANY, NO_ANSWER, Branch, Leaf, branches

MOST_STEPS = 20_000  # of search; beyond it a condition counts as one that can hold
PATH_STATES = ("established", "ruled_out", "open")
_FREE = ("guessed", "doubted", "path", "seen_against", "measure")

GivenValue = tuple[str, float | None]
Variable = tuple[str, str]
BranchChoice = Sequence[Branch]
ABSENT: GivenValue = ("", None)


@dataclass(slots=True)
class _State:
    """What is left possible.

    Points by variable, questions that are answered, conclusions assumed to hold or not, and
    choices of which one alternative each must come true.
    """

    domains: dict[Variable, frozenset[GivenValue]]
    asked: frozenset[str]
    told: frozenset[Leaf]
    choices: list[BranchChoice]


class Satisfier:
    """Answers "could this hold?" for one knowledge base.

    With ``interview`` off an answer may stand though its question does not apply, as a
    case file can have it.
    """

    def __init__(self, base: KnowledgeBase, interview: bool = True) -> None:
        self._base = base
        self._interview = interview
        self._rules = [(kind, rule) for kind, rule in base.rules() if rule.status != "retired"]
        self._makers: dict[Leaf, list[Rule]] = {}
        self._branches: dict[str, tuple[Branch, ...]] = {
            rule.id: branches(getattr(rule, "when", None)) for _, rule in base.rules()
        }
        self._marks = self._all_marks()
        self._domains: dict[Variable, frozenset[GivenValue]] = {}
        self._kept_before: dict[tuple[frozenset[GivenValue], Leaf], frozenset[GivenValue]] = {}
        self._steps = 0

    def branch(self, branch: Branch) -> bool:
        """Whether some set of answers could make every test of the branch true."""
        self._steps = 0
        return self._search(_State({}, frozenset(), frozenset(), [[branch]]))

    def term(self, alternatives: Iterable[Branch]) -> bool:
        """Whether some set of answers could make any of the branches true."""
        return any(self.branch(branch) for branch in alternatives)

    def _search(self, state: _State) -> bool:
        self._steps += 1
        if self._steps > MOST_STEPS:
            return True
        open_choices = []
        for choice in state.choices:
            alive = [branch for branch in choice if self._fits(state, branch)]
            if not any(self._given(state, branch) for branch in alive):
                open_choices.append(alive)
        if not open_choices:
            return True
        first = min(open_choices, key=len)
        rest = [choice for choice in open_choices if choice is not first]
        for branch in first:
            after = _State(dict(state.domains), state.asked, state.told, list(rest))
            if all(self._assume(after, leaf) for leaf in branch) and self._search(after):
                return True
        return False

    def _fits(self, state: _State, branch: Branch) -> bool:
        """Whether no single test of the branch is excluded by what is settled already."""
        return all(self._left(state, leaf) != frozenset() for leaf in branch)

    def _given(self, state: _State, branch: Branch) -> bool:
        """Whether the branch holds already, whatever is still open."""
        return all(
            variable is not None
            and self._left(state, leaf) == state.domains.get(variable)
            and (leaf.negated or variable[0] != "answer" or leaf.name in state.asked)
            for leaf, variable in ((leaf, _variable(leaf)) for leaf in branch)
        )

    def _left(self, state: _State, leaf: Leaf) -> frozenset[GivenValue] | None:
        """The points of the test's variable that it allows; None for what is concluded."""
        variable = _variable(leaf)
        if variable is None:
            return None
        points = state.domains.get(variable)
        return self._kept(self._domain(variable) if points is None else points, leaf)

    def _assume(self, state: _State, leaf: Leaf) -> bool:
        """Narrow the state by one test; False when nothing is left."""
        named = leaf.family in ("answer", "answered") and not leaf.negated
        if named and leaf.name not in state.asked:
            state.asked = state.asked | {leaf.name}
            applies = self._base.questions[leaf.name].entry.applies
            if applies is not None and self._interview:
                state.choices.append(branches(applies))
        variable = _variable(leaf)
        if variable is not None:
            points = self._left(state, leaf)
            assert points is not None
            state.domains[variable] = points
            return bool(points)
        if leaf in state.told:
            return True
        opposite = replace(leaf, negated=not leaf.negated)
        if opposite in state.told or (
            not leaf.negated and replace(opposite, name=ANY) in state.told
        ):
            return False
        state.told = state.told | {leaf}
        if leaf not in self._makers:
            self._makers[leaf] = concluding(self._rules, leaf)
        makers = [branch for rule in self._makers[leaf] for branch in self._branches[rule.id]]
        if not leaf.negated:
            state.choices.append(makers)
            return bool(makers)
        for branch in makers:  # every way to conclude it must fail in some test
            state.choices.append([(replace(test, negated=not test.negated),) for test in branch])
        return all(makers)

    def _kept(self, points: frozenset[GivenValue], leaf: Leaf) -> frozenset[GivenValue]:
        key = (points, leaf)
        if key not in self._kept_before:
            limit = leaf.limit
            if isinstance(limit, str):
                limit = self._base.guards.thresholds[limit]
            test = replace(leaf, limit=limit, negated=False)
            self._kept_before[key] = frozenset(
                point
                for point in points
                if (point != ABSENT and test.holds_for(*point)) != leaf.negated
            )
        return self._kept_before[key]

    def _domain(self, variable: Variable) -> frozenset[GivenValue]:
        if variable not in self._domains:
            self._domains[variable] = self._all_points(*variable)
        return self._domains[variable]

    def _all_points(self, family: str, name: str) -> frozenset[GivenValue]:
        if family == "path":
            return frozenset((status, None) for status in PATH_STATES)
        if family in ("guessed", "doubted", "seen_against"):
            return frozenset({ABSENT, ("seen", None)})
        if family == "measure":
            marks = sorted({0.0, 1.0, *self._base.guards.thresholds.values()})
            return frozenset(("", number) for number in _with_midpoints(marks))
        question = self._base.questions[name]
        points: set[GivenValue] = {ABSENT, *((word, None) for word in NO_ANSWER)}
        if question.entry.answer in ("length", "number"):
            points |= {(question.band_of(n), n) for n in self._numbers(question)}
        elif question.entry.answer == "choice":
            points |= {(value, None) for value in question.values}
        else:
            points.add(("words", None))
        return frozenset(points)

    def _numbers(self, question: AskedQuestion) -> list[float]:
        """One number on and between all marks that any rule or band draws on the scale."""
        entry = question.entry
        assert entry.least is not None  # the loader saw to both
        assert entry.most is not None
        least, most = question.number(entry.least), question.number(entry.most)
        marks = {least, most, *self._marks.get(question.id, ())}
        marks |= {question.number(band.under) for band in entry.bands if band.under is not None}
        return [n for n in _with_midpoints(sorted(marks)) if least <= n <= most]

    def _all_marks(self) -> dict[str, set[float]]:
        marks: dict[str, set[float]] = {}
        terms = [*self._branches.values()]
        terms += [branches(q.entry.applies) for q in self._base.questions.values()]
        for leaf in (leaf for term in terms for branch in term for leaf in branch):
            if leaf.family == "answer" and leaf.comparison is not None:
                marks.setdefault(leaf.name, set()).add(float(leaf.limit or 0))
        return marks


def _variable(leaf: Leaf) -> Variable | None:
    """What the test reads, or None when rules conclude it."""
    if leaf.family in ("answer", "answered"):
        return ("answer", leaf.name)
    return (leaf.family, leaf.name) if leaf.family in _FREE else None


def _with_midpoints(marks: list[float]) -> list[float]:
    between = [(a + b) / 2 for a, b in pairwise(marks)]
    return sorted([*marks, *between])


def implies(stronger: Leaf, weaker: Leaf) -> bool:
    """Whether the first test can never hold without the second; False when not seen to."""
    if stronger == weaker:
        return True
    if stronger.negated or weaker.negated:
        swapped = replace(weaker, negated=False), replace(stronger, negated=False)
        return stronger.negated and weaker.negated and implies(*swapped)
    if stronger.name != weaker.name:
        return weaker.name == ANY and stronger.family == weaker.family and not weaker.values
    if weaker.family == "answered":
        given = stronger.comparison is not None or bool(stronger.values)
        return stronger.family == "answer" and given and not set(stronger.values) & set(NO_ANSWER)
    if stronger.family != weaker.family:
        return False
    if weaker.comparison is not None:
        return _reaches(stronger, weaker)
    if not weaker.values:
        return True
    return bool(stronger.values) and set(stronger.values) <= set(weaker.values)


def _reaches(stronger: Leaf, weaker: Leaf) -> bool:
    pair = (stronger.limit, weaker.limit)
    if not all(isinstance(limit, int | float) for limit in pair) or stronger.comparison is None:
        return False
    inner, outer = float(pair[0] or 0), float(pair[1] or 0)
    up = ("at_least", "above")
    if (stronger.comparison in up) != (weaker.comparison in up):
        return False
    strict = weaker.comparison in ("above", "below") and stronger.comparison != weaker.comparison
    if inner == outer:
        return not strict
    return inner > outer if weaker.comparison in up else inner < outer


def covers(broader: Iterable[Branch], narrower: Iterable[Branch]) -> bool:
    """Whether the first condition is seen to hold whenever the second does."""
    wide = tuple(broader)
    return all(
        any(all(any(implies(own, test) for own in branch) for test in other) for other in wide)
        for branch in narrower
    )
