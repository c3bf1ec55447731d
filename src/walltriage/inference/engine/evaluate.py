"""One wall through the engine: what each kind of rule concludes when it fires.

The belief step is a rule like any other: it fires once all clues, base rates and
decisive signs have had their turn, works out each path's posterior, and declares path
status and measures, on which gates, verdict, cautions and referral chain further.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from walltriage.case.model import DEGREES, Answer
from walltriage.inference.belief.evidence import evidence_code
from walltriage.inference.belief.kernel import Told
from walltriage.inference.belief.signs import confirmed_paths, settled_paths, sign_looks
from walltriage.inference.belief.speaking import is_direct
from walltriage.inference.belief.step import Beliefs, BeliefStep, Inputs, rate_odds
from walltriage.inference.belief.tree import Reported, decibans
from walltriage.inference.columns.rules import PATH_STATES
from walltriage.inference.engine.compile import Engine, Firing, PlainFact, answer_data, check_size
from walltriage.inference.engine.strata import BELIEF, StratifiedRule, conclusions, stratify
from walltriage.inference.finding import PathStatus, Verdict
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.reads import questions_behind
from walltriage.knowledge.rule_kinds import KINDS
from walltriage.knowledge.schema import BaseRate, Clue
from walltriage.knowledge.schema_guards import VerdictRule
from walltriage.knowledge.terms import Branch, branches


@dataclass(slots=True)
class PathState:
    """Working result for one path: base rate, the answers that tell of it, posterior bounds,
    and ``ratio``, P(answers | bears) over P(answers | does not)."""

    base_rate: BaseRate
    reports: list[Reported]
    ratio: float
    low: float
    high: float
    signs: list[str]
    seen_against: bool
    status: PathStatus = "open"

    @property
    def weight_db(self) -> float:
        """The weight of all its answers, in decibans."""
        return decibans(self.ratio, 1.0)


@dataclass(slots=True)
class Evaluation:
    """Working result for one wall."""

    firings: list[Firing] = field(default_factory=list)
    told: Told = field(default_factory=lambda: Told(1))
    believed: Beliefs | None = None  # set by the belief step
    paths: dict[str, PathState] = field(default_factory=dict)
    measures: dict[str, float] = field(default_factory=dict)
    verdict: Verdict = "cannot_tell"
    decided_by: str | None = None
    applies: frozenset[str] | None = None  # the questions that apply, once they were asked for

    @property
    def beliefs(self) -> Beliefs:
        """What the belief step found, as for a batch of one wall."""
        assert self.believed is not None  # every plan holds the belief step
        return self.believed

    def fired(self, kind: str) -> list[Firing]:
        """The firings of one kind of rule, in order."""
        return [firing for firing in self.firings if firing.kind == kind]


class Evaluator:
    """A knowledge base ready to evaluate walls; build once, use for many."""

    def __init__(self, base: KnowledgeBase) -> None:
        self.base = base
        self.step = BeliefStep(base)
        self.belief = self.step.belief
        self.stratified = stratified = stratify(base)
        check_size(stratified)
        self._looks = sign_looks(base, stratified)
        self._facts_read = self.step.kernel.facts()
        self._clues: dict[str, Clue] = {clue.id: clue for clue in base.clues()}
        self._values = {clue.id: base.questions[clue.question].values for clue in base.clues()}
        self._readers = {
            clue.id: [p.id for p in base.paths.values() if clue.condition in p.conditions]
            for clue in self._clues.values()
        }
        self._keep: dict[str, Callable[[StratifiedRule], None]] = {
            "reports": self._keep_report,
            "rates": self._keep_rate,
            "signs": self._keep_sign,
            "facts": self._keep_facts,
            "verdict": self._keep_verdict,
        }
        self._always = frozenset(n for n, q in base.questions.items() if q.entry.applies is None)
        self._concludes: dict[str, tuple[PlainFact, ...]] = {}  # by rule, once it has fired
        self._feeds = {
            item.id: self._keep[feeds]
            for item in stratified
            if item.kind in KINDS and (feeds := KINDS[item.kind].feeds)
        }
        self._engine = Engine(stratified, dict(base.guards.thresholds), self._conclude)
        self._reset({})

    @cached_property
    def ways(self) -> dict[str, tuple[Branch, ...]]:
        """Of each rule with a condition, the ways to meet it, as it is written."""
        written = ((rule.id, getattr(rule, "when", None)) for _, rule in self.base.rules())
        return {name: branches(when) for name, when in written if when is not None}

    @cached_property
    def behind(self) -> dict[str, set[str]]:
        """The questions behind each derived fact."""
        return questions_behind(self.base)

    def _reset(self, answers: Mapping[str, Answer]) -> None:
        self._answers = answers
        self._reports: dict[str, list[Reported]] = {path: [] for path in self.base.paths}
        self._rates: dict[str, BaseRate] = {}
        self._signs: dict[str, list[str]] = {path: [] for path in self.base.paths}
        self._result = Evaluation()

    def evaluate(self, answers: Mapping[str, Answer]) -> Evaluation:
        """Run the engine on one wall's answers (house answers and computed ones included)."""
        self._reset(answers)
        result = self._result
        result.firings = self._engine.run(answer_data(answers))
        return result

    def believe(self, answers: Mapping[str, Answer], fired: Iterable[StratifiedRule]) -> Evaluation:
        """The belief step alone, for facts, clues, base rates and signs known to have fired."""
        self._reset(answers)
        for item in fired:
            self._conclude(item, ())
        list(self._believe())
        return self._result

    def applicable(self, evaluation: Evaluation) -> frozenset[str]:
        """Ids of the questions that apply, asked or not."""
        if evaluation.applies is None:
            evaluation.applies = self._always.union(f.rule for f in evaluation.fired("question"))
        return evaluation.applies

    def reliability(self, question: str, answer: Answer) -> float:
        """Share of such reports that say what is there."""
        kind = self.base.questions[question].entry.kind
        return self.base.guards.reliability.trust(kind, answer.sure)

    def is_direct(self, clue: Clue) -> bool:
        """Whether the clue is a direct look at the path itself, with one's own eyes."""
        return is_direct(self.base, clue)

    def reported(self, clue: Clue, answer: Answer) -> Reported:
        """An answer as evidence on the clue's condition."""
        trust = self.reliability(clue.question, answer)
        return Reported(clue.id, clue.condition, answer.value, trust)

    def _conclude(
        self, item: StratifiedRule, matched: tuple[PlainFact, ...]
    ) -> Iterable[PlainFact]:
        if item.id == BELIEF:
            return self._believe()
        keep = self._feeds.get(item.id)
        if keep is not None:
            keep(item)
        return self._concluded(item)

    def _concluded(self, item: StratifiedRule) -> tuple[PlainFact, ...]:
        found = self._concludes.get(item.id)
        if found is None:
            found = tuple(PlainFact(*fact) for fact in conclusions(item))
            self._concludes[item.id] = found
        return found

    def _keep_rate(self, item: StratifiedRule) -> None:
        assert isinstance(item.rule, BaseRate)
        self._rates[item.load_path] = item.rule

    def _keep_sign(self, item: StratifiedRule) -> None:
        self._signs[item.load_path].append(item.id)

    def _keep_facts(self, item: StratifiedRule) -> None:
        for known in self._concluded(item):
            if known[1:3] in self._facts_read:
                self._result.told.facts[known.name, known.value] = np.ones(1, bool)

    def _keep_verdict(self, item: StratifiedRule) -> None:
        assert isinstance(item.rule, VerdictRule)
        if self._result.decided_by is None:
            self._result.verdict, self._result.decided_by = item.rule.concludes, item.id

    def _keep_report(self, item: StratifiedRule) -> None:
        clue = self._clues[item.id]
        answer = self._answers[clue.question]
        if not answer.value:  # a measured value without bands carries no evidence
            return
        value = self._values[clue.id].index(answer.value)
        code = evidence_code(value, DEGREES.index(answer.sure))
        self._result.told.codes[clue.id] = np.array([code])
        reported = self.reported(clue, answer)
        for path in self._readers[clue.id]:
            self._reports[path].append(reported)

    def _believe(self) -> Iterable[PlainFact]:
        result, paths = self._result, self.step.paths
        fired = [sign for signs in self._signs.values() for sign in signs]
        settling = settled_paths(self._looks, fired, self._answers)
        odds = np.array([rate_odds(self._rates[path]) for path in paths])
        signed = np.array([[bool(self._signs[path]) for path in paths]])
        settled = np.array(
            [[path in settling or (s and not bears) for path, s, bears
              in zip(paths, signed[0], self.step.bears, strict=True)]]
        )  # fmt: skip
        twice = confirmed_paths(self._looks, fired, self._answers)
        confirmed = np.array([[path in twice for path in paths]])
        found = self.step.run(
            Inputs(result.told, odds[:, :1].T, odds[:, 1:].T, signed, settled, confirmed)
        )
        result.believed = found
        for column, path in enumerate(paths):
            state = PathState(
                self._rates[path],
                self._reports[path],
                float(found.ratio[0, column]),
                float(found.low[0, column]),
                float(found.high[0, column]),
                self._signs[path],
                bool(found.seen_against[0, column]),
                PATH_STATES[found.status[0, column]],
            )
            result.paths[path] = state
            yield PlainFact("path", path, state.status)
            if state.seen_against:
                yield PlainFact("seen_against", path)
        result.measures = {name: float(value[0]) for name, value in found.measures.items()}
        for name, number in result.measures.items():
            yield PlainFact("measure", name, "", number)
